"""The shop's document: its hours, its gallon, what is wrong with it, and the plain shop that stands in."""

import json
import tomllib

import jsonschema
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pieces import shop, text_of
from witnessmark.documents import Faulty, json_of, json_text, set_in
from witnessmark.quantities import Currency, Cut, Gallon, Money
from witnessmark.shop import (
    Stretch,
    outline_of,
    plain_shop,
    plain_shop_says,
    reading_context,
    shop_from,
    shop_in,
    shop_schema,
    shop_text,
    starter,
)
from witnessmark.shop.hours import days_in, stretches_in, week_of
from witnessmark.sources import Standing, bibliography, rule, table

HEAD = '[shop]\nname = "A"\n[[person]]\nname = "Me"\nhours = { mon-fri = "8:00-12:30, 13:00-17:00" }\n'


def says(text: str) -> list[str]:
    with pytest.raises(Faulty) as raised:
        shop_from(text, "s.toml")
    return [fault.says for fault in raised.value.faults]


# --- hours ---


def test_a_week_as_people_write_it():
    week = week_of({"mon-fri": "8:00-12:30, 13.00 – 17:30", "fri": "8 to 12", "sat": "off"})
    assert week[0] == (Stretch(480, 750), Stretch(780, 1050))
    assert week[4] == (Stretch(480, 720),)
    assert week[5] == week[6] == ()


@pytest.mark.parametrize(
    ("days", "numbers"),
    [("mon", (0,)), ("Monday", (0,)), ("tues", (1,)), ("mon-fri", (0, 1, 2, 3, 4)), ("sat-mon", (5, 6, 0)),
     ("thu–fri", (3, 4))],
)  # fmt: skip
def test_days(days, numbers):
    assert days_in(days) == numbers


@pytest.mark.parametrize(
    "text", ["8:75-9", "17-8", "8-8", "8-12, 11-17", "8-25", "8", "morning", "8-12 13-17", "24:30-25"]
)
def test_hours_that_are_none(text):
    with pytest.raises(ValueError, match="hours such as"):
        stretches_in(text)


@given(st.lists(st.integers(0, 1440), min_size=2, max_size=8, unique=True).filter(lambda times: len(times) % 2 == 0))
def test_hours_written_out_are_read_again(times):
    times = sorted(times)
    stretches = tuple(Stretch(*pair) for pair in zip(times[::2], times[1::2], strict=True))
    said = ", ".join(f"{s.start // 60}:{s.start % 60:02}-{s.end // 60}:{s.end % 60:02}" for s in stretches)
    assert stretches_in(said) == stretches


# --- faults ---


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (HEAD.replace("mon-fri", "mo-fri"),
         "s.toml, line 5, person[1].hours.mo-fri: found “mo-fri”; expected a day, mon to sun, or days "
         "such as mon-fri."),
        (HEAD.replace("17:00", "25:00"),
         "s.toml, line 5, person[1].hours.mon-fri: found “8:00-12:30, 13:00-25:00”; expected hours such as "
         "“8:00-12:30, "
         "13:00-17:00”, or “off”: each from earlier to later in one day."),
        (HEAD.replace('name = "A"\n', 'name = "A"\nzone = "Europe/Londn"\n'),
         "s.toml, line 3, shop.zone: found “Europe/Londn”; expected a zone of the IANA list, such as Europe/London. "
         "Did you mean “Europe/London”?"),
        (HEAD.replace('name = "A"\n', 'name = "A"\ngallon = "british"\n'),
         "s.toml, line 3, shop.gallon: found “british”; expected one of: us, imperial."),
        (HEAD + "bench_fraction = 1.5\n",
         "s.toml, line 6, person[1].bench_fraction: found “1.5”; expected at most 1."),
        (HEAD + "bench_fraction = \"half\"\n",
         "s.toml, line 6, person[1].bench_fraction: found “half”; expected a number, without quotes."),
        ('[shop]\nname = "A"\n', "s.toml, person: expected this key, which is missing."),
        (HEAD + '[[person]]\nname = "Me"\nhours = { mon = "9-12" }\n',
         "s.toml, line 7, person[2].name: found “Me”; expected a name of its own: there is a person of this "
         "name above."),
        (HEAD + '[[cupboard]]\njar = "A"\nmaterial = "shellac"\n[[cupboard]]\njar = "A"\nmaterial = "shellac"\n',
         "s.toml, line 10, cupboard[2].jar: found “A”; expected a name of its own: there is a jar of this name above."),
        (HEAD + '[[cupboard]]\nmaterial = "shellac"\ncut = "2 lb"\n',
         "s.toml, line 8, cupboard[1].cut: found “2 lb”; expected which gallon is meant, US or imperial, or use "
         "metric: "
         "a cut, such as “2 lb” or “240 g/L” (the shop's document says it once: gallon)."),
        (HEAD + "[[cramp]]\nlength = \"1 m\"\ncount = 0\n",
         "s.toml, line 8, cramp[1].count: found “0”; expected at least 1."),
        (HEAD + "[[room]]\nname = \"bench\"\nday_temperatur = \"18 °C\"\n",
         "s.toml, line 8, room[1].day_temperatur: found “day_temperatur”; expected one of the keys name, length, "
         "width, "
         "height, fan_m3_per_h, day_temperature, night_temperature, rh, cabinet. Did you mean “day_temperature”?"),
        ("closed = [2026-12-25, \"christmas\"]\n" + HEAD,
         "s.toml, line 1, closed[2]: found “christmas”; expected a day, such as 2026-11-25, without quotes."),
    ],
)  # fmt: skip
def test_the_sentence(text, sentence):
    assert says(text) == [sentence]


# --- the gallon and the money ---


def test_a_pound_cut_is_read_by_the_shop_s_own_gallon():
    for gallon, kind in (("us", Gallon.US), ("imperial", Gallon.IMPERIAL)):
        text = HEAD.replace('name = "A"\n', f'name = "A"\ngallon = "{gallon}"\n')
        shelf = shop_from(text + '[[cupboard]]\nmaterial = "shellac"\ncut = "2 lb"\n', "s").cupboard[0]
        assert shelf.cut.value == Cut.pounds(2, kind)


def test_a_bare_sum_is_in_the_shop_s_own_money():
    text = HEAD.replace('name = "A"\n', 'name = "A"\ncurrency = "EUR"\n') + '[costs]\nrent = "640"\nheat = "£95"\n'
    costs = shop_from(text, "s").costs
    assert costs.rent.value.currency is Currency.EUR
    assert costs.heat.value.currency is Currency.GBP


def test_the_context_before_and_after_reading_is_one():
    assert reading_context(tomllib.loads(text_of("shop.toml"))) == shop().context
    assert reading_context({"shop": 3})["gallon"] is None


def test_a_shelf_knows_its_key():
    assert shop().cupboard[1].key == "shellac_dewaxed"
    text = HEAD + '[[cupboard]]\nmaterial = "dragon\'s breath"\n'
    assert shop_from(text, "s").cupboard[0].key is None
    assert outline_of(shop_from(text, "s")).not_listed == ("dragon's breath",)


# --- starter, plain shop, demo ---


@pytest.mark.parametrize("text", [starter(), text_of("shop.toml")])
def test_every_sample_is_right_by_its_check_and_by_the_published_schema(text):
    shop_from(text, "s")
    schema = shop_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    validator.validate(json.loads(json_text(tomllib.loads(text))))
    broken = set_in(text, ("person", 0, "role"), "apprentice")
    assert not validator.is_valid(json.loads(json_text(tomllib.loads(broken))))


def test_toml_and_json_both_bring_back_the_same_shop():
    assert shop_from(shop_text(shop()), "again") == shop()
    assert shop_in(json_of(shop()), "again") == shop()


def test_the_starter_s_examples_are_right_once_uncommented():
    text = starter()
    first, _, rest = text.partition("# [[cramp]]")
    lines = [line.removeprefix("# ") for line in ("# [[cramp]]" + rest).split("\n") if "=" in line or "[[" in line]
    read = shop_from(first + "\n".join(lines), "s")
    assert (len(read.cramp), len(read.cupboard), len(read.pin)) == (1, 2, 1)


def test_the_plain_shop_is_one_person_who_says_so():
    plain = plain_shop()
    assert [person.name for person in plain.person] == ["One person"]
    assert plain.person[0].week[0] == (Stretch(480, 750), Stretch(780, 1020))
    assert plain.person[0].week[6] == ()
    assert plain.shop.gallon is Gallon.US, "without a shop pints and pounds cut are US, and it is said"
    assert plain.room == ()
    assert plain_shop_says() == (
        "no shop was given: reckoned with one person, Monday to Friday 8:00-12:30, 13:00-17:00, 56.2–68.8 % of it at "
        "the bench",
        "no shop was given: hours in the zone Europe/London, money in GBP, pints and pounds cut on the US gallon",
        "no shop was given: its costs, rooms, air and cupboard are not known; “witnessmark shop new” starts one",
    )


def test_two_people_at_eight_hours_give_nine_to_eleven_bench_hours():
    # Common practice, as trade notes have it: no published source found.
    share = rule("shop", "bench_fraction").value
    assert 2 * 8 * share.low.percent / 100 == 9
    assert 2 * 8 * share.high.percent / 100 == 11


def test_the_rules_have_their_standing_and_source():
    rows = table("shop", "rules.csv")
    assert len({row.key for row in rows}) == len(rows) == 5
    for row in rows:
        assert Standing(row["standing"]) is Standing.COMMON_PRACTICE
        assert row["source_key"] in bibliography()


def test_the_paragraph_of_the_demo_shop():
    assert outline_of(shop()).says == (
        "Halfpenny Yard: 2 people, 2 benches, 2 rooms, 20 cramps, 13 things in the cupboard, "
        "4 things in the store, 1 pin; 75.5 hours a week, "
        "47.5 of them at the bench. Every fact we ask for is there."
    )
    assert outline_of(shop()).not_listed == ()


def test_the_demo_s_old_jar_is_there():
    jar = shop().cupboard[0]
    assert (jar.key, jar.dried_hard) == ("shellac", False)
    assert jar.cut.value == Cut.pounds(2, Gallon.IMPERIAL)
    assert isinstance(shop().costs.hour_charged.value, Money)
