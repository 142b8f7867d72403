"""What somebody says at the end of the day, taken apart."""

import pytest

from witnessmark.daybook import Said, What, said_in
from witnessmark.documents import Faulty


def only(text) -> Said:
    (said,) = said_in(text)
    return said


@pytest.mark.parametrize(
    ("text", "minutes", "about"),
    [
        ("3 h chest", "3 h", "chest"),
        ("3h chest", "3h", "chest"),
        ("chest 1 h 20 min", "1 h 20 min", "chest"),
        ("1½ h on the chest", "1½ h", "chest"),
        ("half an hour on the chest", "30 min", "chest"),
        ("an hour and a half chest of drawers", "1 h 30 min", "chest drawers"),
        ("worked 45 min at the dresser", "45 min", "dresser"),
        ("2 h strip dresser", "2 h", "strip dresser"),
    ],
)
def test_hours_are_work(text, minutes, about):
    said = only(text)
    assert (said.what, said.minutes, said.about or said.on) == (What.WORKED, minutes, about)


def test_two_pieces_in_one_breath():
    for text in ("3 h chest, 2 h chair", "3 h chest and 2 h chair", "3 h chest; 2 h chair", "3 h chest\n2 h chair\n"):
        assert [(one.minutes, one.about) for one in said_in(text)] == [("3 h", "chest"), ("2 h", "chair")]


def test_a_step_is_done_on_a_piece():
    said = only("done strip on chest 2 h")
    assert (said.what, said.about, said.on, said.minutes) == (What.DONE, "strip", "chest", "2 h")
    assert only("finished lay down lifting veneer on the chest").minutes == ""
    assert only("started clean on chest").what is What.STARTED


def test_a_name_before_a_colon_is_who_did_it():
    said = said_in("Tobias: 3 h chest, 2 h chair")
    assert [(one.who, one.minutes, one.about) for one in said] == [
        ("Tobias", "3 h", "chest"),
        ("Tobias", "2 h", "chair"),
    ]


def test_what_was_used_and_mixed():
    used = only("used 60 ml white spirit on chest from jar B")
    assert used.amounts == ({"material": "white spirit", "volume": "60 ml", "jar": "B"},)
    assert used.on == "chest"
    assert only("used 5 g of hide glue on the chair").amounts == ({"material": "hide glue", "mass": "5 g"},)
    mixed = only("mixed 30 g shellac flakes in 250 ml meths, jar C")
    assert mixed.amounts == (
        {"material": "shellac flakes", "mass": "30 g", "jar": "C"},
        {"material": "meths", "volume": "250 ml", "jar": "C"},
    )
    assert only("stirred jar C").amounts == ({"material": "jar C", "jar": "C"},)


def test_the_air_a_note_and_what_went_out():
    air = only("air 16 °C, 58 %: bench room, morning")
    assert (air.temperature, air.rh, air.note) == ("16 °C", "58 %", "bench room, morning")
    note = only("note chest: old wedge in the tenon, sound")
    assert (note.what, note.on, note.note) == (What.NOTE, "chest", "old wedge in the tenon, sound")
    sent = only("sent lock on chest to the locksmith, promised for the 30th")
    assert (sent.what, sent.about, sent.on, sent.to) == (What.SENT, "lock", "chest", "the locksmith")
    back = only("back lock on chest from the locksmith")
    assert (back.what, back.about, back.on, back.to) == (What.BACK, "lock", "chest", "the locksmith")
    assert only("bought four screws, £1.20 for chest").note == "four screws, £1.20"
    assert only("closed up: jars lidded").note == "jars lidded"


def test_parts_come_off_and_go_back():
    off = only("off DR1.F on the chest: two screws on its card")
    assert (off.what, off.about, off.on, off.note) == (What.OFF, "DR1.F", "chest", "two screws on its card")
    back = only("refit DR1.F on chest")
    assert (back.what, back.about, back.on) == (What.REFIT, "DR1.F", "chest")


def test_a_coat_a_clock_halted_and_what_was_paid():
    coat = only("coat brush the shellac on dresser 25 min")
    assert (coat.what, coat.about, coat.on, coat.minutes) == (What.COAT, "brush shellac", "dresser", "25 min")
    assert only("stopped clean on chest").what is What.STOPPED
    paid = only("paid £120 for the chest: deposit")
    assert (paid.what, paid.sum, paid.on, paid.note) == (What.PAID, "£120", "chest", "deposit")


def test_a_jar_is_counted_and_thrown_away():
    counted = only("counted 90 ml dewaxed shellac in jar B")
    assert (counted.what, counted.amounts) == (
        What.COUNTED,
        ({"material": "dewaxed shellac", "volume": "90 ml", "jar": "B"},),
    )
    gone = only("discarded jar A: gone to jelly")
    assert (gone.what, gone.amounts, gone.note) == (
        What.DISCARDED, ({"material": "jar A", "jar": "A"},), "gone to jelly",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("off TOP", "which part of which piece"),
        ("refit on chest", "which part of which piece"),
        ("paid £120", "how much for which piece"),
        ("counted 90 ml shellac", "which jar"),
        ("", "3 h chest"),
        ("chest", "how long"),
        ("3 chest", "how long"),
        ("3 h", "on which piece"),
        ("air warm", "the air"),
        ("note chest", "what to note"),
        ("used on chest", "what was used"),
        ("used 60 ml white spirit", "on which piece"),
        ("used 5 white spirit on chest", "how much of which material"),
        ("sent the lock", "went to whom"),
    ],
)
def test_what_is_not_understood_is_said_with_an_example(text, expected):
    with pytest.raises(Faulty) as caught:
        said_in(text)
    assert expected in caught.value.faults[0].expected


def test_every_clause_at_fault_is_told_at_once():
    with pytest.raises(Faulty) as caught:
        said_in("chest, 3 h, 2 h chair")
    assert [fault.key or fault.found for fault in caught.value.faults] == ["chest", "3 h"]


def test_a_verb_nearly_right_has_its_nearest():
    with pytest.raises(Faulty) as caught:
        said_in("finishd strip on chest")
    assert caught.value.faults[0].nearest == "finished"
