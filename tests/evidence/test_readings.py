"""Readings in words as clues, and the dating of a survey."""

import pytest

from small_surveys import ID
from witnessmark.documents import Faulty
from witnessmark.evidence import Age, Clue, Readings, date, dating_of, ticket
from witnessmark.odds import How, Reading
from witnessmark.survey import Survey, survey_from


def surveyed(*readings: str, region: str = "UK") -> Survey:
    head = f'schema = 1\nid = "{ID}"\n[piece]\nkind = "chest"\nregion = "{region}"'
    parts = ['[[part]]\ncode = "UP"\nname = "upper chest"', '[[part]]\ncode = "D"\nname = "drawer"\nof = "UP"',
             '[[part]]\ncode = "BK"\nname = "back boards, upright"']  # fmt: skip
    return survey_from("\n".join([head, *parts, *(f'[[reading]]\nabout = "date"\n{one}' for one in readings)]), "s")


def test_no_reading_about_the_date_no_dating():
    wood = surveyed().model_copy(update={"reading": ()})
    assert dating_of(wood) is None


def test_a_survey_is_dated_as_its_clues_are():
    found = dating_of(
        surveyed(
            'feature = "screw_gimlet_point"\npart = "D"',
            'feature = "saw_circular"\nseen = "not seen"',
            'feature = "nail_wire_eu"\npart = "BK"\nlater = "yes"',
            'feature = "cockbead_drawer"\nseen = "unsure"\nlater = "no"',
            'feature = "halves_differ"\nstate = "no"',
        )
    )
    same = date(
        [
            Clue("screw_gimlet_point", part="drawer", half="upper"),
            Clue("saw_circular", How.NOT_SEEN),
            Clue("nail_wire_eu", part="back boards, upright", age=Age.LATER),
            Clue("cockbead_drawer", How.UNSURE, age=Age.UNDISTURBED),
        ],
        (),
        "UK",
        [Reading("halves_differ", "no")],
    )
    assert found is not None
    assert (found.range50, found.range90) == (same.range50, same.range90)
    assert found.looked.probabilities == same.looked.probabilities
    assert ticket(found) == ticket(same)


def test_a_part_that_dates_itself_is_called_by_its_head_word():
    found = dating_of(surveyed('feature = "nail_wire_eu"\npart = "BK"\nlater = "yes"'))
    assert found is not None
    assert ticket(found).endswith("the back boards, 1819 or later, date the boards")


def test_the_region_of_the_survey_counts():
    for region in ("UK", "US"):  # the same words are the region's own feature
        found = dating_of(surveyed('feature = "mahogany as primary wood"', region=region))
        assert found is not None
        assert found.readings[0].key == f"wood_mahogany_{region.lower()}"
    assert Readings(surveyed(region="US")).region == "US"
    assert Readings(surveyed(region="US"), "UK").region == "UK"
    assert Readings(surveyed(region="don't know")).region == "any"


@pytest.mark.parametrize(
    ("reading", "says", "near"),
    [
        ('feature = "screw_gimlit_point"', "a feature that dates", "screw_gimlet_point"),
        ('feature = "inscription_dated"', "found no date", None),
        ('feature = "inscription_dated"\nstate = "²²²²"', "a year such as 1871", None),
        ('feature = "inscription_dated"\nstate = "9999"', "the year that was read on it", None),
        ('feature = "mark_uk_rd_no"\nstate = "banana"', "a mark that can be read", None),
        ('feature = "halves_differ"\nstate = "perhaps"', "yes or no", None),
    ],
)
def test_what_can_not_be_read_is_a_fault_with_its_place(reading, says, near):
    with pytest.raises(Faulty) as caught:
        dating_of(surveyed('feature = "saw_circular"', reading))
    (fault,) = caught.value.faults
    assert fault.where == "reading.2"
    assert says in fault.expected
    assert fault.nearest == near


def test_all_faults_are_told_together():
    read = Readings(surveyed('feature = "nonsense_one"'))
    read.add("--seen", "nonsense_two")
    read.style("--style", "nonsense")
    with pytest.raises(Faulty) as caught:
        read.dating()
    assert [fault.where for fault in caught.value.faults] == ["reading.1", "--seen", "--style"]
