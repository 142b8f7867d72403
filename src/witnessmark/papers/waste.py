"""Waste by kind: what this plan leaves behind, how each kind is kept, and lines for what went with which carrier.

Kinds are rows of `waste.csv`, called for by the materials of a step (`materials.fits`), by what was found on the
piece, or by dust. Steps that are done are counted too: their waste is still there until somebody took it.
"""

from collections.abc import Iterator
from typing import Any

from witnessmark.materials import UnknownName, fits, members_of
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.safety import hazards_in
from witnessmark.sources import Row, table

from . import blocks
from .heads import PREVAILS
from .letters import leaf
from .voice import Voice, capital, listed

_CARRIER = (
    "Ask the waste authority which of this is hazardous waste, and give it only to a carrier whose registration you "
    "have seen: keep the note of what went, when and with whom."
)


def waste_leaf(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """The leaf: a row a kind, with blank lines for the quantity, the carrier, the day and a name."""
    o = voice.ours
    rows = [
        [[blocks.strong(o(capital(row["kind"]))), blocks.fine(whence)], o(capital(row["kept"])), "", "", "", ""]
        for row, whence in _kinds(plan, voice)
    ]
    heads = (o("Kind, and from where"), o("How it is kept"), o("How much"), o("Carrier, note"), o("Day"), o("Signed"))
    body: list[blocks.Block] = [blocks.slip([("Mind", o(_CARRIER))], o(PREVAILS))]
    body.append(
        blocks.table((1.2, 1.3, -19, -29, -17, -21), heads, rows, empty_rows=2)
        if rows
        else blocks.para(o("This plan leaves no waste that needs a carrier, as far as it is written down."))
    )
    return leaf(plan, voice, "Waste, by kind and carrier", body)


def _kinds(plan: PiecePlan, voice: Voice) -> Iterator[tuple[Row, str]]:
    """Each kind, and the steps or the finding that it comes from."""
    found = {one.key: one for one in hazards_in(plan.survey, "US" if voice.american else "UK")}
    for row in table("papers", "waste.csv"):
        steps = [number for number, planned in enumerate(plan.steps, 1) if _leaves(row, planned)]
        seen = [voice.ours(found[key].says) for key in row.keys_in("found") if key in found]
        whence = [f"{voice.ours('step' if len(steps) == 1 else 'steps')} {listed(steps)}"] if steps else []
        if steps or seen:
            yield row, "; ".join((*seen[:1], *whence))


def _leaves(row: Row, planned: PlannedStep) -> bool:
    task = planned.step.task
    if row["dust"] and task is not None and task.dust:
        return True
    keys = {need.material for need in planned.step.needs} | set(task.materials if task is not None else ())
    return any(_speaks_of(rule, key) for rule in row.keys_in("materials") for key in keys)


def _speaks_of(rule: str, key: str) -> bool:
    """A group is taken at its worst: one member is enough. A material nobody knows is of no kind."""
    try:
        return any(fits(rule, member) for member in members_of(key))
    except UnknownName:
        return False
