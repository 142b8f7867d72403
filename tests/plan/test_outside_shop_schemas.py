"""The shop's problem and its calendar against their schemas, by another library (jsonschema, draft 2020-12)."""

import pytest
from jsonschema import Draft202012Validator

from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.plan import plan_as_json, plan_piece, plan_shop, shop_problem
from witnessmark.schedule import calendar_schema, problem_schema


def faults(schema, document):
    return [f"{error.json_path}: {error.message}" for error in Draft202012Validator(schema).iter_errors(document)]


def demo_plans():
    return [plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW)) for name in PIECES]


@pytest.mark.parametrize("schema", [calendar_schema(), problem_schema()], ids=["calendar", "problem"])
def test_the_schema_is_a_schema(schema):
    Draft202012Validator.check_schema(schema)


def test_the_demo_shop_fits_both():
    plans = demo_plans()
    posted = plan_shop(plans, shop(), daybook(), NOW).as_json()
    assert faults(problem_schema(), shop_problem(plans, shop(), daybook(), NOW, posted)) == []
    off = shop().model_copy(update={"closed": (*shop().closed, NOW.date())})
    again = plan_shop(plans, off, daybook(), NOW, posted).as_json()
    assert again["moved"]
    assert faults(calendar_schema(), again) == []


def test_a_broken_one_does_not_fit():
    problem = shop_problem(demo_plans(), shop(), daybook(), NOW)
    problem["jobs"][0]["kind"] = "rest"
    assert faults(problem_schema(), problem)
    assert faults(calendar_schema(), {})
