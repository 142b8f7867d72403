"""What is known, what is missing, and the one thing most worth finding out."""

from collections.abc import Sequence

from witnessmark.quantities import Area, Range, high, low, say
from witnessmark.schedule import Minutes
from witnessmark.sources import Working, table
from witnessmark.survey import Survey
from witnessmark.treatment import Step, old_finish_of

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
        if said := _said(survey, key):
            known.append(Fact(key, name, said))
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
