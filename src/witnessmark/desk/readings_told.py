"""What date, wood and finish readings of a survey say, worded for their pages; the odds are the core's."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark import evidence, finish, wood
from witnessmark.materials import material
from witnessmark.materials import wood as wood_called
from witnessmark.odds import BadReading, How, Look
from witnessmark.safety import Task, cautions_for
from witnessmark.sources import given
from witnessmark.survey import Reading, ReadingAbout, Seen, Survey

_HOW = {Seen.SEEN: How.SEEN, Seen.NOT_SEEN: How.NOT_SEEN, Seen.UNSURE: How.UNSURE}
_CANDIDATES = 8  # that a page names; the rest are less likely than these
_SOLVENT = 2  # harm from which a test is a solvent's
HARMS = ("no harm", "next to no harm", "a mark that can be taken out", "a mark", "a bare spot", "the finish goes there")


@dataclass(frozen=True)
class Candidate:
    """What it may be, and how likely."""

    name: str
    chance: float


@dataclass(frozen=True)
class State:
    """One answer to a look: its key, its words, how it is drawn, whether it now stands in the survey."""

    key: str
    words: str
    drawing: str = ""


@dataclass(frozen=True)
class Feature:
    """Something to look for, with what was said of it so far: `at` is the row of the survey, from 0."""

    key: str
    name: str
    do: str
    states: tuple[State, ...] = ()
    minutes: float = 0.0
    harm: int = 0
    group: str = ""
    takes_a_year: bool = False
    cautions: tuple[Mapping[str, str], ...] = ()
    gain: float = 0.0

    @property
    def harm_words(self) -> str:
        return HARMS[min(self.harm, len(HARMS) - 1)]


@dataclass(frozen=True)
class Said:
    """One reading in the survey. `at` is its row, from 0."""

    at: int
    name: str
    state: str
    how: str
    part: str
    says: str = ""


@dataclass(frozen=True)
class Told:
    """The page's answer: a first line, candidates, what disagrees, the looks to take, what was read."""

    line: str
    candidates: Sequence[Candidate] = ()
    none_of_these: float = 0.0
    conflicts: Sequence[str] = ()
    notes: Sequence[str] = ()
    next: Sequence[Feature] = ()
    enough: str = ""
    said: Sequence[Said] = ()
    stories: Sequence[Candidate] = ()
    spans: Sequence[tuple[str, str]] = ()
    drawing: str = ""
    twin: Sequence[Sequence[str]] = ()
    layers: Sequence[str] = ()
    each: Sequence[str] = ()


def _rows(survey: Survey, about: ReadingAbout) -> list[tuple[int, Reading]]:
    return [(at, one) for at, one in enumerate(survey.reading) if one.about is about]


# ---- date ----


def date_features() -> list[Feature]:
    """Every feature that dates, and every look that tells stories apart."""
    found = [
        Feature(one.key, one.name, one.how_to_see, minutes=one.minutes, harm=one.harm, group=one.group.name,
                takes_a_year=one.takes_a_year)
        for one in evidence.features().values()
    ]  # fmt: skip
    looks = [
        Feature(one.key, one.name, one.name, (State("yes", "Yes"), State("no", "No")), one.minutes, one.harm,
                "the story of the piece")
        for one in evidence.looks().features
    ]  # fmt: skip
    return [*found, *looks]


def date_told(survey: Survey) -> Told:
    """When it was made, by what was read. Raises Faulty on a reading that can't be read."""
    dating = evidence.Readings(survey).dating()
    by_key = {one.key: one for one in date_features()}
    says = {one.key: one.says for one in dating.readings}
    told = [
        Said(at, by_key[one.feature].name if one.feature in by_key else one.feature, one.state, one.seen.value,
             one.part or "", says.get(one.feature, ""))
        for at, one in _rows(survey, ReadingAbout.DATE)
    ]  # fmt: skip
    half, wide = ("–".join(map(str, span)) for span in (dating.range50, dating.range90))
    stories = {**dating.looked.probabilities, "none_of_these": dating.looked.none_of_these}
    best = sorted(stories.items(), key=lambda item: -item[1])[:4]
    return Told(
        line=_sentence(evidence.ticket(dating)),
        candidates=[Candidate(name, chance) for _, name, chance in
                    sorted(dating.decades, key=lambda one: -one[2])[:_CANDIDATES]],
        none_of_these=dating.looked.none_of_these,
        conflicts=[one.says for one in dating.conflicts],
        notes=[one.says for one in dating.parts],
        next=_next(dating.next_looks, by_key),
        enough=dating.enough or "",
        said=told,
        stories=[Candidate(evidence.story_name(key), chance) for key, chance in best],
        spans=[("As likely as not", half), ("Nine times in ten", wide)] if dating.readings else [],
        drawing=evidence.picture(dating) if dating.readings else "",
        twin=[(by_key[one.key].name if one.key in by_key else one.key, one.part or "the piece", one.says,
               "yes" if one.counted else "counted with a stronger one") for one in dating.readings],
    )  # fmt: skip


# ---- wood ----


def wood_features() -> list[Feature]:
    """Every feature of the wood, its states drawn where we can draw them."""
    return [
        Feature(one.key, one.name, one.what_to_do,
                tuple(State(state.key, state.says, wood.drawing_of(one.key, state.key) or "") for state in one.states),
                one.minutes, one.harm)
        for one in wood.lens_features()
    ]  # fmt: skip


def wood_told(survey: Survey, part: str) -> Told:
    """Which wood it is: of a part, by the readings of it and those of the piece at large."""
    rows = [(at, one) for at, one in _rows(survey, ReadingAbout.WOOD) if (one.part or "") in {"", part}]
    words, by_key = wood.wood_words(), {one.key: one for one in wood_features()}
    seen = [wood.Seen(*words.reading(one.feature, one.state), _HOW[one.seen]) for _, one in rows]
    told = wood.tell_wood(seen, _density(survey, part), _whereabouts(survey))
    found = told.found
    says = [one.says for one in found.readings]
    chances = list(found.probabilities.items())[:_CANDIDATES]
    return Told(
        line=_wood_line(told) if seen or part else "Nothing read yet.",
        candidates=[Candidate(wood_called(key).name, chance) for key, chance in chances],
        none_of_these=found.none_of_these,
        conflicts=[one.says for one in found.conflicts],
        notes=[one.says for one in told.look_alikes] if seen else [],
        next=_next(told.next_looks, by_key),
        enough=found.enough or "",
        said=[Said(at, one.feature.replace("_", " "), one.state.replace("_", " "), one.seen.value, one.part or "",
                   says[place] if place < len(says) else "") for place, (at, one) in enumerate(rows)],
    )  # fmt: skip


def _wood_line(told: wood.WoodTold) -> str:
    found = told.found
    key, chance = next(iter(found.probabilities.items()))
    likeliest = _likely(wood_called(key).name, chance)
    if told.fits_none:
        return f"None of the woods listed goes well with all this; nearest: {likeliest}."
    if found.told:
        return f"It is {likeliest}."
    if told.group:
        return f"It is {_likely(wood_called(told.group).name, told.group_probability)}; which, can’t be told yet."
    return f"It can’t be told yet. Likeliest: {likeliest}."


def _whereabouts(survey: Survey) -> wood.Whereabouts:
    region = survey.piece.region.value
    try:
        years = wood.years_stated(survey.piece.made)
    except BadReading:
        years = None  # “don't know”, or words without a year
    return wood.Whereabouts("" if region == "any" else region, years)


def _density(survey: Survey, code: str) -> Any:
    """What the weight of a loose part says, where it was weighed and measured."""
    part = survey.parts_by_code().get(code)
    if part is None or not (part.weight and part.weight.known and part.size and part.size.known):
        return None
    if len(part.size.value) != 3:
        return None
    try:
        weight = given(f"{code} weight", part.weight.value)
        density, error = wood.weighed(weight, given(f"{code} size", part.size.value))
    except (wood.BadDensity, ValueError):
        return None
    return wood.density_reading(density.value, error.value, wood.woods_told_apart())


# ---- finish ----


def finish_features(region: str) -> list[Feature]:
    """Every test of an old finish, the mildest first, each with its cautions."""
    made = [
        Feature(one.key, one.name, one.what_to_do,
                tuple(State(state, state.replace("_", " ").capitalize()) for state in one.states),
                one.minutes, one.harm, cautions=_test_cautions(one, region))
        for one in finish.spot_tests()
    ]  # fmt: skip
    return sorted(made, key=lambda one: one.harm)


def _test_cautions(test: finish.SpotTest, region: str) -> tuple[Mapping[str, str], ...]:
    bound = cautions_for(Task("spot_test", materials=test.agents), region=region) if test.agents else ()
    said = [{"level": str(one.level.value), "says": one.says, "ask": one.ask} for one in bound]
    if test.harm >= _SOLVENT:
        hidden = "Try it where it will not be seen: what a solvent lifts does not come back."
        said.append({"level": "Mind", "says": hidden, "ask": ""})
    return tuple(said)


def finish_told(survey: Survey) -> Told:
    """Which finish it is, by its tests."""
    region = "US" if survey.piece.region.value == "US" else "UK"
    by_key = {one.key: one for one in finish_features(region)}
    words = finish.finish_words()
    tried = [finish.Tried(*words.reading(one.test, one.state), one.part or "") for one in survey.test]
    told = finish.tell_finish(tried)
    layer = told.layer
    names = {test.key: test.name for test in finish.spot_tests()}
    return Told(
        line=_finish_line(layer) if tried else "Nothing tried yet.",
        candidates=[Candidate(material(key).name, chance)
                    for key, chance in list(layer.probabilities.items())[:_CANDIDATES]],
        none_of_these=layer.none_of_these,
        conflicts=[*(one.says for one in layer.conflicts), *_two(layer)],
        each=[one.says for one in layer.readings],
        next=_next(layer.next_looks, by_key),
        enough=layer.enough or "",
        said=[Said(at, names.get(one.test, one.test.replace("_", " ")), one.state.replace("_", " "), "seen",
                   one.part or "") for at, one in enumerate(survey.test)],
        layers=[f"{surface.part or 'The piece'}: {_finish_line(each)}" for surface in told.surfaces
                for each in surface.layers] if len(told.surfaces) > 1 or len(told.surfaces[0].layers) > 1 else [],
    )  # fmt: skip


def _two(layer: finish.Layer) -> list[str]:
    if not layer.conflicts:
        return []
    return ["Two finishes may lie there, one over the other: test again at one clean spot."]


def _finish_line(layer: finish.Layer) -> str:
    key, chance = next(iter(layer.probabilities.items()))
    likeliest = _likely(material(key).name, chance)
    if layer.none_of_these >= chance:
        return f"None of the finishes listed goes well with all this; nearest: {likeliest}."
    if layer.told:
        return f"It is {likeliest}."
    if layer.group:
        name = material(layer.group[0]).name.removeprefix("any ")
        return f"It is some {_likely(name, layer.group[1])}; which, can’t be told yet."
    return f"It can’t be told yet. Likeliest: {likeliest}."


# ---- what they share ----


def _likely(name: str, chance: float) -> str:
    """“European oak (89 %)”."""
    return f"{name} ({chance:.0%})".replace("%", " %")


def _next(looks: Iterable[Look], by_key: Mapping[str, Feature]) -> list[Feature]:
    """The looks to take, best first: by what they tell for their minutes and their harm."""
    found = []
    for look in looks:
        known = by_key.get(look.key) or Feature(look.key, look.name, look.name)
        found.append(Feature(known.key, known.name, known.do, known.states, look.minutes, look.harm, known.group,
                             known.takes_a_year, known.cautions, look.gain))  # fmt: skip
    return found


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
