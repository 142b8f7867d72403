"""What `tell wood` and `tell finish` share: typed words to keys, one part of several, the next look in words."""

from collections.abc import Sequence
from typing import Any

from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.odds import BadReading, Look, ReadingWords

from .telling import Said


def in_keys(said: Sequence[Said], words: ReadingWords) -> list[tuple[tuple[str, str], Said]]:
    """Each reading with the keys its words mean. Raises Faulty with every one that nobody knows."""
    understood, faults = [], []
    for one in said:
        try:
            understood.append((words.reading(one.key, one.state), one))
        except BadReading as error:
            faults.append(Fault(one.place, "", error.found, error.expected, nearest=error.nearest))
    if faults:
        raise Faulty(faults)
    return understood


def of_one_part(said: Sequence[Said], part: str | None, codes: Sequence[str]) -> list[Said]:
    """A survey's readings of one part and those of no part in particular.

    Raises Faulty on a part that is not there, and where several were read and none is asked for.
    """
    named = list(dict.fromkeys(one.part for one in said if one.part))
    if part is not None:
        wanted = part.strip().upper()
        if wanted not in codes:
            raise Faulty([Fault("--part", "", part, "the code of a part of this survey", nearest=nearest(part, codes))])
        return [one for one in said if one.part in {"", wanted}]
    if len(named) > 1:
        raise Faulty([Fault("--part", "", "", f"which part, for they may differ: one of {', '.join(named)}")])
    return list(said)


def with_chance(name: str, chance: float) -> str:
    """“European oak (89 %)”."""
    return f"{name} ({chance * 100:.0f} %)"


def next_of(looks: Sequence[Look], how: dict[str, str]) -> list[dict[str, Any]]:
    """The looks still to take, best first, as the contract has them, with what to do."""
    return [
        {"look": look.key, "gain": look.gain, "harm": look.harm, "minutes": look.minutes, "do": how.get(look.key, "")}
        for look in looks
    ]


def look_next(looks: Sequence[dict[str, Any]], enough: str | None) -> str:
    """The best look, or why none is worth it, as a sentence."""
    if not looks:
        return f"Enough: {enough}."
    best = looks[0]
    harm = "no harm" if best["harm"] == 0 else f"harm {best['harm']} of 5"
    return f"Next: {best['do']} ({best['minutes']:g} min, {harm})"
