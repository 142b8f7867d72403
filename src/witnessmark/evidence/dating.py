"""The date of a piece and of each part that dates itself, from clues and style, every story weighed."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import Any

import numpy as np

from witnessmark.odds import (
    Found,
    How,
    Look,
    Reading,
    best_looks,
    doubt,
    gains,
    posterior,
    strength_of,
    surprise,
)
from witnessmark.sources import rule

from .clues import Age, Clue, Weight, counted, is_weighed, weight_of
from .features import Nature, features
from .stories import Dated, accounts, looks, measured, stories
from .styles import fashion
from .years import Years, common_span, commonness, later_than, making_years, older_than, on_to_now, shortest_span

Array = Any
Span = tuple[int, int]


@dataclass(frozen=True)
class ClueTold:
    """What one clue says: `ratio` is how many times likelier it is for the 50 % range than for any other year."""

    key: str
    state: str
    how: How | None
    part: str
    ratio: float
    says: str
    counted: bool


@dataclass(frozen=True)
class Disagreement:
    """A clue the others do not bear out, and what that would mean."""

    key: str
    part: str
    ratio: float
    why: str
    says: str


@dataclass(frozen=True)
class PartDate:
    """A part that dates itself. `to` is None where it may be of any year on; `later` and `older` are chances."""

    part: str
    keys: tuple[str, ...]
    begins: int
    to: int | None
    later: float
    older: float
    says: str


@dataclass(frozen=True)
class Dating:
    """The date: chances of each year of making on the line `years`, over all stories.

    `looked` are the odds on the stories. `later_half` is a marriage's associated half and its years. `from_style`
    says that no clue was weighed; `weights` are the clues that count, on the same line.
    """

    years: Years
    chances: Array
    range50: Span
    range90: Span
    decades: tuple[tuple[str, str, float], ...]
    century: tuple[str, float] | None
    looked: Found
    readings: tuple[ClueTold, ...]
    conflicts: tuple[Disagreement, ...]
    parts: tuple[PartDate, ...]
    next_looks: tuple[Look, ...]
    enough: str | None
    later_half: tuple[str, Span] | None
    from_style: bool
    styles: tuple[str, ...]
    weights: tuple[Weight, ...]

    @property
    def story(self) -> str:
        """The likeliest story, or none_of_these."""
        return self.looked.leader


def date(
    clues: Sequence[Clue],
    styles: Sequence[str] = (),
    region: str = "any",
    seen: Sequence[Reading] = (),
    years: Years | None = None,
) -> Dating:
    """Dates a piece. `seen` are readings of the looks that tell stories apart.

    Years run from 1600 to 1970 unless others are given. Raises BadClue where a clue lacks the date it carries.
    """
    years = years or making_years()
    weights = [weight_of(clue, years) for clue in clues if is_weighed(clue)]
    standing, hidden = counted(weights, fashion(styles, years))
    told, found, chances = weigh(standing, styles, seen, years)
    range50, range90 = (shortest_span(chances, share, years) for share in (0.5, 0.9))
    without = {id(one): weigh([other for other in standing if other is not one], styles, seen, years)[2]
               for one in standing}  # fmt: skip
    next_looks, enough = _next(standing, found, chances, range90, region, years)
    return Dating(
        years=years,
        chances=chances,
        range50=range50,
        range90=range90,
        decades=_decades(chances, years),
        century=_century(chances, years),
        looked=found,
        readings=(*_told(clues, weights, hidden, range50, years), *_looks_told(found)),
        conflicts=tuple(_conflicts(weights, hidden, without, styles, years)),
        parts=tuple(_parts(weights, standing, without, chances, years)),
        next_looks=next_looks,
        enough=enough,
        later_half=_later_half(told, found, years),
        from_style=not any(one.clue.how is not How.NOT_SEEN for one in standing),
        styles=tuple(styles),
        weights=tuple(standing),
    )


def weigh(
    standing: Sequence[Weight], styles: Sequence[str], seen: Sequence[Reading], years: Years
) -> tuple[list[Dated], Found, Array]:
    """Each story's account of the clues that count, the odds on the stories, and the years over all of them."""
    told = accounts(standing, styles, years)
    found = looks().weigh([*seen, measured(told)])
    shares = {**found.probabilities, "none_of_these": found.none_of_these}
    return told, found, np.sum([shares[one.key] * one.years for one in told], axis=0)


# --- the answer in pieces ---


def _decades(chances: Array, years: Years) -> tuple[tuple[str, str, float], ...]:
    decade = years.line // 10 * 10
    sums = {int(start): float(chances[decade == start].sum()) for start in np.unique(decade)}
    best = sorted(sums.items(), key=lambda item: (-item[1], item[0]))
    return tuple((f"{start}s", f"{start} to {start + 9}", chance) for start, chance in best if chance >= 0.005)


def _century(chances: Array, years: Years) -> tuple[str, float] | None:
    """The narrowest of half century and century that may be named."""
    bar = float(rule("odds", "told").value)
    for size in (50, 100):
        start = years.line // size * size
        sums = {int(one): float(chances[start == one].sum()) for one in np.unique(start)}
        best = max(sums, key=lambda one: sums[one])
        if sums[best] >= bar:
            return f"{best} to {best + size - 1}", sums[best]
    return None


def _later_half(told: Sequence[Dated], found: Found, years: Years) -> tuple[str, Span] | None:
    account = next(one for one in told if one.key == "marriage")
    if found.leader != "marriage" or account.others is None:
        return None
    return account.half, shortest_span(account.others, 0.5, years)


def _words(weight: Weight) -> str:
    name = weight.feature.name
    if weight.clue.year is not None:
        name += f" ({weight.clue.year})"
    return {How.SEEN: name, How.NOT_SEEN: f"no {name}", How.UNSURE: f"{name} (unsure)"}[weight.clue.how]


def _usual_years(weight: Weight) -> str:
    feature, year = weight.feature, weight.clue.year
    if year is not None:
        return f"{year} or later" if feature.not_before_only else f"{year}"
    start = feature.common or feature.earliest
    end = None if feature.not_before_only else feature.common_to
    if start is None or start <= 1500:  # the row's “before the line of years”, not a finding
        return f"usual to {end:.0f}" if end else "usual at any time"
    return f"usual {start:.0f} to {end:.0f}" if end else f"usual from {start:.0f}"


def _ratio(weight: Weight, span: Span, years: Years) -> float:
    """How many times likelier the clue is for a piece of these years than for one of any other year."""
    inside = (years.line >= span[0]) & (years.line <= span[1])
    return float(weight.made[inside].mean() / weight.made[~inside].mean()) if not inside.all() else 1.0


def _told(
    clues: Sequence[Clue],
    weights: Sequence[Weight],
    hidden: dict[int, int],
    span: Span,
    years: Years,
) -> list[ClueTold]:
    about = f"{span[0]}–{span[1]}"
    told = []
    for at, one in enumerate(weights):
        stands = weights[hidden.get(at, at)]
        ratio = _ratio(one, span, years)
        aside = "" if at not in hidden else f"; of one act with {stands.feature.key}, counted once"
        state = str(one.clue.year) if one.clue.year is not None else "seen" if one.clue.how is How.SEEN else ""
        told.append(
            ClueTold(one.feature.key, state or one.clue.how.value, one.clue.how, one.part, ratio,
                     f"{_words(one)}: {_usual_years(one)}; {strength_of(ratio, about)}{aside}", at not in hidden)
        )  # fmt: skip
    for clue in clues:
        if not is_weighed(clue):
            told.append(ClueTold(clue.feature, str(clue.year or ""), clue.how, clue.part, 1.0,
                                 "a carved date: dates nothing by itself, and was not weighed", False))  # fmt: skip
    return told


def _looks_told(found: Found) -> list[ClueTold]:
    return [
        ClueTold(one.key, one.state, one.how, "", one.ratio, one.says, one.counted)
        for one in found.readings
        if one.how is not None
    ]


def _conflicts(
    weights: Sequence[Weight],
    hidden: dict[int, int],
    without: dict[int, Array],
    styles: Sequence[str],
    years: Years,
) -> list[Disagreement]:
    """Clues that new work of the years the others point to would hardly show."""
    bar = float(rule("evidence", "conflict").value)
    even = np.full(len(years.line), 1 / len(years.line))
    found = []
    for at, one in enumerate(weights):
        others = without[id(weights[hidden.get(at, at)])]
        if at in hidden:
            others = posterior(others, weights[hidden[at]].made)
        # A disagreement is of the row with the piece: what a misreading might explain is not taken off it first.
        sure = one if one.clue.how is How.UNSURE else weight_of(replace(one.clue, reliability=1.0), years)
        ratio = surprise(others, even, sure.new)
        if ratio >= bar or one.clue.age in {Age.LATER, Age.OLDER}:
            continue
        middle = float((others * years.line).sum())
        own = float((one.new * years.line).sum() / one.new.sum())
        newer = own > middle
        span = shortest_span(others, 0.5, years)
        why = "later than the rest" if newer else "older than the rest"
        means = _meaning(one, newer)
        found.append(
            Disagreement(
                one.feature.key,
                one.part,
                ratio,
                why,
                f"{_words(one)}: {_usual_years(one)}, {why} (about {span[0]}–{span[1]}); {means}",
            )
        )
    found += _no_year_fits(weights, years, {one.key for one in found})
    return sorted(found, key=lambda item: item.ratio)


def _no_year_fits(weights: Sequence[Weight], years: Years, known: set[str]) -> list[Disagreement]:
    """Pairs of lasting clues that no year fits both of: named, never averaged (interval logic)."""
    lasting = [one for one in weights if one.clue.how is How.SEEN and one.clue.age in {Age.UNKNOWN, Age.UNDISTURBED}
               and one.feature.replaced <= float(rule("evidence", "lasting").value)]  # fmt: skip
    found = []
    for at, one in enumerate(lasting):
        for other in lasting[at + 1 :]:
            if one.clue.half == other.clue.half and common_span([_span_of(one), _span_of(other)]) is None:
                early, late = sorted((one, other), key=lambda item: _span_of(item)[0] or years.first)
                if {early.feature.key, late.feature.key} <= known:
                    continue
                says = (f"{_words(early)} ({_usual_years(early)}) and {_words(late)} ({_usual_years(late)}): no year "
                        f"fits both; {_meaning(late, True)}")  # fmt: skip
                found.append(Disagreement(late.feature.key, late.part, 0.0, f"no year fits it and {early.feature.key}",
                                          says))  # fmt: skip
                known |= {early.feature.key, late.feature.key}
    return found


def _span_of(weight: Weight) -> tuple[float | None, float | None]:
    year = weight.clue.year
    if year is not None:
        return year, None if weight.feature.not_before_only else year
    return weight.feature.earliest, None if weight.feature.not_before_only else weight.feature.latest


def _meaning(weight: Weight, newer: bool) -> str:
    match weight.feature.group.nature, newer:
        case Nature.FITTING, True:
            return "a later fitting, or the piece is later"
        case Nature.FITTING, False:
            return "an older fitting used again, or the piece is older"
        case Nature.STUFF, False:
            return "older timber used again, or the piece is older"
        case _, True:
            return "a later part, later work in an earlier style, or older timber used again"
    return "an older part, or an earlier style kept up"


def _parts(
    weights: Sequence[Weight], standing: Sequence[Weight], without: dict[int, Array], chances: Array, years: Years
) -> list[PartDate]:
    """Each part that may be of another year than the piece, dated by the clues it carries."""
    by_part: dict[str, list[Weight]] = {}
    for one in weights:
        apart = one.feature.group.nature is Nature.FITTING or one.clue.age in {Age.LATER, Age.OLDER}
        if one.clue.how is not How.NOT_SEEN and (apart or _is_later(one, without, chances)):
            by_part.setdefault(one.part, []).append(one)
    return [_part(part, of_part, standing, without, chances, years) for part, of_part in by_part.items()]


def _is_later(one: Weight, without: dict[int, Array], chances: Array) -> bool:
    later, _ = _chance_of_age(one, without.get(id(one), chances))
    return later >= float(rule("evidence", "probably_later").value)


def _chance_of_age(one: Weight, others: Array) -> tuple[float, float]:
    """The chance that the part is later than the piece, and that it is older, all clues taken."""
    if one.clue.age in {Age.LATER, Age.OLDER}:
        return one.later, one.older
    whole = float(others @ one.made)
    return (float(others @ (one.later * later_than(one.work)[: len(others)])) / whole,
            float(others @ (one.older * older_than(one.new))) / whole)  # fmt: skip


def _part(
    part: str,
    of_part: Sequence[Weight],
    standing: Sequence[Weight],
    without: dict[int, Array],
    chances: Array,
    years: Years,
) -> PartDate:
    lead = next((one for one in of_part if id(one) in without), of_part[0])
    others = without.get(id(lead), chances)
    later, older = _chance_of_age(lead, others)
    line = on_to_now(years)
    # The part's own year: the piece's, or any after it, or any before it; then what the part itself shows.
    piece = np.concatenate([others, np.zeros(line.last - years.last)])
    count = np.arange(len(line.line), 0, -1)
    own = (1 - lead.later - lead.older) * piece
    own += lead.later * np.cumsum(piece / count)
    own += lead.older * np.cumsum((piece / np.arange(1, len(piece) + 1))[::-1])[::-1]
    for one in of_part:
        own = own * one.work
    begins, ends = shortest_span(own, 0.9, line)
    first = max((one.clue.year for one in of_part if one.clue.year is not None), default=None)
    first = first or max((int(one.feature.earliest or line.first) for one in of_part), default=line.first)
    open_ended = all(one.feature.not_before_only or one.feature.latest is None for one in of_part)
    likely_later = later >= float(rule("evidence", "probably_later").value)
    if likely_later and open_ended:
        begins, ends_or_none = first, None
    else:
        ends_or_none = ends
    years_said = f"{begins} or later" if ends_or_none is None else f"{begins}–{ends}" if begins != ends else f"{begins}"
    age = "probably later than the piece" if likely_later else (
        "probably older than the piece" if older >= float(rule("evidence", "probably_later").value)
        else "may be original"
    )  # fmt: skip
    return PartDate(part, tuple(one.feature.key for one in of_part), begins, ends_or_none, later, older,
                    f"{part}: {years_said}, {age}")  # fmt: skip


# --- what to look at next ---


def _next(
    standing: Sequence[Weight], found: Found, chances: Array, range90: Span, region: str, years: Years
) -> tuple[tuple[Look, ...], str | None]:
    """Looks that narrow the year or settle the story; none where the span is narrow and the story clear."""
    narrow = float(rule("evidence", "told_width").value)
    if range90[1] - range90[0] < narrow and found.enough:
        return (), "the years are as close as the tables go, and the story is clear"
    read = {one.feature.group.key for one in standing}
    here = {region, "any"}
    open_ = [
        one
        for one in features().values()
        if one.group.key not in read
        and not (one.group.at_a_glance or one.takes_a_year)
        and (region == "any" or one.region in here)
    ]
    there = np.array([_met(one.key, years) for one in open_])
    bits = gains(np.stack([there, 1 - there], axis=1), chances)
    wanted = max(doubt(chances) - float(np.log2(narrow)), 0.0)
    own = [Look(one.key, f"{one.name}: {one.how_to_see}", float(bit), one.harm, one.minutes)
           for one, bit in zip(open_, bits, strict=True)]  # fmt: skip
    groups = {one.key: one.group.key for one in open_}
    best = [] if range90[1] - range90[0] < narrow else list(best_looks(own, groups, wanted))
    best = [*best, *found.next_looks]
    if not best:
        return (), "no further look is worth it: what is left to see would tell too little"
    return tuple(sorted(best, key=lambda look: (-look.gain / look.price, look.harm, look.key))), None


@cache
def _met(key: str, years: Years) -> Array:
    """How likely a look at a piece of each year finds the feature."""
    one = features()[key]
    share, right = float(rule("evidence", "met_in_its_time").value), How.SEEN.reliability
    new = one.floor + (1 - one.floor) * commonness(one, years.line)
    older = min(one.group.older, 1 - one.replaced)
    work = one.floor + (1 - one.floor) * commonness(one, on_to_now(years).line)
    replaced = one.replaced * later_than(work)[: len(new)]
    made = (1 - one.replaced - older) * new + replaced + older * older_than(new)
    return share * (right * made + (1 - right) * new.mean())


def story_name(key: str) -> str:
    """A story in words."""
    return "none of these" if key == "none_of_these" else stories()[key]["name"]
