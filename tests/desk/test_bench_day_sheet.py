"""The day sheet: printed in the morning, entered at night in two minutes."""

import html
import re
from datetime import UTC, datetime

import pytest

import pieces
from witnessmark.documents import json_of
from witnessmark.record import DayBookEntry, bench_now, keep_shop, keep_survey, post_entries

TUESDAY = datetime(2026, 11, 24, 10, 40, tzinfo=UTC)
EVENING = datetime(2026, 11, 24, 21, 0, tzinfo=UTC)


@pytest.fixture
def shop_open(db, settings, _the_demo_morning):
    """The chest and the chair, on a day both people are in; looked at in the morning, entered at night."""
    settings.FIXED_NOW = TUESDAY.isoformat()
    keep_shop(pieces.shop(), "Ines", TUESDAY)
    for name in ("chest", "chair"):
        keep_survey(pieces.piece(name), "Ines", TUESDAY)
    post_entries([json_of(entry) for entry in pieces.daybook().entries if entry.happened < TUESDAY], TUESDAY)
    bench_now(TUESDAY)
    settings.FIXED_NOW = EVENING.isoformat()


def fields_of(page: str) -> dict[str, str]:
    form = re.search(r'<form method="post" class="write sheet-form".*?</form>', page, re.S)[0]
    names = re.findall(r'name="([^"]*)"(?: value="([^"]*)")?', form)
    return {html.unescape(name): html.unescape(value) for name, value in names if not name.startswith("done:")}


def boxes_of(page: str) -> list[str]:
    return [html.unescape(name) for name in re.findall(r'name="(done:[^"]*)"', page)]


def test_the_sheet_prints_as_a_pdf_with_a_page_for_each_who_is_in(owner, shop_open):
    answer = owner.get("/bench/day-sheet.pdf")
    assert answer["Content-Type"] == "application/pdf"
    assert answer.content.startswith(b"%PDF-")
    assert len(re.findall(rb"/Type\s*/Page\b", answer.content)) == 2


def test_what_was_ticked_is_done_and_minutes_alone_are_work_not_finished(owner, shop_open):
    page = owner.get("/bench/day-sheet/?who=Tobias").content.decode()
    first, second = boxes_of(page)[:2]
    fields = fields_of(page) | {
        first: "yes", first.replace("done:", "minutes:"): "40", second.replace("done:", "minutes:"): "1 h",
    }  # fmt: skip
    before = DayBookEntry.objects.count()
    for _ in range(2):  # twice is once
        assert owner.post("/bench/day-sheet/", fields).status_code == 302
    made = list(DayBookEntry.objects.order_by("cursor")[before:])
    assert [(one.what, one.who, one.body["minutes"]) for one in made] == [
        ("done", "Tobias", "40 min"), ("worked", "Tobias", "1 h"),
    ]  # fmt: skip
    # It was done by closing, not when it was entered.
    assert {one.happened for one in made} == {datetime(2026, 11, 24, 16, 30, tzinfo=UTC)}


def test_a_sheet_with_a_slip_is_kept_as_it_was_typed(owner, shop_open):
    page = owner.get("/bench/day-sheet/?who=Tobias").content.decode()
    minutes = boxes_of(page)[0].replace("done:", "minutes:")
    before = DayBookEntry.objects.count()
    answer = owner.post("/bench/day-sheet/", fields_of(page) | {minutes: "all day"})
    assert answer.status_code == 422
    assert 'value="all day"' in answer.content.decode()
    assert DayBookEntry.objects.count() == before


def test_a_reader_may_look_at_the_sheet(reader, shop_open):
    page = reader.get("/bench/day-sheet/").content.decode()
    assert "Enter the sheet" not in page


def test_what_was_written_on_the_empty_lines_is_entered_with_the_rest(owner, shop_open):
    page = owner.get("/bench/day-sheet/?who=Tobias").content.decode()
    assert owner.post("/bench/day-sheet/", fields_of(page) | {"said": "30 min chair"}).status_code == 302
    entry = DayBookEntry.objects.order_by("-cursor")[0]
    assert (entry.who, entry.piece, entry.body["minutes"]) == ("Tobias", pieces.chair().id, "30 min")
    slip = owner.post("/bench/day-sheet/", fields_of(page) | {"said": "30 min throne"})
    assert slip.status_code == 422
    assert "30 min throne</textarea>" in slip.content.decode()
