"""A piece on its page: what is known and next, ways and steps decided by hand, its stage, its day book, its history."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from forms_sent import form_of
from witnessmark.daybook import Stage, What
from witnessmark.desk.clock import now
from witnessmark.plan import stage_of
from witnessmark.record import DayBookEntry, Revision, daybook_of, latest, plan_of, post_entries, survey_of

WICKED = "<img src=x onerror=alert(1)>"
PAGES = ("", "figures/", "daybook/", "history/", "survey/", "read/date/", "read/wood/", "read/finish/", "receipt/")


@pytest.mark.parametrize("name", ["chest", "chair", "slope", "dresser"])
@pytest.mark.parametrize("page", PAGES)
def test_every_page_of_every_piece_opens(owner, demo_shop, name, page):
    assert owner.get(f"/p/{demo_shop(name)}/{page}").status_code == 200


def test_the_page_says_what_is_known_missing_next_and_most_worth_finding_out(owner, demo_shop):
    slope = demo_shop("slope")
    page = owner.get(f"/p/{slope}/").content.decode()
    plan = plan_of(slope, now()).body
    for heading in ("Known", "Missing", "Next", "Ways to go about it", "Steps", "Figures", "Photographs"):
        assert heading in page
    worth = plan["facts"]["most_worth_finding_out"]
    assert worth
    assert "Most worth finding out" in page
    assert worth["how"] in page


def test_cautions_come_before_figures_and_each_stands_once_among_the_steps(owner, demo_shop):
    page = owner.get(f"/p/{demo_shop('dresser')}/").content.decode()
    assert page.index("Cautions that bind here") < page.index(">Figures<") < page.index(">Steps<")
    steps = page[page.index(">Steps<") :]
    cautions = {one["says"] for one in plan_of(demo_shop_id(page), now()).body["cautions"]}
    assert cautions
    assert all(steps.count(f"</b> {words} ") <= 1 for words in cautions)


def demo_shop_id(page):
    return page.split("/survey/")[0].rpartition("/p/")[2]


def test_a_piece_is_reached_by_the_code_on_its_tape(owner, demo_shop):
    chest = demo_shop("chest")
    assert owner.get("/p/c1/", follow=True).redirect_chain == [(f"/p/{chest}/", 302)]
    assert owner.get("/p/zz/").status_code == 404


def test_money_is_an_owners_and_hours_are_for_all(owner, helper, demo_shop):
    chest = demo_shop("chest")
    page = owner.get(f"/p/{chest}/").content.decode()
    assert "Price to quote" in page
    for address in ("", "figures/"):
        seen = helper.get(f"/p/{chest}/{address}").content.decode()
        assert "Price to quote" not in seen
        assert "Clears" not in seen
        assert "£2,979" not in seen
    assert "Bench time to come" in helper.get(f"/p/{chest}/").content.decode()


def test_every_figure_opens_its_working(owner, demo_shop):
    chest = demo_shop("chest")
    page = owner.get(f"/p/{chest}/figures/").content.decode()
    assert page.count("show the working") == len(plan_of(chest, now()).body["workings"])


def test_the_page_asks_few_questions(owner, demo_shop):
    chest = demo_shop("chest")
    owner.get(f"/p/{chest}/")
    with CaptureQueriesContext(connection) as asked:
        owner.get(f"/p/{chest}/")
    assert len(asked) <= 25


# ---- decided by hand ----


def test_a_way_is_chosen_with_why(helper, demo_shop):
    chest = demo_shop("chest")
    answer = helper.post(f"/p/{chest}/way/", {"way": "clean_wax", "why": "The owner likes it as it is."})
    assert answer.status_code == 302
    decision = survey_of(chest).decision[-1]
    assert (decision.about.value, decision.choose, decision.who) == ("way", "clean_wax", "Tobias")
    assert next(way for way in plan_of(chest, now()).body["ways"] if way["chosen"])["key"] == "clean_wax"


@pytest.mark.parametrize(
    ("sent", "words"),
    [({"way": "clean_wax", "why": ""}, "Say why"), ({"way": "", "why": "x"}, "what is decided"),
     ({"way": "clen_wax", "why": "x"}, "clean_wax")],
)  # fmt: skip
def test_a_way_without_why_or_that_is_none_is_refused(helper, demo_shop, sent, words):
    chest = demo_shop("chest")
    answer = helper.post(f"/p/{chest}/way/", sent)
    assert answer.status_code == 422
    assert words in answer.content.decode()
    assert latest(chest).number == 1


def test_a_price_is_an_owners_to_accept(owner, helper, demo_shop):
    chest = demo_shop("chest")
    assert helper.post(f"/p/{chest}/price/", {"price": "£900", "why": "agreed"}).status_code == 403
    assert owner.post(f"/p/{chest}/price/", {"price": "£900", "why": "agreed by letter"}).status_code == 302
    assert survey_of(chest).decision[-1].price.text == "£900"
    refused = owner.post(f"/p/{chest}/price/", {"price": "dear", "why": "x"})
    assert refused.status_code == 422
    assert 'value="dear"' in refused.content.decode()


def test_a_step_is_left_out_and_one_added_with_why(helper, demo_shop):
    chest = demo_shop("chest")
    helper.post(f"/p/{chest}/step/", {"about": "skip", "step": "wax", "why": "It goes out unwaxed."})
    helper.post(
        f"/p/{chest}/step/",
        {"about": "add", "choose": "make a new key", "minutes": "40 min", "after": "dewax", "why": "One is lost."},
    )
    steps = [step["trade_name"] for step in plan_of(chest, now()).body["steps"]]
    assert "make a new key" in steps
    assert not any(step["rule"] == "wax" for step in plan_of(chest, now()).body["steps"])


# ---- stage, paid, notes, undo ----


def test_a_piece_is_moved_by_hand(helper, demo_shop):
    slope = demo_shop("slope")
    page = helper.post(f"/p/{slope}/stage/", {"to": "out", "note": "fetched, both keys with it"}, follow=True)
    entry = daybook_of(slope).entries[-1]
    # Beside what was just said, and at its line in the day book.
    assert page.content.decode().count(f'action="/entry/{entry.id}/undo/"') == 2
    assert stage_of(survey_of(slope), daybook_of(slope)).stage is Stage.OUT
    page = helper.post(f"/p/{slope}/stage/", {"to": "nowhere"}, follow=True).content.decode()
    assert "expected the stage" in page


def test_it_is_not_called_together_while_a_part_is_off(helper, demo_shop):
    chest = demo_shop("chest")
    helper_off(chest, "DR1")
    page = helper.post(f"/p/{chest}/stage/", {"to": "together"}, follow=True).content.decode()
    assert "Not together yet: DR1" in page
    assert stage_of(survey_of(chest), daybook_of(chest)).stage is not Stage.TOGETHER


def helper_off(piece, part):
    entry = {"id": "0190a5b2-0000-7000-8000-0000000000ff", "what": "off", "who": "Tobias", "piece": piece, "part": part,
             "happened": now().isoformat()}  # fmt: skip
    post_entries([entry], now())


def test_an_entry_is_undone_by_another_and_can_still_be_read(helper, demo_shop):
    slope = demo_shop("slope")
    helper.post(f"/p/{slope}/note/", {"note": "a coin under the lining"})
    entry = next(one for one in daybook_of(slope).entries if one.what is What.NOTE)
    assert helper.post(f"/entry/{entry.id}/undo/").status_code == 302
    assert entry.id not in {one.id for one in daybook_of(slope).entries}
    assert "a coin under the lining" in helper.get(f"/p/{slope}/daybook/").content.decode()
    assert helper.post("/entry/0190a5b2-0000-7000-8000-00000000dead/undo/").status_code == 404


def test_two_taps_on_one_form_count_once(helper, demo_shop):
    slope = demo_shop("slope")
    entry = "0190a5b2-0000-7000-8000-0000000000aa"
    before = DayBookEntry.objects.count()
    for _ in range(2):
        helper.post(f"/p/{slope}/paid/", {"sum": "£20", "entry": entry})
    assert DayBookEntry.objects.count() == before + 1


def test_what_was_paid_wants_a_sum(helper, demo_shop):
    slope = demo_shop("slope")
    page = helper.post(f"/p/{slope}/paid/", {"sum": ""}, follow=True).content.decode()
    assert "what was paid" in page


# ---- history ----


def test_history_says_who_changed_what_and_any_state_comes_back(owner, helper, demo_shop):
    chair = demo_shop("chair")
    was = survey_of(chair)
    helper.post(f"/p/{chair}/survey/piece/", form_of(helper, chair, "piece") | {"weight": "6.2 kg"})
    page = owner.get(f"/p/{chair}/history/").content.decode()
    assert "State 2" in page
    assert "Tobias" in page
    assert "piece.weight" in page
    assert owner.post(f"/p/{chair}/history/1/back/").status_code == 302
    assert survey_of(chair) == was
    assert Revision.objects.filter(document=chair).count() == 3
    assert owner.post(f"/p/{chair}/history/99/back/").status_code == 404


def test_hostile_words_are_shown_as_words_on_every_page(owner, demo_shop):
    chair = demo_shop("chair")
    sent = form_of(owner, chair, "piece") | {"title": f"Chair {WICKED}", "note": WICKED, "owner": WICKED}
    owner.post(f"/p/{chair}/survey/piece/", sent)
    owner.post(f"/p/{chair}/note/", {"note": WICKED})
    owner.post(f"/p/{chair}/way/", {"way": "clean_wax", "why": WICKED})
    assert survey_of(chair).piece.title == f"Chair {WICKED}"
    for page in PAGES:
        assert WICKED not in owner.get(f"/p/{chair}/{page}").content.decode()
    assert WICKED not in owner.get("/find/?q=chair").content.decode()


@pytest.mark.parametrize("page", ["way/", "step/", "stage/", "paid/", "note/", "history/1/back/", "receipt/",
                                  "read/date/", "read/date/0/back/", "price/"])  # fmt: skip
def test_a_reader_changes_nothing(reader, demo_shop, page):
    assert reader.post(f"/p/{demo_shop('chest')}/{page}", {}).status_code == 403


@pytest.mark.parametrize("page", PAGES)
def test_a_piece_that_is_not_here_is_not_found(owner, db, page):
    assert owner.get(f"/p/0190a5b2-0000-7000-8000-00000000dead/{page}").status_code == 404
