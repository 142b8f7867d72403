"""Materials: what people type goes in, the key of a wood or material comes out. All tables speak these keys.

Matching forgives case, spaces, hyphens, plurals, word order and bracketed remarks: “meths”, “Meths (UK)” and
“methylated spirits” are one thing. A word that means several things is a group with members and a usual
meaning (“turps”, “redwood”); a name nobody knows is answered with the nearest.
"""

from .keys import (
    Material,
    Wood,
    default_for,
    family_of,
    fits,
    material,
    material_keys,
    material_named,
    members_of,
    wood,
    wood_keys,
    wood_named,
)
from .names import AmbiguousName, Names, UnknownName

__all__ = [
    "AmbiguousName", "Material", "Names", "UnknownName", "Wood", "default_for", "family_of", "fits", "material",
    "material_keys", "material_named", "members_of", "wood", "wood_keys", "wood_named",
]  # fmt: skip
