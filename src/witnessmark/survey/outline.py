"""What a survey knows and what it does not, in a paragraph: for whoever checks it, before any plan."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Protocol

from witnessmark.documents import Written

from .model import Survey
from .words import FixingKind, Held, JointState, Keep, OldFinish, PieceKind, Shape, Use, YesNo

# Nothing is asked of these that is asked of wood: grain, shrinkage, finish.
_NOT_WOOD = {Shape.HARDWARE, Shape.GLASS, Shape.MIRROR, Shape.CLOTH, Shape.LEATHER}


class _Coded(Protocol):
    @property
    def code(self) -> str: ...


@dataclass(frozen=True)
class Outline:
    """How many of each thing a survey holds, and what is still not known, the piece's own facts first."""

    title: str
    counts: dict[str, int]
    dont_know: tuple[str, ...]

    @property
    def says(self) -> str:
        """The paragraph."""
        counted = [f"{number} {_plural(word, number)}" for word, number in self.counts.items() if number]
        first = f"{self.title}: {_listed(counted)}." if counted else f"{self.title}: no part listed yet."
        if not self.dont_know:
            return f"{first} Every fact we ask for is there."
        return f"{first} Still don't know: {_listed(list(self.dont_know))}. It widens the plan, it blocks nothing."


def outline_of(survey: Survey) -> Outline:
    """What is there and what is not."""
    fixings = [fixing for joint in survey.joint for fixing in joint.fixing]
    counts = {
        "part": sum(part.count for part in survey.part),
        "joint": len(survey.joint),
        "fixing": len(fixings),
        "thing amiss": sum(condition.count for condition in survey.condition),
        "finish test": len(survey.test),
        "reading": len(survey.reading),
        "trial patch": len(survey.trial),
        "photograph": len(survey.photograph),
        "decision": len(survey.decision),
    }
    kind = survey.piece.kind
    called = "piece" if kind is PieceKind.OTHER else kind.value
    title = survey.piece.title or f"A {called} without a title"
    return Outline(title, counts, (*_of_the_piece(survey), *_of_the_parts(survey)))


def _of_the_piece(survey: Survey) -> Iterator[str]:
    piece, wishes = survey.piece, survey.wishes
    facts = {
        "its size": _known(piece.size),
        "how it came": piece.came.value != "don't know",
        "where it stood": piece.came_from.value != "don't know",
        "when it was made": piece.made not in ("", "don't know"),
        "show wood": piece.show_wood != "don't know",
        "whether it is veneered": piece.veneered is not YesNo.UNKNOWN,
        "veneer thickness": piece.veneered is not YesNo.YES or _known(piece.veneer_thickness),
        "old finish": survey.finish.kind is not OldFinish.UNKNOWN,
        "what is amiss": bool(survey.condition),
        "what to keep": wishes.keep is not Keep.UNKNOWN,
        "what it must stand up to": wishes.use is not Use.UNKNOWN,
        "what may be spent or what it sells for": any(map(_known, (wishes.spend_up_to, wishes.sells_for))),
        "a photograph": bool(survey.photograph),
    }
    yield from (fact for fact, known in facts.items() if not known)


def _of_the_parts(survey: Survey) -> Iterator[str]:
    wooden = [part for part in survey.part if part.shape not in _NOT_WOOD]
    wanting: dict[tuple[str, str], Sequence[_Coded]] = {
        ("the size of", "part"): [part for part in wooden if not _known(part.size) and not part.turning],
        ("the shape of", "part"): [part for part in wooden if part.shape is Shape.UNKNOWN],
        ("the wood of", "part"): [part for part in wooden if part.wood == "don't know" and not part.material],
        ("what shows of", "part"): [part for part in wooden if part.shape is not Shape.TURNED and not part.show],
        ("the state of", "joint"): [joint for joint in survey.joint if joint.state is JointState.UNKNOWN],
        ("what holds", "joint"): [joint for joint in survey.joint if Held.UNKNOWN in joint.held],
        ("the kind of", "fixing"): [
            fixing for joint in survey.joint for fixing in joint.fixing if fixing.kind is FixingKind.UNKNOWN
        ],
    }
    for (what, word), rows in wanting.items():
        if rows:
            codes = f" ({', '.join(row.code for row in rows)})" if len(rows) <= 3 else ""
            yield f"{what} {len(rows)} {_plural(word, len(rows))}{codes}"


def _known(amount: Written | None) -> bool:
    return amount is not None and amount.known


def _plural(word: str, number: int) -> str:
    if number == 1:
        return word
    return "things amiss" if word == "thing amiss" else f"{word}es" if word.endswith("ch") else f"{word}s"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"
