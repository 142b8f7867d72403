"""A slip in a decision is answered with the nearest right word, by `survey check` and by `plan` alike."""

import pytest

from small_surveys import ID, decision
from witnessmark.documents import Faulty
from witnessmark.papers.voice import in_american
from witnessmark.plan import survey_words
from witnessmark.sources import table
from witnessmark.survey import survey_from


def read(*tables: str):
    text = "\n".join([f'schema = 1\nid = "{ID}"\n[piece]\nkind = "chest"', *tables])
    return survey_from(text, "chest.toml", words=survey_words())


@pytest.mark.parametrize(
    ("table", "key", "nearest"),
    [
        (decision("way", choose="reviv the old polish"), "choose", "revive the old polish"),
        (decision("way", choose="strip_ruber"), "choose", "strip_rubber"),
        (decision("skip", step="dewx"), "step", "dewax"),
        (decision("add", choose="ease the flap", after="cleen"), "after", "clean"),
    ],
)
def test_a_mistyped_way_or_step_is_answered_with_the_nearest(table, key, nearest):
    with pytest.raises(Faulty) as caught:
        read(table)
    (fault,) = caught.value.faults
    assert fault.key.endswith(key)
    assert fault.nearest == nearest
    assert fault.line is not None


def test_right_words_pass_as_rule_id_or_name_in_any_spelling():
    for name in ("wax", "wax.show", "Wax and burnish", "take-the-old-wax-off"):
        assert read(decision("skip", step=name)).decision
    assert read(decision("way", choose="Strip and French polish with a rubber")).decision


def test_a_state_no_test_has_is_a_fault():
    with pytest.raises(Faulty) as caught:
        read('[[test]]\ntest = "alcohol"\nstate = "softens_stiky"\n')
    assert caught.value.faults[0].nearest == "softens_sticky"


UK_ONLY = ("cramp", "rubber", "colour", "mould", "meths", "white spirit", "carcase", "calliper", "grey", "vapour")


@pytest.mark.parametrize(
    ("name", "key", "columns"),
    [
        ("steps.csv", "rule", ("trade_name", "why", "tools")),
        ("ways.csv", "key", ("name", "gist", "adds", "resistance", "hazard")),
        ("way_rules.csv", "key", ("why",)),
        ("harm.csv", "key", ("says", "instead")),
        ("minds.csv", "key", ("says",)),
        ("substitutes.csv", "key", ("instead",)),
    ],
)
def test_every_word_of_the_treatment_can_be_said_in_an_american_shop(name, key, columns):
    for cells in table("treatment", name, key):
        for column in columns:
            said = in_american(cells[column]).lower()
            assert not [word for word in UK_ONLY if word in said.replace("rubber block", "")], (cells.key, column, said)
