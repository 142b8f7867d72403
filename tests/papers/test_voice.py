"""How papers say things, in the UK and the US."""

from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from witnessmark.papers.voice import Voice, fitting, in_american, listed, sentence, shortened
from witnessmark.quantities import Currency, Gallon, Money, Range, Volume
from witnessmark.sources import table

UK = Voice(False, False, Gallon.IMPERIAL, ZoneInfo("Europe/London"), 2026)
US = Voice(True, True, Gallon.US, ZoneInfo("America/New_York"), 2026)
AT = datetime(2026, 7, 3, 13, 5, tzinfo=UTC)


def test_the_clock_is_the_shops_own():
    # In July London is an hour ahead of UTC, New York four behind: IANA zones.
    assert UK.moment(AT) == "Fri 3 Jul, 14:05"
    assert US.moment(AT) == "Fri Jul 3, 9:05 am"


@pytest.mark.parametrize(("hour", "said"), [(4, "12:00 am"), (16, "12:00 pm"), (17, "1:00 pm"), (15, "11:00 am")])
def test_noon_is_pm_and_midnight_am(hour, said):
    assert US.clock(datetime(2026, 7, 3, hour, tzinfo=UTC)) == said


def test_another_year_is_said():
    assert UK.date(date(2027, 1, 15)) == "Fri 15 Jan 2027"
    assert US.date(date(2027, 1, 15)) == "Fri Jan 15, 2027"
    assert UK.date(date(2026, 1, 5), long=True) == "Monday 5 January 2026"


def test_a_stretch_over_midnight_names_its_second_day():
    assert UK.stretch(AT, AT.replace(hour=15)) == "14:05–16:05"
    assert UK.stretch(AT, AT.replace(day=4)) == "14:05 to Sat 4 Jul, 14:05"


@pytest.mark.parametrize(("minutes", "said"), [(100, "1.75 h"), (305, "5 h"), (325, "5.5 h"), (1422, "24 h")])
def test_hours_are_said_no_closer_than_they_are_known(minutes, said):
    assert UK.hours(minutes) == said


def test_a_range_of_money_is_in_whole_pounds_and_an_exact_sum_is_not():
    pounds = [Money(Decimal(sum_), Currency.GBP) for sum_ in ("115.30", "237.72", "558.69")]
    assert UK.bracketed(Range(*pounds)) == ("£238", "(£115–£559)")
    assert UK.bracketed(pounds[0]) == ("£115.30", "")


def test_a_range_no_tool_can_tell_apart_is_one_amount():
    assert UK.bracketed(Range(Volume(0.2701), Volume(0.2702), Volume(0.2703))) == ("270 ml", "")


@pytest.mark.parametrize(
    ("british", "american"),
    [
        ("The rubber in its airtight jar", "The pad in its airtight jar"),
        ("rubber gloves and a rubber", "rubber gloves and a pad"),
        ("Cramps; white spirit", "Clamps; mineral spirits"),
        ("methylated spirits", "denatured alcohol"),
        ("mouldings, not mould", "moldings, not mold"),
        ("discoloured", "discoloured"),  # only whole words that stand in the table
    ],
)
def test_british_words_for_an_american_shop(british, american):
    assert in_american(british) == american


def test_a_word_once_american_stays_so():
    for row in table("papers", "words.csv", key="uk"):
        assert in_american(row["us"]) == row["us"]


def test_numbers_that_follow_each_other_are_taken_together():
    assert listed([3, 8, 9, 10, 14, 15]) == "3, 8–10, 14, 15"
    assert listed([]) == ""


def test_sentences_and_short_forms():
    assert sentence("no flame") == "No flame."
    assert sentence("Why? ") == "Why?"
    assert shortened("a chest of drawers", 12) == "a chest of…"
    assert shortened("Donaudampfschiff", 8) == "Donauda…"
    assert fitting("12345", (20, 4), (10, 8), (5, 0)) == 10
    assert fitting("123456789", (20, 4), (10, 8), (5, 0)) == 5
