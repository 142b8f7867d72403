"""Each kind of entry says what it is for, and is asked for what it lacks."""

from decimal import Decimal

import pytest

from entries import entry
from witnessmark.daybook import Stage
from witnessmark.documents import Faulty
from witnessmark.quantities import Currency, Money

SHA = "a" * 64
JAR = {"material": "shellac", "jar": "B"}


@pytest.mark.parametrize(
    ("what", "said", "key", "expected"),
    [
        ("off", {}, "part", "the code of the part"),
        ("off", {"piece": "", "part": "TOP"}, "piece", "the id or the code of the piece"),
        ("refit", {}, "part", "the code of the part"),
        ("stage", {}, "to", "in, looked over, quoted, apart, on the bench, together, out"),
        ("stage", {"to": "on the bnch"}, "to", "one of: in, looked over"),
        ("paid", {}, "sum", "what was paid"),
        ("paid", {"piece": "", "sum": "£5"}, "piece", "the id or the code"),
        ("signed", {"to": "handing-in receipt"}, "photograph", "the picture of the signature"),
        ("signed", {"photograph": SHA}, "to", "what was signed"),
        ("acknowledged", {}, "to", "the key of the caution"),
        ("coat", {}, "step", "the step the coat is of"),
        ("discarded", {}, "amounts", "the jar that is thrown away"),
        ("discarded", {"amounts": [{"material": "shellac"}]}, "amounts", "which jar"),
        ("counted", {"amounts": [JAR]}, "amounts", "how much stands in it"),
        ("tested", {"amounts": [JAR]}, "to", "dried hard, stayed soft"),
        ("tested", {"amounts": [JAR], "to": "dried hart"}, "to", "dried hard, stayed soft"),
    ],
)
def test_what_a_kind_lacks_is_asked_for(what, said, key, expected):
    with pytest.raises(Faulty) as caught:
        entry(1, what, **said)
    (fault,) = caught.value.faults
    assert fault.key == key
    assert expected in fault.expected


def test_a_stage_nearly_right_has_its_nearest():
    with pytest.raises(Faulty) as caught:
        entry(1, "stage", to="on the bnch")
    assert caught.value.faults[0].nearest == "on the bench"


def test_a_sum_is_money_and_never_less_than_nought():
    assert entry(1, "paid", sum="£120").sum.value == Money(Decimal(120), Currency.GBP)
    with pytest.raises(Faulty):
        entry(1, "paid", sum="-£3")
    with pytest.raises(Faulty):
        entry(1, "paid", sum="£100 to £120")


def test_the_seven_stages_stand_in_their_order():
    assert [stage.words for stage in Stage] == [
        "In", "Looked over", "Quoted", "Apart", "On the bench", "Together", "Out",
    ]  # fmt: skip
    assert [stage.place for stage in Stage] == [1, 2, 3, 4, 5, 6, 7]


def test_a_coat_takes_what_it_says_from_its_jar_and_a_mix_takes_nothing_onto_the_piece():
    step = {"id": "seal.show", "trade_name": "seal"}
    coat = entry(1, "coat", step=step, amounts=[{**JAR, "volume": "40 ml"}])
    assert [amount.volume.text for amount in coat.took] == ["40 ml"]
    assert entry(2, "mixed", amounts=[{**JAR, "volume": "250 ml"}]).took == ()
