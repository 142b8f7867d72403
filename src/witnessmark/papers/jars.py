"""A jar drawn to its size: how high it stands, what each use takes from the top down, and the words beside it."""

from itertools import groupby
from typing import Any

from witnessmark.plan import Mix
from witnessmark.quantities import Mass, Volume, high, usual
from witnessmark.sources import rule, table

from .voice import Voice, listed

_INSIDE_MM = 60.0  # the inside of a litre jar as mixing_card.typ draws it
STAYS = "stays in the jar"
_LINE_MM, _LETTERS = 4.5, 19  # the room a line of words takes beside it, and how many letters it holds


def jar_for(litres: float) -> float:
    """The capacity in litres of the smallest jar that much is mixed in; the largest where none is large enough."""
    sizes = sorted(float(row["capacity_ml"]) / 1000 for row in table("papers", "jars.csv", key="jar"))
    filled = float(rule("papers", "jar_filled").value)
    return next((size for size in sizes if litres <= size * filled), max(sizes[-1], litres / filled))


def drawn(mix: Mix, jar: str, numbers: dict[str, int], voice: Voice) -> dict[str, Any]:
    """The jar for `mixing_card.typ`. Heights are shares of its inside, from the bottom.

    `bands` are one a use, in the order of the steps, each what it usually takes; `labels` stand beside them, uses
    alike together.
    """
    content = _litres(high(mix.make))
    capacity = jar_for(content)
    scale = min(max(capacity ** (1 / 3), 0.62), 1.22)  # a litre is drawn at 1; sides go as the cube root
    bands, words, level = [], [], content
    uses = sorted((numbers.get(use.step, 0), voice.amount(use.volume), _litres(use.volume)) for use in mix.uses)
    for said, alike in groupby(uses, key=lambda use: use[1]):
        top, steps = level, []
        for number, _, takes in alike:
            bands.append({"top": level / capacity, "bottom": max(level - takes, 0.0) / capacity})
            level = max(level - takes, 0.0)
            steps.append(number)
        words.append((_label(steps, said), (top + level) / 2 / capacity))
    if uses and level > 0:
        words.append((STAYS, level / 2 / capacity))
    return {
        "scale": scale,
        "content": content / capacity,
        "content_words": voice.amount(mix.make),
        "bands": bands,
        "labels": _apart(words, content / capacity, _LINE_MM / (_INSIDE_MM * scale)),
        "alt": f"{jar}, drawn to its size: filled to {voice.amount(mix.make)}. "
        + (" ".join(f"{word}." for word, _ in words) if words else "No use of it is planned yet."),
    }


def _label(steps: list[int], said: str) -> str:
    known = [number for number in steps if number]
    if not known:
        return said
    return f"step {known[0]}: {said}" if len(known) == 1 else f"steps {listed(known)}: {said} each"


def _litres(amount: Any) -> float:
    """How much of a jar it fills. Glue is weighed: a gram stands as a millilitre, near enough for a drawing."""
    match usual(amount):
        case Volume() as volume:
            return volume.litres
        case Mass() as mass:
            return mass.grams / 1000
    return 0.0


def _apart(words: list[tuple[str, float]], content: float, line: float) -> list[dict[str, Any]]:
    """Labels from the top down, each as near its band as can be, none upon another. `line`: the height of a line."""
    fit = max(int(content / line / 1.6), 1)
    if len(words) > fit and words[-1][0] == STAYS:
        words = words[:-1]
    if len(words) > fit:
        words = [*words[: fit - 1], (f"and {len(words) - fit + 1} more", words[-1][1])]
    halves = [line / 2 if len(said) <= _LETTERS else line for said, _ in words]
    heights: list[float] = []
    above = content - line / 2  # the words of the content line stand there
    for (_, height), half in zip(words, halves, strict=True):
        heights.append(min(height, above - half))
        above = heights[-1] - half
    below = 0.0
    for place in range(len(heights) - 1, -1, -1):
        heights[place] = max(heights[place], below + halves[place])
        below = heights[place] + halves[place]
    return [{"words": said, "at": height} for (said, _), height in zip(words, heights, strict=True)]
