"""What is known, what is missing, and the one thing most worth finding out."""

from collections.abc import Sequence

from witnessmark.documents import Fault, Faulty
from witnessmark.evidence import dating_of, ticket
from witnessmark.materials import wood as wood_called
from witnessmark.odds import BadReading, How
from witnessmark.quantities import Area, Range, high, low, say
from witnessmark.schedule import Minutes
from witnessmark.sources import Working, table
from witnessmark.survey import ReadingAbout, Region, Seen, Survey
from witnessmark.treatment import Step, old_finish_of
from witnessmark.wood import Seen as SeenOfWood
from witnessmark.wood import Whereabouts, tell_wood, wood_words, years_stated

from .piece_plan import Branch, Fact, Facts, MissingFact

_UNKNOWN = "don't know"


def _said(survey: Survey, key: str) -> str:
    """What the survey says of a fact of `facts.csv`; empty where it says nothing."""
    match key:
        case "finish.kind":
            old = old_finish_of(survey)
            return f"{old.kind}{'' if old.cites == (key,) else ', by its tests'}" if old.known else ""
        case "area":
            sized = sum(1 for part in survey.part if part.size and part.size.known)
            return f"{sized} of {len(survey.part)} parts measured" if sized else _text(survey.piece.size)
        case "trial":
            return "; ".join(f"{t.step}: {t.area.text} in {t.minutes.text}" for t in survey.trial)
        case "joints":
            known = [joint for joint in survey.joint if joint.state != _UNKNOWN]
            return f"{len(known)} of {len(survey.joint)} joints tried" if known else ""
    table_name, _, field = key.partition(".")
    value = str(getattr(getattr(survey, table_name), field))
    return "" if value == _UNKNOWN else value


def _text(written: object) -> str:
    return str(getattr(written, "text", "") or "").replace(_UNKNOWN, "")


def facts_of(
    survey: Survey,
    area: Working[Area] | None,
    steps: Sequence[tuple[Step, Minutes]],
    branches: Sequence[tuple[Branch, float]],
) -> Facts:
    """Known and missing facts; `worth` is the missing one that settles most hours for a minute of looking.

    `steps` are those planned with their minutes; `branches` those of an unknown finish with their hours.
    """
    known: list[Fact] = []
    missing: list[tuple[float, MissingFact]] = []
    extra = [("piece.kind", "kind of piece"), ("piece.region", "where it was made"), ("wishes.sheen", "the sheen"),
             ("wishes.undoable", "whether it must be undoable")]  # fmt: skip
    for key, name in extra:
        if (said := _said(survey, key)) and said != Region.ANY:
            known.append(Fact(key, name, said))
    known += _by_looking(survey)
    known += [
        Fact(
            key,
            c.term,
            f"{c.severity} on {c.part or 'the piece'}".replace(_UNKNOWN, "seen"),
        )
        for key, c in survey.condition_facts()
    ]
    for row in table("plan", "facts.csv"):
        if said := _said(survey, row.key):
            known.append(Fact(row.key, row["name"], said))
            continue
        minutes = row.number("minutes") or 1
        hours, settles = _hours_settled(row.key, area, steps, branches)
        words = f"{row['settles']} ({settles})" if settles else row["settles"]
        missing.append((hours * 60 / minutes, MissingFact(row.key, row["name"], words, row["how"], minutes)))
    worth = max(missing, key=lambda pair: pair[0])[1] if missing else None
    return Facts(tuple(known), tuple(fact for _, fact in missing), worth)


def _by_looking(survey: Survey) -> list[Fact]:
    """What the readings make of the date, and of woods that nobody has named."""
    said = []
    dating = dating_of(survey)
    if dating is not None:
        said.append(Fact("reading.date", "its age, by what is on it", ticket(dating)))
    if survey.piece.show_wood == _UNKNOWN:
        parts = dict.fromkeys(one.part for one in survey.reading if one.about is ReadingAbout.WOOD)
        said += [
            Fact("reading.wood", f"the wood{f' of {part}' if part else ''}, by lens and nose", _wood_of(survey, part))
            for part in parts
            if part or len(parts) == 1
        ]
    return said


_HOW = {Seen.SEEN: How.SEEN, Seen.NOT_SEEN: How.NOT_SEEN, Seen.UNSURE: How.UNSURE}
_NAMED = 3  # likeliest woods that are named where none can be told


def _wood_of(survey: Survey, part: str | None) -> str:
    """The wood, its group, or the likeliest, by the readings of that part and those of no part in particular."""
    seen = []
    for at, one in enumerate(survey.reading, 1):
        if one.about is ReadingAbout.WOOD and one.part in {None, part}:
            try:
                seen.append(SeenOfWood(*wood_words().reading(one.feature, one.state), _HOW[one.seen]))
            except BadReading as error:
                raise Faulty([Fault(f"reading.{at}", "", error.found, error.expected, nearest=error.nearest)]) from None
    region = "" if survey.piece.region.value == "any" else survey.piece.region.value
    try:
        years = years_stated(survey.piece.made)
    except BadReading:
        years = None  # “don't know”, or words without a year
    told = tell_wood(seen, about=Whereabouts(region=region, years=years))
    likeliest = [wood_called(key).name for key in told.found.probabilities][:_NAMED]
    if told.fits_none:
        return f"none of the woods we know goes well with it; nearest: {likeliest[0]}"
    if told.found.told:
        return likeliest[0]
    group = f"{wood_called(told.group).name}; which, " if told.group else ""
    return f"{group}can't be told yet; likeliest: {', '.join(likeliest)}"


def _hours_settled(
    key: str,
    area: Working[Area] | None,
    steps: Sequence[tuple[Step, Minutes]],
    branches: Sequence[tuple[Branch, float]],
) -> tuple[float, str]:
    """Hours of doubt that finding out would take away, and how to say it."""
    over_area = sum(minutes.p50 for step, minutes in steps if step.area is not None)
    match key:
        case "finish.kind" if branches:
            hours = [spent for _, spent in branches]
            return max(hours) - min(hours), f"{min(hours):.0f} to {max(hours):.0f} h"
        case "area" if area is None:
            return float(len(steps)), "nothing can be mixed without it"
        case "area" if area is not None and isinstance(area.value, Range):
            width = (high(area.value) - low(area.value)) / area.value.usual
            return over_area / 60 * float(width), f"now {say(area.value)}"
        case "trial":
            gap = sum(minutes.p80 - minutes.p50 for step, minutes in steps if minutes.says_from == "table")
            return gap / 60, f"{gap / 60:.0f} h of doubt four times in five" if gap >= 60 else ""
    return 0.05, ""
