"""Taking the facts of a survey away one by one, to see which steps own up to which: see `plan/test_every_fact.py`."""

from dataclasses import replace

from pieces import NOW, shop
from witnessmark.plan.work import seen_in, work_of
from witnessmark.schedule import Minutes
from witnessmark.survey import ReadingAbout, Survey
from witnessmark.treatment import Step

NOT_FACTS_OF_THE_WORK = {"kind", "title", "code", "owner", "note", "id"}
# Facts that speak of a part's surface reach the steps through the area reckoned from them.
OF_THE_AREA = {"size", "shape", "show", "less", "count", "turning", "profile", "carving"}
LOOKS = {"spot_tests", "look_missing", "try_joints"}


def facts_of(survey: Survey) -> list[str]:
    """The key of every fact that says something, as steps cite it."""
    facts = []
    for table in ("piece", "finish", "wishes"):
        model = getattr(survey, table)
        facts += [f"{table}.{field}" for field in model.model_fields_set - NOT_FACTS_OF_THE_WORK]
    for part in survey.part:
        facts += [f"part.{part.code}.{field}" for field in part.model_fields_set - {"code", "name", "of", "note"}]
    for joint in survey.joint:
        facts += [
            f"joint.{joint.code}.{field}" for field in joint.model_fields_set - {"code", "parts", "note", "fixing"}
        ]
    facts += [key for key, _ in survey.condition_facts()]
    facts += [f"trial.{number}" for number in range(1, len(survey.trial) + 1)]
    dates = [number for number, one in enumerate(survey.reading, 1) if one.about is ReadingAbout.DATE]
    facts += [f"reading.{number}" for number in dates]
    return sorted(facts)


def without(survey: Survey, fact: str) -> Survey:
    """The survey with one fact not known."""
    table, *rest = fact.split(".")
    match table:
        case "piece" | "finish" | "wishes":
            model = getattr(survey, table)
            return survey.model_copy(update={table: _unsaid(model, rest[0])})
        case "part" | "joint":
            code, field = ".".join(rest[:-1]), rest[-1]
            rows = tuple(_unsaid(row, field) if row.code == code else row for row in getattr(survey, table))
            return survey.model_copy(update={table: rows})
        case "condition":
            kept = tuple(row for key, row in survey.condition_facts() if key != fact)
            return survey.model_copy(update={"condition": kept})
    kept = tuple(row for number, row in enumerate(getattr(survey, table), 1) if f"{table}.{number}" != fact)
    return survey.model_copy(update={table: kept})


def _unsaid(model, field):
    return model.model_copy(update={field: type(model).model_fields[field].get_default()})


def work_without_dates(survey: Survey) -> dict[str, tuple[Step, Minutes]]:
    """Each step with its minutes, as `plan_piece` has them before it gives them days."""
    seen = seen_in(survey, shop(), NOW)
    work = work_of(seen, seen.chosen()[0])
    return {step.id: (replace(step, after=(), task=None), work.minutes[step.id]) for step in work.steps}


def cited(planned: tuple[Step, Minutes]) -> set[str]:
    return {cite for reason in planned[0].why for cite in reason.cites}


def cites(step: tuple[Step, Minutes], fact: str) -> bool:
    through_area = fact == "piece.size" or (fact.startswith("part.") and fact.rsplit(".", 1)[1] in OF_THE_AREA)
    return fact in cited(step) or (through_area and "area" in cited(step))


def astray(survey: Survey) -> list[str]:
    """Each fact whose absence does what no *why* owns up to, or nothing where one does."""
    found = []
    before = work_without_dates(survey)
    for fact in facts_of(survey):
        after = work_without_dates(without(survey, fact))
        changed = {key for key, step in before.items() if after.get(key) != step}
        found += [f"{fact}: {key} changed without citing it" for key in sorted(changed) if not cites(before[key], fact)]
        # A stage more is the same glue-up changed, and each of its stages must own up to it.
        glued = {"glue_up"} if any(step.rule == "glue_up" for step, _ in before.values()) else set()
        added = {step.rule for key, (step, _) in after.items() if key not in before} - glued
        found += [f"{fact}: adds {rule}" for rule in sorted(added - LOOKS)]
        direct = {key for key, step in before.items() if fact in cited(step)}
        found += [f"{fact}: {key} cites it and stays as it was" for key in sorted(direct - changed)]
    return found
