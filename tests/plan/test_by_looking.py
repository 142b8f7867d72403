"""What the readings make of date and wood stands among the facts of a plan; a slip in one is answered."""

import pytest

from pieces import NOW, daybook, shop
from small_surveys import ID
from witnessmark.documents import Faulty
from witnessmark.evidence import dating_of, ticket
from witnessmark.plan import plan_piece, survey_words
from witnessmark.survey import Survey, survey_from


def read(*readings: str, show_wood: str = "don't know", words: bool = True) -> Survey:
    head = f'schema = 1\nid = "{ID}"\n[piece]\nkind = "box"\nregion = "UK"\nshow_wood = "{show_wood}"'
    parts = '[[part]]\ncode = "TOP"\nname = "top"\n[[part]]\ncode = "SD"\nname = "side"'
    text = "\n".join([head, parts, *(f"[[reading]]\n{one}" for one in readings)])
    return survey_from(text, "box.toml", words=survey_words() if words else None)


def facts(survey: Survey) -> dict[str, str]:
    known = plan_piece(survey, shop(), daybook(), NOW).facts.known
    return {fact.name: fact.said for fact in known if fact.key.startswith("reading.")}


RING = 'about = "wood"\nfeature = "porosity"\nstate = "ring_porous"'


def test_the_age_by_what_is_on_it_is_a_fact_in_the_words_of_the_ticket():
    survey = read('about = "date"\nfeature = "screw_gimlet_point"')
    assert facts(survey) == {"its age, by what is on it": ticket(dating_of(survey))}


def test_a_wood_nobody_named_is_told_by_its_readings_and_a_named_one_stands():
    said = facts(read(RING))
    (name,) = said
    assert name == "the wood, by lens and nose"
    assert "can't be told yet; likeliest: " in said[name]
    assert "%" not in said[name]
    assert facts(read(RING, show_wood="oak")) == {}


def test_each_part_has_a_line_of_its_own():
    other = 'about = "wood"\nfeature = "porosity"\nstate = "no_pores_softwood"\npart = "SD"'
    said = facts(read(f'{RING}\npart = "TOP"', other))
    assert list(said) == ["the wood of TOP, by lens and nose", "the wood of SD, by lens and nose"]
    assert len(set(said.values())) == 2


@pytest.mark.parametrize(
    ("reading", "key", "nearest"),
    [
        ('about = "date"\nfeature = "screw_gimlit_point"', "feature", "screw_gimlet_point"),
        ('about = "date"\nfeature = "halves_differ"\nstate = "yess"', "state", "yes"),
        ('about = "wood"\nfeature = "porosty"', "feature", "porosity"),
        ('about = "wood"\nfeature = "porosity"\nstate = "ring_pourous"', "state", "ring_porous"),
    ],
)
def test_a_slip_in_a_reading_is_answered_with_the_nearest(reading, key, nearest):
    with pytest.raises(Faulty) as caught:
        read(reading)
    (fault,) = caught.value.faults
    assert fault.key.endswith(key)
    assert fault.nearest == nearest
    assert fault.line is not None


def test_a_year_may_stand_beside_what_carries_one():
    assert read('about = "date"\nfeature = "lining_printed_date"\nstate = "1931"').reading


def test_a_reading_that_says_no_state_is_a_fault_with_its_place():
    with pytest.raises(Faulty) as caught:
        plan_piece(read('about = "wood"\nfeature = "porosity"'), shop(), daybook(), NOW)
    assert caught.value.faults[0].where == "reading.1"
