"""Springing a loose joint and running glue in, not taking it apart: where that is fair, and what it leaves undone.

It is offered where the joint gives enough for glue to run in, not more than the glue can bridge, and the new
glue takes on the old. What nobody tried or tested makes it “ask”, never a silent yes.
"""

from dataclasses import dataclass
from enum import StrEnum

from witnessmark.materials import AmbiguousName, UnknownName, fits, material_named, members_of
from witnessmark.quantities import Length, high, is_unknown, low, say
from witnessmark.sources import rule
from witnessmark.survey import Held, Joint, JointState, YesNo

from .glue import Glue

LEAVES = (
    "It leaves the old glue inside, any broken tongue or hidden metal unseen, and less strength than a joint taken "
    "apart and cleaned; it may want doing again."
)
_METAL = {Held.NAILED, Held.SCREWED, Held.BOLTED}


class Offered(StrEnum):
    YES = "yes"
    NO = "no"
    ASK = "ask"


@dataclass(frozen=True)
class Spring:
    """Whether a loose joint may be sprung, why, what that leaves undone, and what a true opening would take.

    `opening` is every joint of the least-harm opening, the joint itself among them; empty where none can be.
    """

    joint: str
    offered: Offered
    why: tuple[str, ...]
    leaves: str
    opening: tuple[str, ...]
    harm: float


def may_be_sprung(joint: Joint) -> bool:
    """Whether the question arises at all: a glued joint, or one held nobody knows how, that has come loose."""
    glued = {Held.GLUED, Held.UNKNOWN} & set(joint.held)
    return bool(glued) and joint.state in (JointState.LOOSE, JointState.OPEN)


def spring_of(joint: Joint, glue: Glue | None, opening: tuple[str, ...], harm: float) -> Spring:
    """What can be said of springing this joint with this glue. Without one, with hide glue."""
    verdicts = (_play(joint, glue), _old_glue(joint, glue), _metal(joint), _hold(joint))
    said = {offered: [says for each, says in verdicts if each is offered and says] for offered in Offered}
    offered = next((each for each in (Offered.NO, Offered.ASK) if said[each]), Offered.YES)
    # What speaks against it is enough; what is not known yet comes before what speaks for it.
    why = tuple(said[Offered.NO] or [*said[Offered.ASK], *said[Offered.YES]])
    return Spring(joint.code, offered, why, "" if offered is Offered.NO else LEAVES, opening, harm)


Verdict = tuple[Offered, str]


def _play(joint: Joint, glue: Glue | None) -> Verdict:
    least: Length = rule("takedown", "spring_least").value
    fills_nothing = glue is not None and glue.fills.startswith(("none", "low"))
    most: Length = rule("takedown", "spring_most_thin" if fills_nothing else "spring_most").value
    if joint.play is None or not joint.play.known:
        return Offered.ASK, f"Try how far it gives: between {say(least)} and {say(most)} will do."
    gives = joint.play.value
    if high(gives) < least:
        return Offered.NO, f"It gives {say(gives)}: no glue runs in under {say(least)}."
    if low(gives) > most:
        return Offered.NO, f"It gives {say(gives)}: more than {say(most)} must be taken apart and packed."
    if low(gives) < least or high(gives) > most:
        return Offered.ASK, f"It gives {say(gives)}: try again; between {say(least)} and {say(most)} will do."
    return Offered.YES, f"It gives {say(gives)}: glue runs in and bridges it."


def _old_glue(joint: Joint, glue: Glue | None) -> Verdict:
    if glue is not None and not glue.is_animal:
        return Offered.NO, f"{glue.name} does not take on old glue: it needs bare wood, so a true opening."
    if is_unknown(joint.old_glue) or not joint.old_glue.strip():
        return Offered.ASK, "Test the old glue with a drop of warm water: hide glue goes slimy, and new takes on it."
    try:
        old = material_named(joint.old_glue, kinds=["adhesive"])
    except (UnknownName, AmbiguousName):
        return Offered.ASK, f"The old glue, “{joint.old_glue}”, is none we know: test it with a drop of warm water."
    if all(fits("animal_glue", key) for key in members_of(old.key)):
        return Offered.YES, f"New hide glue takes on the old {old.name}."
    if any(fits("animal_glue", key) for key in members_of(old.key)):
        return Offered.ASK, "Test the old glue with a drop of warm water: hide glue goes slimy, and new takes on it."
    return Offered.NO, f"No new glue takes on {old.name}: it must come out first."


def _metal(joint: Joint) -> Verdict:
    if joint.hidden_metal is YesNo.YES or _METAL & set(joint.held):
        return Offered.NO, "Metal in it holds it off: that comes out first."
    if joint.hidden_metal is YesNo.UNKNOWN:
        return Offered.ASK, "First look for the last man's screw under a plug."
    return Offered.YES, ""


def _hold(joint: Joint) -> Verdict:
    if Held.UNKNOWN in joint.held:
        return Offered.ASK, "See what holds it."
    return Offered.YES, ""
