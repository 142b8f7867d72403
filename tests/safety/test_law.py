"""Law as data: the strictest wins, a wanting fact asks, an exemption lifts its ban, and every answer has its day."""

from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import chest, dresser, slope
from small_surveys import survey_with
from witnessmark.materials import material_keys, members_of, wood_keys
from witnessmark.quantities import Mass, Percent
from witnessmark.safety import (
    Decision,
    Facts,
    UnknownPlace,
    instead_of,
    is_listed,
    law_of,
    law_of_any_piece,
    laws_of,
    listed_in,
    years_in,
)
from witnessmark.sources import table

NOW = date(2026, 11, 25)
ROWS = {row.key: row for row in table("safety", "regulated.csv")}
LISTED = [key for key in (*material_keys(), *wood_keys()) if is_listed(key)]
PLACES = ["UK", "US", "US-NY", "US-NJ", "US-CA", "US-WA", "US-HI", "EU", "FR", "NI"]
STRICT = list(Decision)
YEARS = st.one_of(st.none(), st.integers(1600, 2025))
SHARES = st.one_of(st.none(), st.floats(0, 100).map(Percent))
MASSES = st.one_of(st.none(), st.floats(0, 50000).map(Mass))
DAYS = st.dates(date(2026, 7, 1), date(2030, 1, 1))


@st.composite
def facts(draw):
    first, last = draw(YEARS), draw(YEARS)
    if first and last and first > last:
        first, last = last, first
    return Facts((first, last), draw(SHARES), draw(MASSES))


def strictness(decision):
    return STRICT.index(decision)


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES), st.sampled_from(PLACES), DAYS)
def test_the_strictest_is_first_and_everything_says_why_what_and_whom(key, known, start, end, on):
    law = law_of(key, known, start, end, on)
    order = [strictness(one.decision) for one in law.rulings]
    assert order == sorted(order)
    for one in law.rulings:
        assert one.why
        assert one.rule
        assert one.do
        assert one.ask
        assert one.as_of


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES), st.sampled_from(PLACES))
def test_less_known_never_allows_what_more_known_does_not(key, known, start, end):
    # Without any fact no rule may come out kinder than “ask”, where some facts forbid.
    full, bare = law_of(key, known, start, end, NOW), law_of(key, Facts(), start, end, NOW)
    if full.strictest is Decision.FORBIDDEN:
        assert strictness(bare.strictest) <= strictness(Decision.ASK)


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES), st.sampled_from(PLACES))
def test_a_group_takes_its_strictest_member(key, known, start, end):
    law = law_of(key, known, start, end, NOW)
    for member in members_of(key):
        assert strictness(law.strictest) <= strictness(law_of(member, known, start, end, NOW).strictest)


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES))
def test_a_met_exemption_takes_the_ban_off_the_list(key, known, place):
    found = law_of(key, known, place, place, NOW).rulings
    groups = {}
    for one in found:
        groups.setdefault(ROWS[one.key]["alternative_group"], set()).add(one.decision)
    for group, decisions in groups.items():
        if group and decisions & {Decision.ALLOWED, Decision.WITH_PAPER}:
            assert Decision.FORBIDDEN not in decisions


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES), DAYS, DAYS)
def test_a_later_text_never_silently_replaces_an_earlier(key, known, place, one_day, other):
    # On either day only rules in force answer, each with the day of its own text; one that is not is said beside.
    for on in (one_day, other):
        law = law_of(key, known, place, place, on)
        silent = {line.split(",")[0] for line in law.beside}
        for one in law.rulings:
            row = ROWS[one.key]
            assert one.as_of == row["as_of"]
            assert row["rule_status"] not in {"lapsed", "proposed", "not_yet"}
            assert not row["applies_from"] or date.fromisoformat(row["applies_from"]) <= on
            assert one.key not in silent


@settings(max_examples=40)
@given(st.sampled_from(LISTED), facts(), st.sampled_from(PLACES), DAYS, st.integers(0, 2000))
def test_a_text_only_grows_older(key, known, place, on, days):
    now = {one.key: one.stale for one in law_of(key, known, place, place, on).rulings}
    later = {one.key: one.stale for one in law_of(key, known, place, place, on + timedelta(days=days)).rulings}
    for rule in now.keys() & later.keys():
        assert later[rule] >= now[rule]


def test_old_texts_and_due_changes_are_said():
    fresh = law_of("rosewood_indian", Facts(), "UK", "US", date(2026, 6, 1)).rulings[0]
    old = law_of("rosewood_indian", Facts(), "UK", "US", date(2027, 6, 1)).rulings[0]
    assert (fresh.stale, old.stale) == (False, True)
    # A day nobody wrote down is taken as old.
    undated = law_of("tortoiseshell", Facts((1850, 1850)), "UK", "UK", NOW).rulings[0]
    assert undated.as_of.startswith("gov.uk")
    assert undated.stale


def test_a_rule_not_in_force_yet_is_said_beside_and_bars_nothing():
    law = law_of("dichloromethane", Facts(), "US", "US", NOW)
    assert "R64" not in {one.key for one in law.rulings}
    assert any(line.startswith("R64") and "2029-05-08" in line for line in law.beside)


def test_what_a_wanting_fact_is():
    (asks,) = law_of("rosewood_indian", Facts(), "UK", "US", NOW).rulings
    assert "the mass of it" in asks.why
    (asks,) = law_of("ivory_elephant", Facts((1830, 1830)), "UK", "UK", NOW).rulings
    assert "the share of it" in asks.why


def test_an_ivory_escutcheon_to_be_sent_abroad():
    # The demo's writing slope: “bone or ivory” counts as ivory until somebody has looked.
    assert listed_in(slope())["ivory"] == ("ESC",)
    laws = laws_of(slope(), "UK", "US", NOW)
    ivory = [one for law in laws for one in law.rulings if one.parts == ("ESC",)]
    assert ivory[0].decision is Decision.FORBIDDEN
    at_home = [one for law in laws_of(slope(), "UK", "UK", NOW) for one in law.rulings if one.parts == ("ESC",)]
    assert [one.decision for one in at_home] == [Decision.ASK]


def test_plain_pieces_raise_nothing_at_home():
    assert not [one for law in laws_of(chest(), "UK", "UK", NOW) for one in law.rulings]


def test_lead_paint_is_asked_about_on_its_way_to_the_us():
    laws = laws_of(dresser(), "UK", "US", NOW)
    lead = [one for law in laws for one in law.rulings if one.material == "lead_paint"]
    assert {one.decision for one in lead} >= {Decision.ASK}
    assert Decision.FORBIDDEN not in {one.decision for one in lead}


@pytest.mark.parametrize(
    ("note", "found"), [("ivory inlay at the lock", True), ("no ivory in it", False), ("bone inlay", False)]
)
def test_a_word_somebody_wrote_counts_unless_it_is_denied(note, found):
    survey = survey_with(piece=f'[piece]\nkind = "box"\nnote = "{note}"')
    assert ("ivory" in listed_in(survey)) is found


def test_the_mass_of_a_listed_wood_is_that_of_its_parts():
    part = '[[part]]\ncode = "TOP"\nname = "top"\nwood = "Indian rosewood"\nweight = "{} kg"\n'
    for kilograms, decision in ((6, Decision.ALLOWED), (16, Decision.WITH_PAPER)):
        survey = survey_with(part.format(kilograms), piece='[piece]\nkind = "table"\nmade = "1850"')
        (wood, *_) = laws_of(survey, "UK", "US", NOW)
        assert wood.rulings[0].decision is decision


def test_a_listed_material_has_its_stand_in_and_a_plain_one_needs_none():
    assert "bone" in instead_of("ivory_elephant")
    assert instead_of("oak_white_american") == ""
    assert is_listed("ivory")
    assert not is_listed("oak_white_american")


@pytest.mark.parametrize("place", ["", "Atlantis", "USA-NY", "US-N"])
def test_a_place_without_law_is_refused_with_what_there_is(place):
    with pytest.raises(UnknownPlace, match="It has UK, US"):
        law_of("ivory", Facts(), "UK", place, NOW)


@pytest.mark.parametrize(
    ("text", "years"),
    [
        ("1830", (1830, 1830)),
        ("1850 to 1880", (1850, 1880)),
        ("1860s", (1860, 1869)),
        ("about 1865", (1855, 1875)),
        ("c1850", (1840, 1860)),
        ("before 1900", (None, 1900)),
        ("after 1900", (1900, None)),
        ("Victorian", (None, None)),
        ("1995, from old pine", (None, 1995)),
        ("don't know", (None, None)),
    ],
)
def test_years_of_a_wording(text, years):
    assert years_in(text) == years


def test_a_piece_as_such_at_home_raises_nothing():
    assert law_of_any_piece(Facts((1865, 1865)), "UK", "UK", NOW).rulings == ()
