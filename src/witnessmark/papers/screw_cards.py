"""Screw cards: for each joint that comes apart, a card drawn as its fixings sit; each screw goes through its place."""

from collections import Counter
from typing import Any

from witnessmark.plan import PiecePlan
from witnessmark.survey import Ends, Fixing, FixingKind, Joint, Part, Shape

from .heads import code_of, head, title_of
from .seen import place_of
from .voice import Voice, capital, shortened

# Where a word of a hole's description lies on a card, as you face it: shares from the left, and from the top.
_ACROSS = {"left": 0.14, "right": 0.86}
_DOWN = {"top": 0.16, "upper": 0.16, "back": 0.16, "rear": 0.16, "bottom": 0.84, "lower": 0.84, "front": 0.84}
_MIDDLE = {"middle", "centre", "center", "mid"}
_IN_A_COLUMN, _STEP = 4, 0.1  # more than four above each other don't fit the card; a tenth apart is a finger's width
_ON_ONE = 24  # more than these are not told apart on a card of this size: the rest go on another


def screw_cards(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `screw_cards.typ` prints: two cards a page."""
    o = voice.ours
    cards = [card for joint in plan.survey.joint if joint.fixing for card in _cards(plan, joint, voice)]
    counted = {code for joint in plan.survey.joint if joint.fixing for code in joint.parts}
    cards += [
        _blank(plan, part, voice)
        for part in plan.survey.part
        if part.shape is Shape.HARDWARE and part.code not in counted
    ]
    return {
        **head(plan, voice, "Screw cards"),
        "words": {
            "title": o("Screw cards"),
            "ends": o("back"),
            "not_back": o("not going back"),
            "by": o("replaced:"),
        },
        "how": o(
            "Print on stout card and cut out. As you face it: push each screw through its own cross, as it comes out. "
            "Screws go back in reverse. Every one ends as back, not going back, or replaced."
        ),
        "none": o("No screw or nail is written down yet, and no fitting. Cards come as the fixings are named."),
        "piece": f"{code_of(plan)} {title_of(plan)}".strip(),
        "cards": cards,
    }


def _cards(plan: PiecePlan, joint: Joint, voice: Voice) -> list[dict[str, Any]]:
    o = voice.ours
    groups = [joint.fixing[at : at + _ON_ONE] for at in range(0, len(joint.fixing), _ON_ONE)]
    between = f"{place_of(plan.survey, joint.parts[0])} {o('to')} {', '.join(joint.parts[1:])}"
    return [
        {
            "code": joint.code,
            "of": f"{number} {o('of')} {len(groups)}" if len(groups) > 1 else "",
            "between": shortened(capital(between), 90),
            "made": shortened(joint.made, 60) if joint.made != "don't know" else "",
            "holes": _placed(group, voice),
            "blank": "",
            "alt": f"Card for {joint.code}: "
            + "; ".join(f"{one.code} at {one.hole or 'its hole'}" for one in group)
            + ".",
        }
        for number, group in enumerate(groups, 1)
    ]


def _placed(fixings: tuple[Fixing, ...], voice: Voice) -> list[dict[str, Any]]:
    """Each fixing at its place on the card: by the words of its hole, those of one place spread out."""
    places = [place_on_card(fixing.hole) for fixing in fixings]
    crowd, seen = Counter(places), Counter[Place]()
    holes = []
    for fixing, place in zip(fixings, places, strict=True):
        x, y = _spread(place, seen[place], crowd[place])
        seen[place] += 1
        kind = voice.ours(fixing.kind.value) if fixing.kind is not FixingKind.UNKNOWN else ""
        holes.append(
            {
                "code": fixing.code,
                "x": x,
                "y": y,
                "what": ", ".join(filter(None, (kind, fixing.size))),
                "hole": fixing.hole,
                "ends": fixing.ends.value if fixing.ends is not Ends.OPEN else "",
                "why": fixing.why or fixing.by,
                "through": fixing.kind is not FixingKind.BLOCK,
            }
        )
    return holes


Place = tuple[float | None, float | None]


def place_on_card(hole: str) -> Place:
    """Shares from the left and from the top of the card; None in a direction that the words don't name."""
    words = "".join(letter if letter.isalnum() else " " for letter in hole.lower()).split()
    across = [_ACROSS[word] for word in words if word in _ACROSS]
    down = [_DOWN[word] for word in words if word in _DOWN]
    middle = bool(_MIDDLE & set(words))
    x = across[-1] if across else 0.5 if middle and down else None
    y = down[-1] if down else 0.5 if middle and across else None
    return (0.5, 0.5) if middle and x is None and y is None else (x, y)


def _spread(place: Place, number: int, of: int) -> tuple[float, float]:
    """Where one of several at the same place goes: along the direction nobody named, else inwards from an edge."""
    x, y = place
    column, number_in, in_column = number // _IN_A_COLUMN, number % _IN_A_COLUMN, min(of, _IN_A_COLUMN)
    if x is None:
        return (number + 0.5) / of, 0.5 if y is None else y
    inwards = _STEP if x <= 0.5 else -_STEP
    if y is None:
        return x + column * inwards, (number_in + 0.5) / in_column
    return x + number * inwards, y


def _blank(plan: PiecePlan, part: Part, voice: Voice) -> dict[str, Any]:
    """A fitting whose screws nobody has counted yet: a plate to draw round, one for each of them."""
    return {
        "code": part.code,
        "of": f"{part.count} {voice.ours('of them')}" if part.count > 1 else "",
        "between": shortened(capital(part.name), 90),
        "made": shortened(part.material, 60),
        "holes": [],
        "blank": voice.ours("Draw round it. Push each screw through where it sat, and number it."),
        "alt": f"Blank card for {part.code}.",
    }
