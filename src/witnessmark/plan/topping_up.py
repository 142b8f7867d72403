"""What to mix where a jar does not reach: flakes and spirit for what is lacking, as the scale and the jug show it."""

from typing import Any

from witnessmark.finish import flakes_to_make, resin_density, solvent_in
from witnessmark.quantities import from_json, high, say, up_to_mark, usual


def more_of(short_by: dict[str, Any], cut: dict[str, Any] | None) -> str:
    """“Mix 40 ml: 5 g flakes in 38 ml spirit”: enough for the most that is lacking. Both as a plan's JSON has them.

    Without flakes, where nobody knows the cut, only how much.
    """
    lacking = up_to_mark(high(from_json(short_by)))
    if cut is None:
        return f"Mix {say(lacking)} more"
    strength, density = from_json(cut), usual(resin_density().value)
    flakes = up_to_mark(flakes_to_make(lacking, strength, density))
    return f"Mix {say(lacking)} more: {say(flakes)} flakes in {say(up_to_mark(solvent_in(lacking, strength, density)))}"
