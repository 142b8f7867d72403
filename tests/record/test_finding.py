"""Pieces are found by surname, code, any word or how it begins; lists made again are the lists that were."""

import json
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.django import TestCase

import pieces
from entries import entry as entry_said
from witnessmark.documents import json_of, uuid7
from witnessmark.plan import On, waiting_on
from witnessmark.record import (
    PlanKept,
    StockRow,
    daybook_of,
    found,
    keep_shop,
    keep_survey,
    plan_of,
    post_entries,
    rebuild,
    survey_checked,
    survey_of,
)

pytestmark = pytest.mark.django_db


def entry(what: str, number: int, **said: object) -> dict[str, object]:
    """An entry as it is posted, `number` hours after the demo morning."""
    return json_of(entry_said(number, what, **said))


def job(number: int, **piece: str) -> str:
    ident = uuid7(pieces.NOW, number.to_bytes(10, "big"))
    keep_survey(survey_checked({"id": ident, "piece": {"kind": "other"} | piece}), "Ines", pieces.NOW)
    return ident


def test_a_piece_is_found_by_surname_code_word_part_and_how_it_begins():
    desk = job(1, title="Kneehole desk", owner="Mrs Ordóñez", code="K7", note="sticks in wet weather")
    job(2, title="Stool", owner="Mr Pryce", code="K8")
    for words in ("Ordóñez", "ordonez", "ORD", "k7", "kneehole ordonez", "weather", "desk kne"):
        assert [row.piece for row in found(words)] == [desk], words
    assert found("ordonez stool") == []
    assert found(" – ") == []


def test_the_piece_whose_code_it_is_comes_first_and_one_that_is_out_last():
    out = job(1, title="K8 of the old list", code="K1")
    job(2, title="Bench like K8", code="K2")
    coded = job(3, title="Stool", code="K8")
    post_entries([entry("stage", 0, piece=out, to="out")], pieces.NOW + timedelta(days=3))
    assert [row.code for row in found("k8")] == ["K8", "K2", "K1"]
    assert [row.piece for row in found("k8", limit=1)] == [coded]


def test_a_piece_is_no_longer_found_by_what_it_no_longer_says():
    piece = job(1, title="Stool", owner="Mr Pryce")
    job(1, title="Footstool", owner="Mr Pryce")
    assert [row.piece for row in found("footstool")] == [piece]
    assert found("stool") == []


def test_a_row_says_what_it_waits_on_and_its_plan_says_more():
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.chair(), "Ines", pieces.NOW)
    chair = pieces.chair().id
    assert StockRow.objects.get(piece=chair).waits_on == ""
    plan = plan_of(chair, pieces.NOW)
    first = waiting_on(pieces.chair(), daybook_of(chair), plan.body, pieces.shop(), pieces.NOW)[0]
    assert StockRow.objects.get(piece=chair).waits_on == first.says
    assert first.on in {On.NOTHING, On.HANDS}
    post_entries([entry("sent", 0, piece=chair, to="the upholsterer")], pieces.NOW)
    assert StockRow.objects.get(piece=chair).waits_on.startswith("the piece, with the upholsterer since ")


def test_an_entry_that_names_a_piece_by_its_code_or_title_is_of_that_piece():
    piece = job(1, title="Kneehole desk", code="K7")
    posted = [entry("worked", 1, piece="k7", minutes="1 h"), entry("worked", 2, piece="kneehole desk", minutes="2 h")]
    post_entries(posted, pieces.NOW)
    assert StockRow.objects.get(piece=piece).minutes == 180
    job(2, title="Stool", code="K7")
    assert post_entries(posted, pieces.NOW).known == tuple(one["id"] for one in posted)


ACTS = st.lists(
    st.one_of(
        st.tuples(st.just("survey"), st.integers(0, 3), st.sampled_from(["", "Tall"]), st.sampled_from(["", "Pryce"])),
        st.tuples(st.just("worked"), st.integers(0, 3), st.sampled_from(["10 min", "2 h", "don't know"])),
        st.tuples(st.just("stage"), st.integers(0, 3), st.sampled_from(["quoted", "on the bench", "together", "out"])),
        st.tuples(st.sampled_from(["paid", "sent", "back", "note", "off", "refit", "corrects"]), st.integers(0, 3)),
    ),
    max_size=12,
)  # fmt: skip
SAID = {"paid": {"sum": "£20"}, "sent": {"to": "the upholsterer"}, "back": {}, "note": {"note": "worm"}}


class TestRebuilding(TestCase):
    """A fresh database for every example: what is kept can't be taken away again."""

    @given(ACTS)
    @settings(max_examples=25)
    def test_the_lists_made_again_are_the_lists_that_were(self, acts):
        posted: list[str] = []
        keep_shop(pieces.shop(), "Ines", pieces.NOW)
        for number, (act, which, *said) in enumerate(acts):
            survey, at = pieces.piece(pieces.PIECES[which]), pieces.NOW + timedelta(minutes=number)
            if act == "survey":
                tables = json.loads(json.dumps(json_of(survey)))
                tables["piece"] |= {"title": said[0], "owner": said[1]}
                keep_survey(survey_checked(tables), "Ines", at)
                continue
            more = SAID.get(act, {})
            if act == "worked":
                more = {"minutes": said[0]}
            elif act == "stage":
                more = {"to": said[0]}
            elif act in ("off", "refit"):
                more = {"part": survey.part[0].code}
            elif act == "corrects":
                if not posted:
                    continue
                more = {"corrects": posted[which % len(posted)]}
            one = entry(act, number, piece=survey.id, **more)
            posted.append(one["id"])
            post_entries([one], at)
        live = list(StockRow.objects.order_by("piece").values())
        named = {word: [row.piece for row in found(word)] for word in ("tall", "pryce", "chest")}
        rebuild()
        assert list(StockRow.objects.order_by("piece").values()) == live
        assert {word: [row.piece for row in found(word)] for word in named} == named


def test_rebuilding_makes_every_plan_afresh():
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.chair(), "Ines", pieces.NOW)
    before = plan_of(pieces.chair().id, pieces.NOW).body
    assert rebuild() == 1
    assert not PlanKept.objects.exists()
    assert plan_of(pieces.chair().id, pieces.NOW).body == before
    assert survey_of(pieces.chair().id) == pieces.chair()
