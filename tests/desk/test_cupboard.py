"""The cupboard: jars as they stand, what is written of them, what to mix and buy, the store, looking it through."""

import json
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection
from django.test.utils import CaptureQueriesContext

import photographs
import pieces
from witnessmark.record import DayBookEntry, StockRow, the_shop

WICKED = "<script>alert(1)</script>"


def form_in(page: str, name: str) -> dict[str, str]:
    """The hidden fields of the key of that name."""
    form = re.search(rf'name="form" value="{re.escape(name)}".*?</form>', page, re.S)
    assert form, name
    hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form[0])
    return {"form": name} | {key: value.replace("&quot;", '"').replace("&#x27;", "'") for key, value in hidden}


def entries(**said) -> int:
    return DayBookEntry.objects.filter(**said).count()


@pytest.fixture
def cupboard(helper, demo_shop):
    demo_shop("chest")
    return lambda: helper.get("/cupboard/").content.decode()


def test_every_jar_is_drawn_with_what_it_holds_and_what_its_next_use_takes(cupboard):
    said = cupboard()
    assert said.count('<div class="plank">') == 3
    assert "Did not dry hard" in said  # jar A, by its drop on glass
    assert "C1, seal the repairs" in said
    assert "Highly flammable liquid and vapour (H225)." in said


def test_what_is_to_be_mixed_says_how_much_of_what_and_opens_its_working(cupboard):
    said = cupboard()
    assert "shellac flakes" in said
    assert "flakes = solvent × cut" in said
    assert 'name="set.0.amounts.*.jar"' in said


def test_a_jar_that_is_measured_stands_at_what_was_found(helper, cupboard):
    form = form_in(cupboard(), "count-B")
    answer = helper.post("/cupboard/write/", form | {"set.0.amounts.0.amount": "90"})
    assert (answer.status_code, entries(what="counted")) == (302, 1)
    assert "90 ml in it" in cupboard()


def test_two_taps_count_once_and_undo_strikes_it_out(helper, cupboard):
    form = form_in(cupboard(), "use-B") | {"set.0.amounts.0.amount": "60 ml"}
    for _ in range(2):
        helper.post("/cupboard/write/", form)
    assert entries(what="used", jar="B") == 1 + sum(
        entry.what == "used" and any(one.jar == "B" for one in entry.amounts) for entry in pieces.daybook().entries
    )
    assert "120 ml in it" in cupboard()
    written = json.loads(form["entries"])[0]["id"]
    assert helper.post(f"/cupboard/undo/{written}/").status_code == 302
    assert "180 ml in it" in cupboard()


def test_a_drop_that_stayed_soft_is_said_of_its_jar(helper, cupboard):
    helper.post("/cupboard/write/", form_in(cupboard(), "glass-B") | {"set.0.to": "stayed soft"})
    assert cupboard().count("Did not dry hard") == 2


def test_a_jar_that_is_thrown_away_is_gone(helper, cupboard):
    helper.post("/cupboard/write/", form_in(cupboard(), "away-A") | {"set.0.note": "too old"})
    assert cupboard().count('<div class="plank">') == 2


def test_what_is_mixed_stands_as_a_jar_and_is_no_longer_to_be_mixed(helper, cupboard):
    before = cupboard()
    name = next(found for found in re.findall(r'name="form" value="(mix-[^"]+)"', before) if "shellac" in found)
    form = form_in(before, name) | {"set.0.amounts.*.jar": "D"}
    assert helper.post("/cupboard/write/", form).status_code == 302
    after = cupboard()
    assert "Jar D" in after
    assert "Not ready till" in after
    assert f'value="{name}"' not in after


def test_what_is_typed_wrong_is_kept_in_its_form_with_what_is_amiss(helper, cupboard):
    answer = helper.post("/cupboard/write/", form_in(cupboard(), "count-B") | {"set.0.amounts.0.amount": WICKED})
    said = answer.content.decode()
    assert answer.status_code == 422
    assert WICKED not in said
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in said
    assert entries(what="counted") == 0


def test_a_reader_sees_the_cupboard_and_no_key(reader, demo_shop):
    demo_shop("chest")
    said = reader.get("/cupboard/").content.decode()
    assert "Jar B" in said
    assert "cupboard/write" not in said
    assert reader.post("/cupboard/write/").status_code == 403


def test_prices_are_for_owners(owner, helper, demo_shop):
    demo_shop("chest")
    to_buy = re.compile(r"<b>2 × 400 ml</b>( <span)?")
    assert to_buy.search(owner.get("/cupboard/").content.decode())[1]
    assert not to_buy.search(helper.get("/cupboard/").content.decode())[1]


@pytest.mark.parametrize(
    "address", ["/cupboard/", "/cupboard/store/", "/cupboard/look-through/", "/wall/", "/books/", "/shop/"]
)
def test_no_page_asks_more_than_25_questions_of_ten_thousand_pieces(owner, demo_shop, address):
    demo_shop("chest")
    StockRow.objects.bulk_create(
        StockRow(piece=f"0190a5b2-0000-7000-8000-{at:012d}", title="a table", kind="table", stage="out", revision=1,
                 touched=pieces.NOW) for at in range(10_000)
    )  # fmt: skip
    owner.get(address)  # plans are made by whoever asks first
    with CaptureQueriesContext(connection) as asked:
        assert owner.get(address).status_code == 200
    assert len(asked) <= 25


# ---- the store ----


def test_a_handle_is_found_by_its_hole_centres_within_a_give(helper, demo_shop):
    demo_shop("chest")
    said = helper.get("/cupboard/store/", {"q": "brass handle", "centres": "64", "within": "1 mm"}).content.decode()
    assert "H12" in said
    assert "H13" not in said
    wide = helper.get("/cupboard/store/", {"q": "brass", "centres": "64 mm", "within": "3 mm"}).content.decode()
    assert wide.index("H12") < wide.index("H13")


def test_a_measure_that_is_none_is_said_beside_its_field(helper, demo_shop):
    demo_shop("chest")
    answer = helper.get("/cupboard/store/", {"centres": "about a thumb"})
    assert answer.status_code == 422
    assert "about a thumb" in answer.content.decode()


def test_something_is_laid_by_with_its_photograph_and_put_by_for_a_piece(helper, demo_shop, settings, tmp_path):
    demo_shop("chest")
    settings.DATA = tmp_path
    sent = {"code": "H20", "kind": "hardware", "what": WICKED, "centres": "3 in",
            "photograph": SimpleUploadedFile("a.jpg", photographs.jpeg(), "image/jpeg")}  # fmt: skip
    assert helper.post("/cupboard/store/new/", sent).status_code == 302
    kept = the_shop().store[-1]
    assert kept.code == "H20"
    assert kept.photograph
    assert WICKED not in helper.get("/cupboard/store/").content.decode()
    helper.post(f"/cupboard/store/{len(the_shop().store)}/book/", {"booked": "C1"})
    assert the_shop().store[-1].booked == "C1"
    assert ">H20<" not in helper.get("/cupboard/store/", {"free": "yes"}).content.decode()


def test_a_code_that_is_there_already_is_refused_beside_its_field(helper, demo_shop):
    demo_shop("chest")
    answer = helper.post("/cupboard/store/new/", {"code": "H12", "kind": "timber", "what": "a board"})
    assert answer.status_code == 422
    assert "a name of its own" in answer.content.decode()
    assert 'value="a board"' in answer.content.decode()


# ---- looking it through ----


def fields_of(page: str) -> dict[str, str]:
    found = re.findall(r'name="(shelf\.\d+|left\.\d+|number)"[^>]*? value="([^"]*)"', page)
    return {key: value.replace("&quot;", '"') for key, value in found}


def test_what_is_found_takes_the_place_of_what_should_be_there(owner, demo_shop):
    demo_shop("chest")
    sent = fields_of(owner.get("/cupboard/look-through/").content.decode())
    at = next(key.removeprefix("shelf.") for key, value in sent.items() if '"B"' in value)
    old = next(key.removeprefix("shelf.") for key, value in sent.items() if '"A"' in value)
    sent |= {f"left.{at}": "150 ml", f"gone.{old}": "yes", "new.material": "isinglass", "new.left": "40 g"}
    answer = owner.post("/cupboard/look-through/", sent)
    assert answer.status_code == 302, answer.context["faults"]
    shop = the_shop()
    assert shop.cupboard_on == pieces.NOW.date()
    assert {shelf.jar: shelf.volume.text for shelf in shop.cupboard if shelf.jar}["B"] == "150 ml"
    assert "A" not in {shelf.jar for shelf in shop.cupboard}
    assert shop.cupboard[-1].mass.text == "40 g"


def test_an_amount_that_is_none_is_said_beside_its_jar(owner, demo_shop):
    demo_shop("chest")
    sent = fields_of(owner.get("/cupboard/look-through/").content.decode()) | {"left.1": "half of it"}
    answer = owner.post("/cupboard/look-through/", sent)
    assert answer.status_code == 422
    assert 'value="half of it"' in answer.content.decode()
    assert 'id="left-1-fault"' in answer.content.decode()
    assert the_shop().cupboard_on == pieces.shop().cupboard_on
