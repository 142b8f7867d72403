"""The bench's document from the record: frozen by whoever looks first, and quick to have again."""

from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from jsonschema import Draft202012Validator

import pieces
import witnessmark.record.bench as bench
from witnessmark.documents import json_of
from witnessmark.plan import bench_schema, plan_shop
from witnessmark.record import Kind, Revision, bench_now, keep_shop, keep_survey, new_id, plans_here, post_entries

MORNING = datetime(2026, 11, 24, 8, 45, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _kept(db):
    keep_shop(pieces.shop(), "Ines", MORNING)
    for name in ("chest", "chair"):
        keep_survey(pieces.piece(name), "Ines", MORNING)
    post_entries([json_of(entry) for entry in pieces.daybook().entries if entry.happened < MORNING], MORNING)


def lists() -> list[Revision]:
    return list(Revision.objects.filter(kind=Kind.TODAY).order_by("number"))


def test_the_document_is_as_its_schema_has_it():
    assert list(Draft202012Validator(bench_schema()).iter_errors(bench_now(MORNING))) == []


def test_a_new_day_has_a_new_list_and_the_old_one_is_kept():
    bench_now(MORNING, "Ines")
    bench_now(MORNING + timedelta(hours=4), "Tobias")
    bench_now(MORNING + timedelta(days=2), "Tobias")
    assert [(one.number, one.who, one.body["date"]) for one in lists()] == [
        (1, "Ines", "2026-11-24"), (2, "Tobias", "2026-11-26"),
    ]  # fmt: skip


def test_of_two_who_look_at_once_the_first_ones_list_holds(monkeypatch):
    def while_another_looks(*asked):
        monkeypatch.setattr(bench, "plan_shop", plan_shop)
        bench_now(MORNING, "Tobias")
        return plan_shop(*asked)

    monkeypatch.setattr(bench, "plan_shop", while_another_looks)
    mine = bench_now(MORNING, "Ines")
    assert [one.who for one in lists()] == ["Tobias"]
    read = {item["step"] for one in lists()[0].body["people"] for item in one["items"]}
    assert read == {item["step"]["id"] for one in mine["people"] for key in ("ready", "then") for item in one[key]}


def test_the_same_minute_costs_three_questions_and_a_new_entry_is_seen_at_once():
    bench_now(MORNING)
    bench_now(MORNING)
    with CaptureQueriesContext(connection) as queries:
        bench_now(MORNING)
    assert len(queries) <= 3
    air = {"id": new_id(MORNING), "what": "air", "who": "Ines", "happened": MORNING.isoformat(), "temperature": "18 °C"}
    post_entries([air], MORNING)
    assert bench_now(MORNING)["air"]["said"] == "18 °C"


def test_so_many_pieces_are_planned_at_a_look_and_the_rest_at_the_next(monkeypatch):
    monkeypatch.setattr(bench, "AT_A_LOOK", 1)
    assert len(plans_here(MORNING)) == 1
    assert len(plans_here(MORNING)) == 2


def test_a_correction_that_came_later_strikes_out_what_was_read_before():
    started = {"id": new_id(MORNING), "what": "started", "who": "Ines", "happened": MORNING.isoformat(),
               "piece": pieces.chest().id}  # fmt: skip
    post_entries([started], MORNING)
    assert len(bench_now(MORNING)["timers"]) == 1
    undo = {"id": new_id(MORNING), "what": "corrects", "who": "Ines", "happened": MORNING.isoformat(),
            "corrects": started["id"]}  # fmt: skip
    post_entries([undo], MORNING)
    assert bench_now(MORNING)["timers"] == []
