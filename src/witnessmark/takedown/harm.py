"""What opening a joint is likely to spoil, from 0 to 60: what holds it, and how tightly. The numbers are harm.csv's.

Only their order is practice; as numbers they are a convention of ours, so that two slight harms can be weighed
against a real one. Harms of joints add up.
"""

from collections.abc import Mapping, Sequence
from functools import cache

from witnessmark.sources import Figure, Input, Row, Working, formula, row, table, work
from witnessmark.survey import FixingKind, Held, Joint, JointState, Part, Shape, YesNo

_STATES = {
    JointState.TIGHT: "tight",
    JointState.LOOSE: "loose",
    JointState.OPEN: "open",
    JointState.DONT_OPEN: "tight",
    JointState.UNKNOWN: "unknown",
}
_FITTING, _HIDDEN_METAL = "fitting", "hidden metal"
_METAL = {Held.NAILED.value, Held.SCREWED.value, Held.BOLTED.value}


@cache
def _held_by(kind: FixingKind) -> str:
    """The row of harm.csv that a fixing of this kind stands under; empty where none speaks of it."""
    return next((cells.key for cells in table("takedown", "harm.csv") if kind.value in cells.keys_in("fixings")), "")


def holds_in(joint: Joint) -> tuple[str, ...]:
    """What holds a joint, as rows of harm.csv: what was written, and what its fixings say."""
    keys = dict.fromkeys(held.value for held in joint.held)
    keys |= dict.fromkeys(_held_by(fixing.kind) for fixing in joint.fixing)
    if joint.hidden_metal is YesNo.YES and not _METAL & set(keys):  # else that is the metal
        keys[_HIDDEN_METAL] = None
    keys.pop("", None)
    return tuple(keys)


def figures_of(joint: Joint) -> tuple[Figure, ...]:
    """The harm of each thing that holds this joint."""
    return _figures(holds_in(joint), _STATES[joint.state])


def figures_unsaid(part: Part) -> tuple[Figure, ...]:
    """The harm of taking off a part when nobody wrote how it is held: careful, less so for hardware."""
    key = _FITTING if part.shape is Shape.HARDWARE else Held.UNKNOWN.value
    return _figures((key,), "unknown")


def _figures(keys: tuple[str, ...], column: str) -> tuple[Figure, ...]:
    found = (row("takedown", "harm.csv", key).figure(column, float) for key in keys)
    return tuple(figure for figure in found if figure)


def ways_to_open(joints: Sequence[Joint]) -> tuple[str, ...]:
    """How what holds these is undone, in the order of the work: what is hidden, then what comes undone, then glue."""
    shut = [joint for joint in joints if joint.state is not JointState.OPEN]
    keys = {key for joint in shut for key in holds_in(joint)}
    found = [cells for cells in table("takedown", "harm.csv") if cells.key in keys]
    return tuple(cells["how"] for cells in sorted(found, key=lambda cells: cells.key != _HIDDEN_METAL))


def wants_cramp(joint: Joint) -> bool:
    """Whether the joint must be cramped: glue alone holds it, and nothing of its own pulls it home."""
    rows = [row("takedown", "harm.csv", key) for key in holds_in(joint) if key != _HIDDEN_METAL]
    return all(cells["cramped"] == "yes" or cells.number("tight") == 0 for cells in rows)


def harm_in_words(harm: float) -> str:
    """“slight harm”, “real harm” …"""
    rows: tuple[Row, ...] = table("takedown", "harm_words.csv")
    for cells in rows:
        most = cells.number("at_most")
        if most is None or harm <= most:
            return cells.key
    raise rows[-1].bad("at_most", "the last row has no bound: leave it empty.")


@formula("harm = what each thing that holds a joint costs to undo, added up")
def harm_together(**each: float) -> float:
    """The harm of opening several joints, each hold by its name."""
    return float(sum(each.values()))


def harm_working(holds: Mapping[str, tuple[Figure, ...]]) -> Working[float]:
    """The harm of opening these, by the name of each, with the figures it is made of."""
    inputs: dict[str, Input] = {}
    for name, figures in holds.items():
        for figure in figures:
            inputs[f"{name}, {figure.name.split(':')[1]}"] = figure
    return work(harm_together, **inputs)
