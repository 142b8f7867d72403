"""What a field may hold: amounts as written, words, days, and “don't know” for any of them."""

from datetime import date
from enum import StrEnum
from typing import Annotated

import pytest
from hypothesis import given
from hypothesis import strategies as st

from witnessmark.documents import (
    Day,
    Faulty,
    Form,
    Instant,
    Table,
    Word,
    WordIfAny,
    Written,
    document_from,
    document_in,
    json_of,
    schema_of,
    spelt,
    toml_text,
    written,
)
from witnessmark.documents.upgrade import TooNew, upgraded
from witnessmark.quantities import Cut, Gallon, Length, Mass, Money, Percent, Range, Temperature, Unknown


class Colour(StrEnum):
    RED = "red"
    GREEN = "apple green"
    UNKNOWN = "don't know"


class Thing(Table):
    colour: Word[Colour] = Colour.UNKNOWN
    shade: WordIfAny[Colour] = None
    on: Day = None
    at: Instant | None = None
    code: Annotated[str, spelt("[A-Z]{1,3}", "one to three capitals", str.upper)] = "A"
    long: Annotated[Written, written(Length, "20 mm")] | None = None
    slack: Annotated[Written, written(Length, "2 mm", nought=True)] | None = None
    heavy: Annotated[Written, written(Mass, "1 kg", one=True)] | None = None
    size: Annotated[Written, written("size", "900 x 450 mm", sides=(2,))] | None = None
    cut: Annotated[Written, written(Cut, "240 g/L")] | None = None
    rh: Annotated[Written, written(Percent, "55 %")] | None = None
    warm: Annotated[Written, written(Temperature, "18 °C")] | None = None
    price: Annotated[Written, written(Money, "£120")] | None = None


FORM = Form(Thing, "a thing", "thing new", 1)


def read(text: str, **context: object) -> Thing:
    return document_from(text, "t.toml", FORM, context)


def says(text: str, **context: object) -> str:
    with pytest.raises(Faulty) as raised:
        read(text, **context)
    return "\n".join(fault.says.removeprefix("t.toml, line 1, ") for fault in raised.value.faults)


def test_an_amount_keeps_its_words():
    thing = read('long = "31 1/4 in"')
    assert thing.long == Written("31 1/4 in", Length.inches(31.25))
    assert toml_text(json_of(thing)) == 'long = "31 1/4 in"\n'


@pytest.mark.parametrize("said", ["don't know", "don’t know", "Don't know yet", "unknown", "?"])
def test_dont_know_is_an_answer_for_any_fact(said):
    thing = read("\n".join(f'{key} = "{said}"' for key in Thing.model_fields if key not in ("code", "at")))
    assert thing.colour is Colour.UNKNOWN
    assert thing.shade is None
    assert thing.on is None
    assert isinstance(thing.size.value, Unknown)
    assert not thing.cut.known


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ('colour = "gren"', "colour: found “gren”; expected one of: red, apple green, don't know."),
        ('colour = "apple geen"', "colour: found “apple geen”; expected one of: red, apple green, don't know. "
         "Did you mean “apple green”?"),
        ("colour = 3", "colour: found “3”; expected one of: red, apple green, don't know."),
        ('code = "A"\ncolor = "red"', "t.toml, line 2, color: found “color”; expected one of the keys colour, "
         "shade, on, at, code, long, slack, "
         "heavy, size, cut, rh, warm, price. Did you mean “colour”?"),
        ('code = "ab"', "code: found “ab”; expected one to three capitals. Did you mean “AB”?"),
        ('code = "abcd"', "code: found “abcd”; expected one to three capitals."),
        ("code = 7", "code: found “7”; expected text in quotes."),
        ('on = "2026-11-25"', "on: found “2026-11-25”; expected a day, such as 2026-11-25, without quotes."),
        ("on = 2026-11-25T08:00:00Z", "on: found “2026-11-25 08:00:00+00:00”; expected a day, such as 2026-11-25, "
         "without quotes."),
        ("at = 2026-11-25T08:00:00", "at: found “2026-11-25 08:00:00”; expected an instant with its offset, such as "
         "2026-11-25T08:00:00Z or 2026-11-25T08:00:00+01:00."),
        ("long = 20", "long: found “20”; expected an amount in quotes with its unit, such as “20 mm”."),
        ('long = "20"', "long: found “20”; expected a length, such as “900 mm”, “31 1/4 in” or “3' 6\"”, "
         "with its unit."),
        ('long = "0 mm"', "long: found “0 mm”; expected more than nought, such as “20 mm”."),
        ('long = "-3 mm"', "long: found “-3 mm”; expected a length, such as “900 mm”, “31 1/4 in” or “3' 6\"”, and not "
         "below 0. Did you mean “3 mm”?"),
        ('rh = "-5 %"', "rh: found “-5 %”; expected more than nought, such as “55 %”."),
        ('heavy = "1 to 2 kg"', "heavy: found “1 to 2 kg”; expected one amount here, not a range, such as “1 kg”."),
        ('size = "900 mm"', "size: found “900 mm”; expected 2 lengths, such as “900 x 450 mm”."),
        ('size = "9 x 4 x 2 mm"', "size: found “9 x 4 x 2 mm”; expected 2 lengths, such as “900 x 450 mm”."),
        ('size = "900 x 0 mm"', "size: found “900 x 0 mm”; "
         "expected each length more than nought, such as “900 x 450 mm”."),
        ('rh = "120 %"', "rh: found “120 %”; expected a percentage up to 100 %."),
        ('price = "120"', "price: found “120”; expected a sum, such as “£120”, “85.50 USD” or “£300–400”, with its "
         "currency."),
        ('price = "£-3"', "price: found “£-3”; expected no less than nought, such as “£120”."),
    ],
)  # fmt: skip
def test_the_sentence(text, sentence):
    assert says(text) == sentence


def test_nought_and_frost_where_they_are_answers():
    assert read('slack = "0 mm"').slack.value == Length(0)
    assert read('warm = "-3 °C"').warm.value == Temperature(-3)


def test_the_shop_says_which_gallon_and_which_money():
    assert read('cut = "2 lb"').cut.value == Cut.pounds(2, Gallon.US)
    assert read('cut = "2 lb"', gallon=Gallon.IMPERIAL).cut.value == Cut.pounds(2, Gallon.IMPERIAL)
    assert "which gallon is meant" in says('cut = "2 lb"', gallon=None)
    assert says('cut = "2 lb"', gallon=None).endswith("(the shop's document says it once: gallon).")
    assert str(read('price = "120"', currency=read('price = "$1"').price.value.currency).price.value.amount) == "120"


def test_every_fault_at_once_in_the_order_of_the_lines():
    with pytest.raises(Faulty) as raised:
        read('long = "x"\ncolour = "blue"\non = 3\ncod = 1\n')
    assert [(fault.line, fault.key) for fault in raised.value.faults] == [
        (1, "long"),
        (2, "colour"),
        (3, "on"),
        (4, "cod"),
    ]


@pytest.mark.parametrize("text", ["", "\n\n", "# only a comment\n"])
def test_an_empty_file_is_told_how_to_start(text):
    assert says(text) == "t.toml: found “an empty file”; expected a thing; start one with “thing new”."


def test_another_document_is_told_apart():
    expected = (
        "t.toml: found “piece, part”; expected a thing, and none of its keys is here; start one with “thing new”."
    )
    assert says("schema = 1\n[piece]\n[[part]]\n") == expected


@given(st.builds(Thing, on=st.dates() | st.none(), colour=st.sampled_from(Colour)))
def test_json_and_back(thing):
    assert document_in(json_of(thing), "j", FORM) == thing


def test_json_faults_have_no_line():
    with pytest.raises(Faulty) as raised:
        document_in({"on": "2026-02-30"}, "j", FORM)
    assert raised.value.faults[0].line is None
    assert raised.value.faults[0].key == "on"


def test_the_schema_knows_dont_know_and_patterns():
    properties = schema_of(FORM)["properties"]
    assert properties["on"]["anyOf"][1] == {"const": "don't know"}
    assert properties["code"]["pattern"] == "^[A-Z]{1,3}$"
    assert properties["long"]["anyOf"][0]["examples"] == ["20 mm", "don't know"]


def test_a_range_stays_a_range():
    assert read('rh = "45 to 65 %"').rh.value == Range(Percent(45), Percent(55), Percent(65))


# --- schema versions upgrade, never refuse ---


def test_an_older_document_is_taken_up_step_by_step():
    steps = {
        1: lambda tables: {**tables, "on": tables["day"]},
        2: lambda tables: {key: value for key, value in tables.items() if key != "day"},
    }
    assert upgraded({"day": date(2026, 11, 25)}, 3, steps) == {"on": date(2026, 11, 25), "schema": 3}
    assert upgraded({"schema": 3, "on": 1}, 3, steps) == {"schema": 3, "on": 1}


def test_a_newer_document_says_who_wrote_it():
    with pytest.raises(TooNew):
        upgraded({"schema": 4}, 3, {})
    form = Form(Thing, "a thing", "thing new", 1)
    with pytest.raises(Faulty) as raised:
        document_from("schema = 2\ncode = 1\n", "t.toml", form)
    assert [fault.says for fault in raised.value.faults] == [
        "t.toml, line 1, schema: found “2”; expected schema 1 or older: a newer witnessmark wrote this; install that "
        "one to read it."
    ]


@pytest.mark.parametrize("odd", ["one", True, 0, 1.5])
def test_an_odd_schema_is_left_to_the_check_of_the_fields(odd):
    assert upgraded({"schema": odd}, 3, {}) == {"schema": odd}
