"""plan.json against its published schema, by another library (jsonschema, JSON Schema draft 2020-12)."""

import pytest
from jsonschema import Draft202012Validator

from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.plan import plan_as_json, plan_piece, plan_schema


def test_the_schema_is_a_schema():
    Draft202012Validator.check_schema(plan_schema())


@pytest.mark.parametrize("name", PIECES)
def test_every_demo_plan_fits_its_schema(name):
    plan = plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW))
    faults = [f"{error.json_path}: {error.message}" for error in Draft202012Validator(plan_schema()).iter_errors(plan)]
    assert faults == []


def test_a_broken_plan_does_not_fit():
    plan = plan_as_json(plan_piece(piece("chair"), shop(), daybook(), NOW))
    plan["steps"][0]["undo"] = "perhaps"
    assert list(Draft202012Validator(plan_schema()).iter_errors(plan))
