"""The words for the faces of a part that are show surface: a small closed list, `faces.csv`.

A board has two broad faces, two edges along the grain and two ends across it. Words are as you face the
piece, so “front” is the broad front of a drawer front, and “front edge” the narrow front of a top.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from witnessmark.documents import nearest
from witnessmark.quantities import Length, NotUnderstood, is_unknown, say
from witnessmark.sources import Row, rule, table

from .model import Part
from .words import Shape


class BadPart(NotUnderstood):
    """Something of a part that gives no area. Carries its key beside what was found and expected."""

    def __init__(self, key: str, found: str, expected: str, nearest: str | None = None) -> None:
        self.key = key
        super().__init__(found, expected, nearest)


def within_reason(key: str, found: str, lengths: Iterable[Length]) -> None:
    """Raises BadPart for a length no furniture has: a slip of the unit."""
    longest: Length = rule("survey", "longest").value
    if any(length > longest for length in lengths):
        raise BadPart(key, found, f"lengths up to {say(longest)}: check the unit")


@dataclass(frozen=True)
class Face:
    """One word for what is seen of a part: how many of its broad faces, its edges and its ends.

    `way` is the way a broad face looks: “up”, “front”, “across”, or “any”. `known` is False for “don't know”.
    """

    word: str
    broad: int
    edges: int
    ends: int
    way: str = ""
    known: bool = True


DONT_KNOW = Face("don't know", 1, 0, 0, "any", known=False)

# What a restorer takes as seen where nobody said so: worked parts are worked to be seen. A plain board may be
# a drawer bottom, so of it nothing is taken as seen until somebody says so.
_SEEN_UNSAID = {Shape.TURNED: "all round", Shape.MOULDING: "face", Shape.CARVED: "face"}


def _count(row: Row, column: str) -> int:
    return int(row.number(column) or 0)


@cache
def _by_word() -> dict[str, Face]:
    found = {}
    for row in table("survey", "faces.csv", key="word"):
        face = Face(row.key, _count(row, "broad"), _count(row, "edges"), _count(row, "ends"), row["way"])
        for word in (row.key, *row.keys_in("aliases")):
            found[word] = face
    return found


def face_words() -> tuple[str, ...]:
    """The words a part's `show` may hold, in the order of the list; each has synonyms besides."""
    return tuple(row.key for row in table("survey", "faces.csv", key="word"))


def face_named(text: str) -> Face:
    """The face a word or synonym means. Raises BadPart with the nearest right word."""
    if is_unknown(text):
        return DONT_KNOW
    word = " ".join(text.lower().replace("-", " ").split())
    face = _by_word().get(word)
    if face is None:
        near = nearest(word, tuple(_by_word()))
        raise BadPart("show", text, f"a face of the part: {', '.join(face_words())}", near)
    return face


def is_turned(part: Part) -> bool:
    """Whether a part is turned: by its shape, or measured as a turning where nobody gave a shape."""
    return part.shape is Shape.TURNED or (part.shape is Shape.UNKNOWN and bool(part.turning))


def faces_of(part: Part) -> tuple[Face, ...]:
    """The faces of a part that are show surface: as its `show` says, or of worked parts, what is seen.

    Empty for a board, panel or frame, or a part of another material, of which nobody said anything. Raises
    BadPart for an unknown word, a face named twice, or two faces that can't be the two broad faces of one
    part.
    """
    if not part.show:
        shape = Shape.TURNED if is_turned(part) else part.shape
        seen = _SEEN_UNSAID.get(shape) if not part.material else None
        return (face_named(seen),) if seen else ()
    faces = tuple(face_named(text) for text in part.show)
    found = ", ".join(part.show)
    if len(faces) > 1 and (DONT_KNOW in faces or any(face.word == "nothing" for face in faces)):
        raise BadPart("show", found, "faces, or “don't know”, or “nothing”, but not two of these together")
    ways = {face.way for face in faces if face.broad == 1} - {"any"}
    if len(ways) > 1:
        flat = next(face.word for face in faces if face.way in ways - {"up"})
        expected = "two broad faces that lie back to back; a narrow side is an edge, along the grain, or an end"
        raise BadPart("show", found, expected, f"{flat} edge")
    if len(set(faces)) < len(faces) or any(
        sum(getattr(face, side) for face in faces) > 2 for side in ("broad", "edges", "ends")
    ):
        raise BadPart("show", found, "each face once: a part has two broad faces, two edges and two ends")
    return faces
