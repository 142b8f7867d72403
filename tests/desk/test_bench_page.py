"""The bench as its people use it, without a browser: what is ready, what is written, what is taken back."""

import html
import json
import re
from datetime import UTC, datetime, timedelta

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

import pieces
from witnessmark.documents import json_of
from witnessmark.record import (
    DayBookEntry,
    Kind,
    Revision,
    bench_now,
    keep_shop,
    keep_survey,
    new_id,
    post_entries,
    survey_checked,
)
from witnessmark.schedule import stamp

TUESDAY = datetime(2026, 11, 24, 10, 40, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _tuesday(settings, _the_demo_morning):
    """A day on which both are in."""
    settings.FIXED_NOW = TUESDAY.isoformat()


@pytest.fixture
def demo_shop(db):
    """Two of the demo pieces and its day book, kept; gives the id of a piece by its name."""
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    for name in ("chest", "chair"):
        keep_survey(pieces.piece(name), "Ines", pieces.NOW)
    post_entries([json_of(entry) for entry in pieces.daybook().entries if entry.happened < TUESDAY], TUESDAY)
    return lambda name: pieces.piece(name).id


@pytest.fixture
def later(settings):
    def at(moment: datetime) -> None:
        settings.FIXED_NOW = moment.isoformat()

    return at


def page_of(client: Client, address: str = "/bench/") -> str:
    answer = client.get(address)
    assert answer.status_code == 200, answer
    return answer.content.decode()


def form_in(page: str, name: str) -> dict[str, str]:
    """The fields of the form of that name, as a browser would send them untouched."""
    form = re.search(rf'<form[^>]*id="deed-{re.escape(name)}".*?</form>', page, re.S)
    assert form, f"no key “{name}” on the page"
    fields: dict[str, str] = {}
    for tag in re.findall(r"<input[^>]*>", form[0]):
        if 'type="checkbox"' not in tag:
            value = re.search(r'value="([^"]*)"', tag)
            fields[re.search(r'name="([^"]*)"', tag)[1]] = html.unescape(value[1] if value else "")
    for select in re.findall(r'<select[^>]*name="([^"]*)".*?</select>', form[0], re.S):
        chosen = re.search(rf'name="{re.escape(select)}".*?<option value="([^"]*)" selected', form[0], re.S)
        fields[select] = html.unescape(chosen[1]) if chosen else ""
    fields |= dict.fromkeys(re.findall(r'<textarea[^>]*name="([^"]*)"', form[0]), "")
    return fields


def press(client: Client, page: str, name: str, **typed: str):
    fields = form_in(page, name) | {key.replace("__", "."): value for key, value in typed.items()}
    return client.post("/bench/write/", fields)


def last() -> DayBookEntry:
    return DayBookEntry.objects.order_by("-cursor")[0]


def put_on_the_list(piece: str, step: str, session: int = 1, of: int = 1, who: str = "Ines", at: datetime = TUESDAY):
    """Today's list as somebody has read it: this one item."""
    item = {
        "piece": piece, "step": step, "session": session, "of": of, "trade_name": step, "kind": "labour",
        "start": stamp(at), "end": stamp(at + timedelta(hours=1)), "done": False, "says": "",
    }  # fmt: skip
    people = [{"name": who, "works": True, "items": [item], "tomorrow": {"date": None, "items": []}}]
    body = {"date": at.date().isoformat(), "looked_at": stamp(at), "people": people}
    Revision.objects.create(kind=Kind.TODAY, document="today", number=1, body=body, who=who, at=at)


def said(what: str, who: str = "Ines", at: datetime = TUESDAY, **more: object) -> str:
    ident = new_id(at)
    post_entries([{"id": ident, "what": what, "who": who, "happened": at.isoformat(), **more}], at)
    return ident


# --- whose bench, and today's list ---


def test_the_bench_is_that_of_the_one_who_entered_and_can_be_anothers(owner, demo_shop):
    assert "Then, for Ines" in page_of(owner)
    other = page_of(owner, "/bench/?who=Tobias")
    assert "Then, for Tobias" in other
    assert "Ines has" in other


def test_the_first_look_freezes_today_and_later_looks_keep_to_it(owner, helper, demo_shop):
    page_of(owner)
    kept = Revision.objects.filter(kind=Kind.TODAY)
    assert [(one.document, one.number, one.who) for one in kept] == [("today", 1, "Ines")]
    assert Revision.objects.filter(kind=Kind.CALENDAR).count() == 1
    page_of(helper)
    said("done", piece=demo_shop("chest"), step={"id": "condition.piece", "trade_name": "bring into condition"})
    page_of(owner)
    assert kept.count() == 1
    before = kept[0].body
    now = bench_now(TUESDAY)
    on_the_list = {item["step"] for one in before["people"] for item in one["items"]}
    shown = {item["step"]["id"] for one in now["people"] for key in ("ready", "then", "done") for item in one[key]}
    assert shown == on_the_list


def test_an_empty_day_is_not_frozen(owner, db):
    assert "Nothing waits" in page_of(owner) or "Not in today" in page_of(owner)
    assert not Revision.objects.filter(kind=Kind.TODAY).exists()


def test_the_bench_asks_the_record_at_most_25_times_and_no_more_for_more_pieces(owner, demo_shop):
    def asked() -> int:
        page_of(owner)
        said("note", note="so that it is read afresh")
        with CaptureQueriesContext(connection) as queries:
            page_of(owner)
        return len(queries)

    few = asked()
    for number in range(6):
        tables = json.loads(json.dumps(Revision.objects.filter(document=demo_shop("chair")).latest("number").body))
        tables |= {"id": new_id(TUESDAY + timedelta(seconds=number))}
        tables["piece"]["code"] = f"Q{number}"
        keep_survey(survey_checked(tables), "Ines", TUESDAY)
    assert few <= 25
    assert asked() <= few


# --- begin, finish, undo ---


def test_a_step_is_begun_with_one_key_and_done_with_the_next_by_its_clock(owner, demo_shop, later):
    page = page_of(owner)
    assert press(owner, page, "begin").status_code == 302
    begun = last()
    assert begun.what == "started"
    assert begun.body["step"]["labour"]  # as the plan has it, so that the shop's pace may learn
    later(TUESDAY + timedelta(minutes=35))
    page = page_of(owner)
    assert "35 min" in page
    assert press(owner, page, "finish").status_code == 302
    done = last()
    assert (done.what, done.body["minutes"], done.body["step"]["id"]) == ("done", "35 min", begun.body["step"]["id"])
    assert not bench_now(TUESDAY + timedelta(minutes=35))["timers"]


def test_minutes_that_were_typed_count_before_the_clock(owner, demo_shop, later):
    press(owner, page_of(owner), "begin")
    later(TUESDAY + timedelta(minutes=35))
    press(owner, page_of(owner), "finish", set__0__minutes="20")
    assert last().body["minutes"] == "20 min"


def test_two_taps_on_one_key_count_once(owner, demo_shop, later):
    page = page_of(owner)
    before = DayBookEntry.objects.count()
    press(owner, page, "begin")
    later(TUESDAY + timedelta(seconds=2))
    assert press(owner, page, "begin").status_code == 302
    assert DayBookEntry.objects.count() == before + 1


def test_two_people_write_at_once_each_under_their_own_name(owner, helper, demo_shop):
    mine, theirs = page_of(owner), page_of(helper)
    press(owner, mine, "begin")
    press(helper, theirs, "begin")
    press(helper, theirs, "note", set__0__note="drawers run dry")
    whose = list(DayBookEntry.objects.order_by("-cursor").values_list("who", "what")[:3])
    assert whose == [("Tobias", "note"), ("Tobias", "started"), ("Ines", "started")]
    assert "drawers run dry" in page_of(helper)


def test_undo_is_one_key_and_strikes_out_all_of_one_stroke(owner, demo_shop, later):
    press(owner, page_of(owner), "begin")
    ident = last().id
    page = page_of(owner)
    assert press(owner, page, f"undo-{ident}").status_code == 302
    assert (last().what, last().corrects) == ("corrects", ident)
    assert f"undo-{ident}" not in page_of(owner)
    assert not bench_now(TUESDAY)["timers"]


def test_an_owner_may_write_on_the_helpers_bench_and_it_is_the_helpers_work(owner, demo_shop):
    press(owner, page_of(owner, "/bench/?who=Tobias"), "minutes", set__0__minutes="45")
    assert (last().who, last().body["minutes"]) == ("Tobias", "45 min")


def test_nobody_writes_under_a_name_the_shop_does_not_know(owner, demo_shop):
    page = page_of(owner)
    press(owner, page, "note", set__0__note="x", who="Somebody Else")
    assert last().who == "Ines"


def test_a_reader_sees_the_bench_and_no_key(reader, demo_shop):
    page = page_of(reader)
    assert "deed-" not in page
    assert "do-main" not in page
    for address in ("/bench/write/", "/bench/say/", "/bench/photograph/", "/bench/day-sheet/"):
        assert reader.post(address, {}).status_code == 403


# --- the keys ---


def test_an_amount_is_a_volume_or_a_mass_as_it_is_written(owner, demo_shop):
    page = page_of(owner)
    typed = {"set.0.amounts.0.amount": "60", "set.0.amounts.0.material": "white spirit"}
    owner.post("/bench/write/", form_in(page, "amount") | typed)
    assert last().body["amounts"] == [{"material": "white spirit", "volume": "60 ml"}]
    typed["set.0.amounts.0.amount"] = "20 g"
    owner.post("/bench/write/", form_in(page_of(owner), "amount") | typed)
    assert last().body["amounts"] == [{"material": "white spirit", "mass": "20 g"}]


def test_what_is_about_another_piece_does_not_name_the_step_of_this_one(owner, demo_shop):
    page = page_of(owner)
    here = form_in(page, "minutes")["set.0.piece"]
    other = next(demo_shop(name) for name in ("chest", "chair") if demo_shop(name) != here)
    press(owner, page, "minutes", set__0__minutes="15", set__0__piece=other)
    assert last().piece == other
    assert "step" not in last().body


def test_what_is_wrong_stays_as_it_was_typed_with_its_fault_beside(owner, demo_shop):
    before = DayBookEntry.objects.count()
    answer = press(owner, page_of(owner), "minutes", set__0__minutes="soon")
    page = answer.content.decode()
    assert answer.status_code == 422
    assert DayBookEntry.objects.count() == before
    form = re.search(r'id="deed-minutes".*?</form>', page, re.S)[0]
    assert 'value="soon"' in form
    assert "“soon”" in form
    assert "expected" in form


@pytest.mark.parametrize("entries", ["", "no JSON", "{}", "[1]", "[" * 3000, json.dumps([{}] * 31), '[{"what": []}]'])
def test_a_form_that_is_none_of_ours_is_refused_and_says_so(owner, demo_shop, entries):
    before = DayBookEntry.objects.count()
    answer = owner.post("/bench/write/", {"form": "begin", "entries": entries, "set.0.amounts.*.jar": "B"})
    assert answer.status_code == 422
    assert DayBookEntry.objects.count() == before


def test_the_air_is_read_with_two_numbers_and_gives_its_verdict(owner, demo_shop):
    put_on_the_list(demo_shop("chest"), "seal_repairs.found")
    press(owner, page_of(owner), "air", set__0__temperature="9", set__0__rh="85", set__0__note="bench room")
    assert (last().body["temperature"], last().body["rh"]) == ("9 °C", "85 %")
    page = page_of(owner)
    assert re.search(r'class="verdict">.*?<b>(Heat first|Not today)</b>', page, re.S)


def test_a_jar_that_is_due_is_stirred_with_one_key(owner, demo_shop):
    page = page_of(owner)
    assert "Stir jar C" in page
    press(owner, page, "stir-C")
    assert (last().what, last().body["amounts"][0]["jar"]) == ("stirred", "C")
    assert "Stir jar C" not in page_of(owner)


def test_a_small_job_is_one_line_with_a_tick(owner, demo_shop):
    about = {"kind": "other", "came": "customer's", "job": "sticking drawer", "owner": "Pell"}
    card = survey_checked({"id": new_id(TUESDAY), "piece": about})
    keep_survey(card, "Ines", TUESDAY)
    page = page_of(owner)
    assert "sticking drawer" in page
    press(owner, page, f"job-{card.id}")
    assert (last().what, last().piece, last().body["to"]) == ("stage", card.id, "together")


def test_the_end_of_day_list_says_what_was_seen_to_and_who_checked(owner, demo_shop):
    page = page_of(owner)
    lines = [html.unescape(line) for line in re.findall(r'name="join.0.note" value="([^"]*)"', page)]
    assert any("Jars lidded" in line for line in lines)
    fields = form_in(page, "closing") | {"set.0.who": "Tobias", "join.0.note": lines[:2]}
    owner.post("/bench/write/", fields)
    assert (last().what, last().who, last().body["note"]) == ("closed up", "Tobias", "; ".join(lines[:2]))
    assert "<b>Tobias</b> checked at 10:40" in page_of(owner)


def test_a_photograph_is_kept_and_is_an_entry_on_its_piece(owner, demo_shop, settings, tmp_path):
    settings.DATA = tmp_path
    picture = next((pieces.DEMO / "pictures").glob("*.png"))
    page = page_of(owner)
    entry = re.search(r'name="entry" value="([^"]*)"', page)[1]
    for _ in range(2):  # a second tap counts once
        with picture.open("rb") as file:
            fields = {"entry": entry, "photograph": file, "piece": demo_shop("chest"), "note": "inside"}
            assert owner.post("/bench/photograph/", fields).status_code == 302
    (kept,) = DayBookEntry.objects.filter(what="photograph", happened=TUESDAY)
    assert (kept.piece, kept.body["note"]) == (demo_shop("chest"), "inside")


# --- the day in a line ---


def test_the_day_in_a_line_becomes_an_entry_each(owner, demo_shop):
    page = page_of(owner)
    entry = re.search(r'name="entry" value="([^"]*)"', page)[1]
    before = DayBookEntry.objects.count()
    for _ in range(2):
        assert (
            owner.post("/bench/say/", {"said": "3 h chest, 2 h chair", "entry": entry, "who": "Ines"}).status_code
            == 302
        )
    made = DayBookEntry.objects.order_by("cursor")[before:]
    assert [(one.piece, one.body["minutes"]) for one in made] == [
        (demo_shop("chest"), "3 h"), (demo_shop("chair"), "2 h"),
    ]  # fmt: skip


def test_a_line_that_is_not_understood_is_kept_with_what_is_amiss(owner, demo_shop):
    before = DayBookEntry.objects.count()
    answer = owner.post("/bench/say/", {"said": "3 h chest, 2 h throne", "who": "Ines"})
    page = html.unescape(answer.content.decode())
    assert answer.status_code == 422
    assert ">3 h chest, 2 h throne</textarea>" in page
    assert "“throne”: expected one of:" in page
    assert DayBookEntry.objects.count() == before


# --- clocks left running ---


def test_a_clock_left_running_stops_at_closing_and_asks_once_next_morning(owner, demo_shop, later):
    press(owner, page_of(owner), "begin")
    started = last()
    later(TUESDAY + timedelta(days=1) - timedelta(hours=2))
    page = page_of(owner)
    assert "left running and stopped at closing: was it 6 h 20 min?" in html.unescape(page)
    press(owner, page, f"was-{started.id}")
    worked = last()
    assert (worked.what, worked.body["minutes"]) == ("worked", "6 h 20 min")
    assert worked.happened == datetime(2026, 11, 24, 17, tzinfo=UTC)  # her closing time
    assert "left running" not in page_of(owner)


def test_a_clock_that_never_ran_is_struck_out(owner, demo_shop, later):
    press(owner, page_of(owner), "begin")
    started = last()
    later(TUESDAY + timedelta(days=1) - timedelta(hours=2))
    press(owner, page_of(owner), f"never-{started.id}")
    assert last().corrects == started.id
    assert "left running" not in page_of(owner)


# --- the jar's reach, before the coat ---


def test_a_jar_that_does_not_reach_says_so_before_the_coat_and_lets_it_be_begun(owner, demo_shop):
    put_on_the_list(demo_shop("chest"), "seal_repairs.found")
    page_of(owner)  # the plan of the morning counts on jar B; then most of it goes elsewhere
    said("counted", amounts=[{"material": "shellac", "volume": "4 ml", "jar": "B"}])
    page = page_of(owner, f"/bench/?at={demo_shop('chest')}/seal_repairs.found")
    assert "Jar B is short" in page
    assert re.search(r"short by \d+ ml", page)
    assert re.search(r"Mix \d+ ml more: [\d.]+ g flakes in \d+ ml</b> before you begin", page)
    assert "Short by" in page  # the drawing says it too, to who can't see it
    assert press(owner, page, "begin").status_code == 302
    assert last().what == "started"


def test_a_coat_comes_out_of_its_jar(owner, demo_shop, later):
    put_on_the_list(demo_shop("chest"), "seal_repairs.found")
    at = f"/bench/?at={demo_shop('chest')}/seal_repairs.found"
    page = page_of(owner, at)
    assert "Jar B reaches" in page
    press(owner, page, "begin")
    later(TUESDAY + timedelta(minutes=30))
    fields = form_in(page_of(owner, at), "finish") | {"set.0.amounts.0.amount": "40"}
    owner.post("/bench/write/", fields)
    coat, done = DayBookEntry.objects.order_by("-cursor")[:2][::-1]
    assert coat.what == "coat"
    assert (coat.body["amounts"][0]["volume"], coat.body["amounts"][0]["jar"]) == ("40 ml", "B")
    assert done.what == "done"
    press(owner, page_of(owner), f"undo-{coat.id}")
    assert {one.corrects for one in DayBookEntry.objects.order_by("-cursor")[:2]} == {coat.id, done.id}


def test_one_coat_of_several_is_not_the_step_done(owner, demo_shop):
    put_on_the_list(demo_shop("chest"), "thin_polish.show", 1, 3)
    at = f"/bench/?at={demo_shop('chest')}/thin_polish.show"
    press(owner, page_of(owner, at), "begin")
    page = page_of(owner, at)
    assert re.search(r"(Coat|Session) 1 is (on|done)", page)
    press(owner, page, "finish")
    assert last().what == "coat"


# --- cautions ---


def test_a_caution_that_was_read_is_not_said_again_but_a_stop_stays(owner, demo_shop):
    document = bench_now(TUESDAY)
    items = [item for one in document["people"] for key in ("ready", "then") for item in one[key]]
    items += [item for one in document["people"] for item in one["tomorrow"]["items"]]
    minded = next(item for item in items if any(one["level"] == "Mind" for one in item["cautions"]))
    at = f"/bench/?at={minded['piece']['id']}/{minded['step']['id']}"
    page = page_of(owner, at)
    slip = re.search(r'<aside class="caution".*?</aside>', page, re.S)[0]
    assert slip.count("<li>") <= 3
    levels = re.findall(r"<b>(Stop|Mind)\.</b>", slip)
    assert levels == sorted(levels, key=lambda level: level != "Stop")
    key = next(one["key"] for one in minded["cautions"] if one["level"] == "Mind")
    press(owner, page, f"read-{key}")
    assert (last().what, last().body["to"]) == ("acknowledged", key)
    assert f"read-{key}" not in page_of(owner, at)
    for stop in (one for one in minded["cautions"] if one["level"] == "Stop"):
        assert html.escape(stop["says"], quote=True) in page_of(owner, at)


# --- hostile text ---


def test_words_that_look_like_markup_stay_words(owner, demo_shop):
    nasty = '<script>alert(1)</script> "quoted" {{ x }}'
    tables = json.loads(json.dumps(Revision.objects.filter(document=demo_shop("chair")).latest("number").body))
    tables["piece"] |= {"title": nasty, "code": "A<b>"}
    keep_survey(survey_checked(tables), "Ines", TUESDAY)
    press(owner, page_of(owner), "note", set__0__note=nasty)
    page = page_of(owner)
    assert "<script>alert" not in page
    assert html.escape("<script>alert(1)</script>") in page
    answer = owner.post("/bench/say/", {"said": "</textarea><img src=x onerror=alert(1)>"})
    assert "<img src=x" not in answer.content.decode()
    assert "<script>alert" not in page_of(owner, f"/bench/?who={nasty}&at={nasty}")
