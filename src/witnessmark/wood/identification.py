"""Which wood is it? What a lens, a nose and a balance find goes in; how likely each wood is comes out.

A wood's chance of showing a state is that of identification.csv; states nobody listed share what is left as they
are met at large; a feature nobody described for a wood says nothing of it. Features seen by one look (texture,
pores without a lens, porosity) count once.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from witnessmark.materials import members_of, wood, wood_keys
from witnessmark.odds import (
    NONE_OF_THESE,
    BadReading,
    Candidate,
    Feature,
    Found,
    How,
    Look,
    Measured,
    Question,
    Reading,
)
from witnessmark.sources import row, rule, table

from .identification_tables import WEIGHT, LensFeature, lens_features, shown_by, weight_classes
from .identification_weight import chance_below

_MINUTES_TO_WEIGH = "minutes_to_weigh"

# Names that mean one wood in one trade and another in the next: of no use to somebody who asks what it is.
_TWO_SENSES = frozenset({
    "ironwood", "oyster_woods", "pine_yellow_trade", "poplar", "redcedar", "redwood_trade", "sycamore", "tulipwood",
    "whitewood",
})  # fmt: skip

_USES = ("show", "secondary", "lining", "veneer", "inlay", "carving", "chair", "seat", "turned")


@dataclass(frozen=True)
class Whereabouts:
    """What is known of the piece before the wood is looked at: each raises some woods and lowers others.

    `region` is UK, US, FR or DE; `years` the stated first and last year of making; `use` where in the piece the
    wood is (show, secondary, lining, veneer, inlay, carving, chair, seat, turned). `clean` says that a clean bare
    spot can be looked at without harm.
    """

    region: str = ""
    years: tuple[int, int] | None = None
    use: str = ""
    clean: bool = True


@dataclass(frozen=True)
class Seen:
    """One thing read of the wood: keys of the tables, as `wood_words` gives them."""

    feature: str
    state: str
    how: How = How.SEEN


@dataclass(frozen=True)
class LookAlike:
    """Two woods still in play and the one feature that best parts them; no feature where none of ours does."""

    one: str
    other: str
    feature: str
    says: str


@dataclass(frozen=True)
class WoodTold:
    """The odds; each reading's feature and state as the tables have them; the looks to take; the look-alikes.

    `group` is the narrowest group that may be named where no one wood may, with its chance. `fits_none` says that
    none of the woods goes well with it all.
    """

    found: Found
    fits_none: bool
    group: str | None
    group_probability: float
    readings: tuple[tuple[str, str], ...]
    next_looks: tuple[Look, ...]
    look_alikes: tuple[LookAlike, ...]


def years_stated(text: str) -> tuple[int, int]:
    """The first and last year of a stated making: “about 1880”, “1880s”, “1780–1800”, “18th century”.

    Raises BadReading where no year is stated.
    """
    years = [(int(year), int(year) + (9 if many else 0)) for year, many in re.findall(r"\b(1\d{3}|20\d\d)('?s)?", text)]
    years += [(100 * (int(count) - 1), 100 * int(count) - 1)
              for count in re.findall(r"\b(1[3-9]|2[01])(?:st|th)[ -]c", text.casefold())]  # fmt: skip
    if not years:
        raise BadReading(text, "a year or two, such as “1880” or “1780-1800”")
    return min(first for first, _ in years), max(last for _, last in years)


def woods_told_apart() -> tuple[str, ...]:
    """The key of every wood that can be told, in table order."""
    return tuple(cells.key for cells in table("wood", "species.csv", "wood_key"))


def weight_before(key: str, about: Whereabouts) -> float:
    """How readily this wood is expected in the region, years and place, before it is looked at. From memory."""
    cells = row("wood", "woods_in_use.csv", key, key="wood_key")
    weight = 1.0
    if about.region.lower() in {"uk", "us", "fr", "de"}:
        weight *= float(rule("wood", f"region_{cells[about.region.lower()]}").value)
    if about.years:
        since, until = cells.number("from_year"), cells.number("to_year")
        if (since and about.years[1] < since) or (until and about.years[0] > until):
            weight *= float(rule("wood", "out_of_period").value)
    if about.use and about.use not in cells.keys_in("uses"):
        weight *= float(rule("wood", "other_use").value)
    return weight


@cache
def wood_question(about: Whereabouts = Whereabouts()) -> Question:
    """Every wood and every feature, with the chances beforehand of where the piece comes from."""
    if about.use and about.use not in _USES:
        raise BadReading(about.use, f"a place in the piece, one of {', '.join(_USES)}")
    groups = _groups()
    candidates = tuple(
        Candidate(key, wood(key).name, weight_before(key, about), groups[key]) for key in woods_told_apart()
    )
    asked = [feature for one in lens_features() for feature in _as_asked(one, about.clean)]
    return Question(candidates, (*asked, _heft()))


def tell_wood(seen: Sequence[Seen], weighed: Measured | None = None, about: Whereabouts = Whereabouts()) -> WoodTold:
    """The odds of each wood after what was seen and weighed."""
    question = wood_question(about)
    readings: list[Reading | Measured] = [Reading(*_engine_key(one), one.how, _reliability(one)) for one in seen]
    if weighed is not None:
        readings.append(weighed)
    found = question.weigh(readings)
    looks: dict[str, Look] = {}
    for look in found.next_looks:
        key = look.key.partition(".")[0]
        name = look.name if key == look.key else look.name.partition(",")[0]
        looks.setdefault(key, Look(key, name, look.gain, look.harm, look.minutes))
    group = None if found.told else found.group
    return WoodTold(
        found=found,
        fits_none=found.leader == NONE_OF_THESE and found.none_of_these >= float(rule("wood", "none_said").value),
        group=group[0] if group else None,
        group_probability=group[1] if group else 0.0,
        readings=tuple((one.feature, one.state) for one in seen) + (((WEIGHT, ""),) if weighed else ()),
        next_looks=tuple(looks.values()),
        look_alikes=_look_alikes(question, found),
    )


@cache
def parted_by(one: str, other: str) -> LookAlike:
    """The one feature that best tells two woods apart, and what each shows."""
    question = wood_question()
    pair = tuple(Candidate(key, wood(key).name) for key in (one, other))
    # No third party between these two, so that a look is worth what it tells of them alone.
    looks = Question(pair, question.features, none_prior=0.0).weigh([]).next_looks
    names = f"{pair[0].name} or {pair[1].name}"
    if not looks:
        return LookAlike(one, other, "", f"{names}: nothing in our tables parts them")
    misleading = {one.key for one in lens_features() if one.trust < 1}
    handicap = float(rule("wood", "misleading_must_tell").value)
    best = max(looks, key=lambda look: (look.gain / (handicap if look.key in misleading else 1.0), look.key))
    feature = question.feature(best.key)
    shows = [_usual_state(feature, key) for key in (one, other)]
    if shows[0] == shows[1]:
        says = f"{names}: {feature.name} leans one way or the other, no more"
    else:
        says = f"{names}: {feature.name}: {shows[0]} in the first, {shows[1]} in the second"
    return LookAlike(one, other, best.key.partition(".")[0], says)


def _usual_state(feature: Feature, key: str) -> str:
    chances = feature.chances.get(key, {})
    left = 1 - sum(chances.values())
    unlisted = {state: feature.background[state] for state in feature.states if state not in chances}
    share = left / sum(unlisted.values()) if unlisted and left > 0 else 0.0
    filled = {state: chances.get(state, unlisted.get(state, 0.0) * share) for state in feature.states}
    state = max(filled, key=lambda one: filled[one])
    return feature.words.get(state, state)


def _look_alikes(question: Question, found: Found) -> tuple[LookAlike, ...]:
    """The leader against each wood that is still as good as in play."""
    if found.told or found.none_of_these >= max(found.probabilities.values()):
        return ()
    in_play = float(rule("wood", "in_play").value)
    lead, *others = found.probabilities
    if found.probabilities[lead] < in_play:
        return ()  # nothing much is known yet; the looks say more
    rivals = [key for key in others if found.probabilities[key] >= in_play * found.probabilities[lead]]
    return tuple(parted_by(lead, key) for key in rivals[:3])


def _as_asked(one: LensFeature, clean: bool) -> list[Feature]:
    """The feature as the odds take it; one that may show several states at once becomes one for each."""
    shown = shown_by().get(one.key, {})
    at_large = {state.key: state.background for state in one.states}
    harm = one.harm if clean else one.harm_if_not_clean
    if one.exclusive:
        return [
            Feature(
                key=one.key,
                name=one.name,
                states=tuple(state.key for state in one.states),
                chances={key: _believed(chances, at_large, one.trust) for key, chances in shown.items()},
                background=at_large,
                group=one.hangs_with,
                minutes=one.minutes,
                harm=harm,
                words={state.key: state.says for state in one.states},
            )
        ]
    return [
        Feature(
            key=f"{one.key}.{state.key}",
            name=f"{one.name}, {state.says}",
            states=("present", "absent"),
            chances={key: {"present": chances[state.key]} for key, chances in shown.items() if state.key in chances},
            background={"present": state.background, "absent": 1 - state.background},
            minutes=one.minutes,
            harm=harm,
            words={"present": "seen", "absent": "not seen"},
        )
        for state in one.states
    ]


def _engine_key(seen: Seen) -> tuple[str, str]:
    if next((one.exclusive for one in lens_features() if one.key == seen.feature), True):
        return seen.feature, seen.state
    return f"{seen.feature}.{seen.state}", "present"


def _believed(chances: Mapping[str, float], at_large: Mapping[str, float], trust: float) -> dict[str, float]:
    """The chances of a feature that misleads now and then: the rest of the time any state is met as at large."""
    return {state: trust * chance + (1 - trust) * at_large[state] for state, chance in chances.items()}


def _reliability(seen: Seen) -> float:
    """How often such a reading is right. Old wood has often lost its smell: that it has none proves little."""
    gone = (seen.feature, seen.state) == ("odour", "none_when_dry")
    return seen.how.reliability * (float(rule("wood", "no_smell_trust").value) if gone else 1.0)


@cache
def _heft() -> Feature:
    """How heavy a loose part is: the look that a balance and a rule give, reckoned from the densities."""
    classes = weight_classes()
    chances: dict[str, dict[str, float]] = {}
    for key in woods_told_apart():
        below = [chance_below(key, one.most) for one in classes[:-1]]
        edges = [0.0, *(chance for chance in below if chance is not None), 1.0]
        if len(edges) == len(classes) + 1:
            chances[key] = {one.key: most - least for one, least, most in zip(classes, edges, edges[1:], strict=False)}
    return Feature(
        key=WEIGHT,
        name="weight of a loose part, weighed and measured",
        states=tuple(one.key for one in classes),
        chances=chances,
        background={one.key: sum(shown[one.key] for shown in chances.values()) / len(chances) for one in classes},
        group=WEIGHT,
        minutes=float(rule("wood", _MINUTES_TO_WEIGH).value),
        words={one.key: one.says for one in classes},
    )


@cache
def _groups() -> dict[str, tuple[str, ...]]:
    """The groups a wood may be named by, narrowest first."""
    groups = [key for key in wood_keys() if wood(key).is_group and key not in _TWO_SENSES]
    groups.sort(key=lambda key: len(members_of(key)))
    return {
        key: tuple(group for group in groups if key in members_of(group) and len(members_of(group)) > 1)
        for key in woods_told_apart()
    }
