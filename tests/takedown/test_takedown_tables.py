"""The tables of the room: every word of the survey has its row, every row its source, and the scale rises."""

import pytest

from takedown.made_up import HOT, frame, joint, part, piece
from witnessmark.quantities import Temperature
from witnessmark.sources import all_figures, bibliography, recomputed, rule, table, table_of
from witnessmark.survey import FixingKind, Held
from witnessmark.takedown import Hands, glue_stages, harm_in_words, takedown, takedown_as_json, workings_of

HARM = {cells.key: cells for cells in table("takedown", "harm.csv")}


@pytest.mark.parametrize("held", Held)
def test_everything_that_may_hold_a_joint_has_its_harm(held):
    cells = HARM[held.value]
    assert all(cells.number(column) is not None for column in ("tight", "loose", "open", "unknown"))
    assert cells["how"]


@pytest.mark.parametrize("kind", [kind for kind in FixingKind if kind not in (FixingKind.OTHER, FixingKind.UNKNOWN)])
def test_every_kind_of_fixing_says_what_it_costs(kind):
    assert sum(kind.value in cells.keys_in("fixings") for cells in HARM.values()) == 1


@pytest.mark.parametrize("key", HARM)
def test_the_looser_a_joint_the_less_harm_and_not_knowing_counts_as_tight(key):
    tight, loose, open_, unknown = (HARM[key].number(column) for column in ("tight", "loose", "open", "unknown"))
    assert tight >= loose >= open_ >= 0
    if key != "hidden metal":
        assert unknown == tight


def test_what_is_made_to_come_apart_costs_less_than_what_is_not():
    apart = max(HARM[key].number("tight") for key in ("rests", "slides", "captured", "hooked", "bolted", "screwed"))
    broken = min(HARM[key].number("tight") for key in ("nailed", "pegged", "glued", "wedged", "wedged from above"))
    assert apart < rule("takedown", "opened_to_reach").value < broken


def test_words_of_harm_rise_with_it():
    said = [harm_in_words(harm) for harm in (0, 1, 5, 6, 15, 16, 40, 41, 900)]
    assert said == ["no harm", "slight harm", "slight harm", "some harm", "some harm", "real harm", "real harm",
                    "grave harm", "grave harm"]  # fmt: skip


def test_every_figure_of_the_room_has_standing_and_a_known_source():
    books = bibliography()
    figures = [figure for figure in all_figures() if figure["figure"].startswith("takedown/")]
    assert len(figures) > 60
    for figure in figures:
        assert figure["standing"]
        assert all(key in books for key in figure["source"].split(";") if key)
        assert figure["source"] or figure["standing"] == "from_memory"


def test_every_working_is_worked_again_from_its_own_inputs():
    survey = frame()
    taken = takedown(survey, part(survey, "STILE-L"))
    stages = glue_stages(survey, taken, HOT, Hands(shop=Temperature(14)))
    flat = table_of(workings_of(taken, stages))
    assert {entry["formula"] for entry in flat.values()} == {
        "takedown.harm_together", "takedown.closing_time", "takedown.cramp_length", "takedown.open_in_the_cold",
    }  # fmt: skip
    for key in flat:
        assert recomputed(flat, key) == flat[key]["value"]


def test_the_harm_of_freeing_is_the_harm_of_its_steps():
    survey = piece(
        [joint("J1", "A B C", "up"), joint("J2", "B C", "left", "screwed"), joint("J3", "D A", "up", "slides")]
    )
    taken = takedown(survey, part(survey, "B"))
    assert taken.free.harm.value == sum(each.harm for each in taken.order)


def test_the_outside_form_has_the_names_of_the_contract():
    survey = frame()
    taken = takedown(survey, glue=HOT)
    told = takedown_as_json(taken, glue_stages(survey, taken, HOT, Hands()))
    assert set(told) >= {"order", "free", "stays_shut", "refit", "glue_stages", "still_off"}
    assert set(told["order"][0]) >= {"take", "with", "joints", "fixings", "harm", "note"}
    assert set(told["refit"][0]) >= {"part", "fixings"}
    stage = told["glue_stages"][0]
    assert set(stage) >= {"joints", "seconds", "open_time", "people", "cramps"}
    assert stage["seconds"]["unit"] == stage["open_time"]["unit"] == "s"
    assert told["free"] is None
