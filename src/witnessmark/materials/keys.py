"""Woods and materials by key: groups and their members, families, and what a rule's key reaches.

Tables: woods.csv and materials.csv beside this file. Groups carry a default for when nothing more is known;
whoever uses it says so. Where a wrong guess costs something (movement, weight, listing), take the worst of
`members_of`.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from witnessmark.sources import Row, table

from .names import Names, UnknownName


@dataclass(frozen=True)
class Wood:
    """A species, or a group that a shop name stands for.

    `default` is the species to reckon with when no more is known, and `default_reason` why; for a species,
    itself and no reason.
    """

    key: str
    name: str
    kind: str  # "species" or "group"
    members: tuple[str, ...]
    default: str
    default_reason: str
    remark: str

    @property
    def is_group(self) -> bool:
        return self.kind == "group"


@dataclass(frozen=True)
class Material:
    """A solvent, coating, glue … (`kind`), or a group of them.

    `family` is the key above it, its own key where nothing is. `default` as in `Wood`; a group's members may
    themselves be groups, or woods: `members_of` opens them all.
    """

    key: str
    name: str
    name_us: str
    kind: str
    family: str
    members: tuple[str, ...]
    default: str
    default_reason: str
    remark: str

    @property
    def is_group(self) -> bool:
        return self.kind == "group"

    def called(self, region: str | None = None) -> str:
        """Its name in the shop's words: “white spirit”, in the US “mineral spirits”."""
        return self.name_us if self.name_us and _region(region) == "US" else self.name


def wood_named(text: str, region: str | None = None) -> Wood:
    """The wood or group of woods this names: shop name, Latin name or key.

    `region` (UK, US, FR, DE: where the piece was made) decides a group's default.
    Raises UnknownName, AmbiguousName.
    """
    return wood(_wood_names().find(text, _woods()), region)


def material_named(text: str, kinds: Iterable[str] | None = None, region: str | None = None) -> Material:
    """The material or group this names, in a UK or US shop's words, or by key.

    With `kinds` only those: solvent, coating, binder, adhesive, stripper, cleaner, abrasive, stain, wax,
    old_finish, reagent, surface, hazard, regulated; a group counts where one of its members does.
    `region` as in `wood_named`. Raises UnknownName, AmbiguousName.
    """
    wanted = None if kinds is None else set(kinds)
    allowed = {key for key in _materials() if wanted is None or wanted & _kinds_of(key)}
    try:
        return material(_material_names().find(text, allowed), region)
    except UnknownName as fault:
        if wanted is None:
            raise
        try:
            other = material(_material_names().find(text, _materials()))
        except ValueError:
            raise fault from None
        wants = " or ".join(sorted(kind.replace("_", " ") for kind in wanted))
        known = f"{other.name} ({other.kind.replace('_', ' ')})"
        why = f"“{text}” is known as {known}, but here {wants} is wanted."
        raise UnknownName(text, fault.nearest, "material", why) from None


def wood(key: str, region: str | None = None) -> Wood:
    """The wood or group with exactly this key. Raises UnknownName."""
    row = _found(key, _woods(), "wood")
    default, reason = default_for(key, region)
    return Wood(key, row["name"], row["kind"], row.keys_in("members"), default, reason, row["remark"])


def material(key: str, region: str | None = None) -> Material:
    """The material or group with exactly this key. Raises UnknownName."""
    row = _found(key, _materials(), "material")
    default, reason = default_for(key, region)
    return Material(
        key, row["name"], row["name_us"], row["kind"], row["family"], row.keys_in("members"), default, reason,
        row["remark"],
    )  # fmt: skip


def default_for(group_key: str, region: str | None = None) -> tuple[str, str]:
    """What to reckon with when only the group is known, and why; of anything else, itself and no reason."""
    row = _either(group_key)
    if row["kind"] != "group":
        return group_key, ""
    by_region = dict(pair.split(":") for pair in row.keys_in("default_by_region"))
    return by_region.get(_region(region), row["default_for_group"]), row["default_reason"]


@cache
def members_of(group_key: str) -> tuple[str, ...]:
    """All that the group stands for, groups within it opened; anything else is its own member."""
    row = _either(group_key)
    if row["kind"] != "group":
        return (group_key,)
    return tuple(dict.fromkeys(leaf for member in row.keys_in("members") for leaf in members_of(member)))


def family_of(key: str) -> str:
    """The key one step above; the key itself where nothing is above it."""
    row = _either(key)
    return row["family"] if "family" in row.cells else key


def fits(rule_key: str, material_key: str) -> bool:
    """Whether a rule written for `rule_key` speaks of `material_key` (a material or a wood).

    It does when they are the same, when the rule's key is a family above the material, or a group one of
    whose members fits. A typed group whose kind is not known: ask for each of `members_of`.
    Raises UnknownName.
    """
    _either(rule_key)
    return rule_key in _reached_by(material_key)


def wood_keys() -> tuple[str, ...]:
    """The key of every wood and group of woods, in table order."""
    return tuple(_woods())


def material_keys() -> tuple[str, ...]:
    """The key of every material and group of materials, in table order."""
    return tuple(_materials())


@cache
def _reached_by(key: str) -> frozenset[str]:
    """Every key whose rules speak of this one."""
    reached = {key}
    while (above := family_of(key)) not in reached:
        reached.add(above)
        key = above
    groups = {row.key: set(row.keys_in("members")) for row in [*_woods().values(), *_materials().values()]}
    while more := {group for group, members in groups.items() if members & reached} - reached:
        reached |= more
    return frozenset(reached)


@cache
def _kinds_of(key: str) -> frozenset[str]:
    return frozenset(_either(member)["kind"] for member in members_of(key))


@cache
def _woods() -> dict[str, Row]:
    return {row.key: row for row in table("materials", "woods.csv")}


@cache
def _materials() -> dict[str, Row]:
    return {row.key: row for row in table("materials", "materials.csv")}


@cache
def _wood_names() -> Names:
    spellings = {key: [row["name"], *row.keys_in("aliases")] for key, row in _woods().items()}
    return Names("wood", spellings, spare=("wood", "timber", "board", "veneer", "solid"))


@cache
def _material_names() -> Names:
    def spellings(row: Row) -> list[str]:
        return [row["name"], *row.keys_in("name_us"), *row.keys_in("aliases")]

    return Names("material", {key: spellings(row) for key, row in _materials().items()})


def _either(key: str) -> Row:
    return _found(key, _woods() if key in _woods() else _materials(), "wood or material")


def _found(key: str, rows: dict[str, Row], what: str) -> Row:
    if key in rows:
        return rows[key]
    names = _wood_names() if rows is _woods() else _material_names()
    raise UnknownName(key, names.nearest_keys(key), what)


def _region(region: str | None) -> str:
    code = (region or "").strip().upper()
    return "UK" if code == "GB" else code
