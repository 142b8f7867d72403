"""Stock: pieces by stage and by what they wait on, found in five seconds, small jobs in one line."""

from datetime import date

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

import pieces
from forms_sent import form_of
from witnessmark.daybook import Stage
from witnessmark.record import DayBookEntry, PlanKept, StockRow, daybook_of, survey_of

MOST_QUERIES = 25
WICKED = "<script>alert(1)</script>"


def queries_of(client, address):
    with CaptureQueriesContext(
        connection,
    ) as asked:
        assert client.get(address).status_code == 200
    return len(asked)


def stock_of(number):
    """So many pieces, spread over the stages, some promised, some planned."""
    stages = [stage.value for stage in Stage]
    StockRow.objects.bulk_create(
        StockRow(
            piece=f"0190a5b2-0000-7000-8000-{at:012d}", code=f"K{at}", title=f"Piece {at}", kind="table",
            owner=f"Owner {at % 97}", stage=stages[at % 7], waits_on="a coat to dry" if at % 3 else "",
            promised=date(2026, 12, 1 + at % 28) if at % 2 else None, revision=1, touched=pieces.NOW,
            words=f"k{at} piece {at} owner {at % 97}",
        )
        for at in range(number)
    )  # fmt: skip


def test_every_stage_has_its_row_with_the_struck_triangle(owner, demo_shop):
    demo_shop("chest")
    page = owner.get("/").content.decode()
    assert "Victorian mahogany chest of drawers" in page
    for stage in Stage:
        assert f">{stage.words}</h3>" in page
    assert page.count('class="strip"') == 7


def test_pieces_stand_by_what_they_wait_on_when_asked(owner, db):
    stock_of(9)
    page = owner.get("/?by=waits").content.decode()
    assert page.index("Nothing in its way") < page.index("a coat to dry")
    assert "Piece 6" not in page  # it is out, and waits on nothing


def test_the_first_page_asks_few_questions_however_many_pieces_there_are(owner, db):
    stock_of(20)
    few = queries_of(owner, "/")
    stock_of_many = StockRow.objects.count()
    StockRow.objects.all().delete()
    stock_of(3000)
    assert StockRow.objects.count() > stock_of_many
    assert queries_of(owner, "/") <= MOST_QUERIES
    assert queries_of(owner, "/") <= few + 6  # the undated of a stage are not looked for where the dated fill its row
    assert queries_of(owner, "/?by=waits") <= MOST_QUERIES


def test_all_that_is_out_is_paged(owner, db):
    stock_of(700)
    page = owner.get("/?stage=out").content.decode()
    assert "1 of 2" in page
    assert owner.get("/?stage=out&page=2").status_code == 200
    assert "Piece 6<" in owner.get("/?stage=out&page=2").content.decode() + page


@pytest.mark.parametrize("words", ["penwhistle", "W2", "w2", "windsor", "ash elm"])
def test_a_piece_is_found_by_surname_code_or_any_word(owner, demo_shop, words):
    demo_shop("chair")
    page = owner.get("/find/", {"q": words}).content.decode()
    assert "Ash and elm Windsor armchair" in page
    for line in ("Done", "Waiting on", "Safe day to say"):
        assert line in page
    assert "Victorian mahogany" not in page


def test_finding_asks_few_questions(owner, demo_shop):
    demo_shop("chest")
    owner.get("/find/?q=m")  # plans are made by whoever asks first
    assert queries_of(owner, "/find/?q=m") <= MOST_QUERIES


def test_finding_tells_the_safe_day_of_the_plan(owner, demo_shop):
    chest = demo_shop("chest")
    page = owner.get("/find/?q=C1").content.decode()
    safe = PlanKept.objects.get(piece=chest).safe_day
    assert f"{safe.day} {safe:%b}" in page
    assert "tell the owner" in page  # safe is later than the winter fair


def test_as_one_types_only_the_answer_comes(owner, demo_shop):
    demo_shop("chair")
    part = owner.get("/find/?q=penwhistle", headers={"HX-Request": "true"}).content.decode()
    assert "Windsor" in part
    assert "<html" not in part


def test_nothing_found_is_said(owner, db):
    assert "Nothing here goes by “zzz”" in owner.get("/find/?q=zzz").content.decode()
    assert owner.get("/find/?q=").status_code == 200
    assert owner.get("/find/?q=" + "%25_'\"").status_code == 200


# ---- small jobs ----


def made_job(client, **said):
    form = {"owner": "Pell", "job": "glue one loose leg", "price_said": "£45", "promised": "2026-12-04"} | said
    return client.post("/job/", form)


def test_a_job_card_is_made_in_one_line(helper, db):
    assert made_job(helper).status_code == 302
    row = StockRow.objects.get()
    assert (row.job, row.owner, row.promised) == ("glue one loose leg", "Pell", date(2026, 12, 4))
    page = helper.get("/").content.decode()
    assert "glue one loose leg" in page
    assert "£45" in page


def test_the_same_tap_twice_makes_one_card(helper, db):
    entry = "0190a5b2-0000-7000-8000-000000000abc"
    made_job(helper, entry=entry)
    made_job(helper, entry=entry)
    assert StockRow.objects.count() == 1


@pytest.mark.parametrize(
    ("said", "words"),
    [({"job": ""}, "in one line"), ({"price_said": "a fiver"}, "a fiver"), ({"promised": "Friday"}, "Friday")],
)
def test_a_card_that_is_not_understood_keeps_what_was_typed(helper, db, said, words):
    answer = made_job(helper, **said)
    page = answer.content.decode()
    assert answer.status_code == 422
    assert words in page
    assert "Pell" in page
    assert StockRow.objects.count() == 0


def test_a_job_is_ticked_done_and_paid_and_the_ticks_come_off_again(helper, db):
    made_job(helper)
    piece = StockRow.objects.get().piece
    assert helper.post(f"/p/{piece}/tick/", {"what": "done"}).status_code == 302
    assert helper.post(f"/p/{piece}/tick/", {"what": "paid", "sum": "£45"}).status_code == 302
    kinds = {(entry.what.value, entry.to) for entry in daybook_of(piece).entries}
    assert kinds == {("stage", "together"), ("paid", "")}
    assert (StockRow.objects.get().stage, StockRow.objects.get().paid) == ("together", True)
    assert helper.get("/").content.decode().count('aria-pressed="true"') == 2
    helper.post(f"/p/{piece}/tick/", {"what": "paid", "untick": "yes"})
    assert not StockRow.objects.get().paid
    assert DayBookEntry.objects.count() == 3  # nothing is taken out of the day book


def test_a_tick_by_htmx_gives_back_its_line(helper, db):
    made_job(helper)
    piece = StockRow.objects.get().piece
    page = helper.post(f"/p/{piece}/tick/", {"what": "done"}, headers={"HX-Request": "true"}).content.decode()
    assert page.startswith(f'<li id="job-{piece}"')


def test_paid_wants_a_sum_of_money(helper, db):
    made_job(helper, price_said="")
    piece = StockRow.objects.get().piece
    page = helper.post(f"/p/{piece}/tick/", {"what": "paid", "sum": "much"}, follow=True).content.decode()
    assert "much" in page
    assert not StockRow.objects.get().paid


def test_a_job_card_grows_into_a_survey(helper, db):
    made_job(helper)
    piece = StockRow.objects.get().piece
    assert f"/p/{piece}/survey/" in helper.get("/").content.decode()
    helper.post(f"/p/{piece}/survey/piece/", form_of(helper, piece, "piece") | {"kind": "chair", "show_wood": "beech"})
    assert survey_of(piece).piece.show_wood == "beech"


def test_what_people_wrote_is_shown_as_text_and_never_run(helper, db):
    made_job(helper, job=f"mend {WICKED}", owner=f"Pell {WICKED}")
    piece = StockRow.objects.get().piece
    for address in ("/", "/find/?q=mend", f"/p/{piece}/", f"/p/{piece}/survey/", f"/p/{piece}/history/"):
        page = helper.get(address).content.decode()
        assert WICKED not in page
        assert "&lt;script&gt;" in page or "mend" not in page


def test_a_reader_looks_and_changes_nothing(reader, demo_shop):
    chest = demo_shop("chest")
    page = reader.get("/").content.decode()
    assert "Make the job card" not in page
    for address in ("/job/", f"/p/{chest}/tick/"):
        assert reader.post(address, {"job": "x"}).status_code == 403
    assert reader.get("/new/").status_code == 403
