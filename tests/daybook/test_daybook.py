"""The day book: every line counts once, corrections take effect, bad lines are told by their number."""

import json
from datetime import UTC, datetime, timedelta
from itertools import permutations

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pieces import daybook, piece, text_of
from witnessmark.daybook import (
    DayBook,
    What,
    daybook_from,
    daybook_schema,
    daybook_text,
    entry_in,
    entry_line,
    example,
    outline_of,
)
from witnessmark.documents import Faulty, uuid7
from witnessmark.quantities import Gallon, Span, Volume

NOW = datetime(2026, 11, 25, 17, tzinfo=UTC)
KINDS = (
    "worked, done, started, stopped, coat, mixed, stirred, used, tested, counted, discarded, air, off, refit, sent, "
    "back, bought, paid, signed, acknowledged, stage, note, photograph, closed up, corrects"
)


def an_id(number: int) -> str:
    return uuid7(NOW, number.to_bytes(10, "big"))


def entry(number: int, what: str = "worked", minutes: int = 0, **said: object) -> dict[str, object]:
    """An entry that happened `minutes` after NOW."""
    happened = (NOW + timedelta(minutes=minutes)).isoformat()
    kind = {"minutes": "1 h"} if what == "worked" else {}
    return {"id": an_id(number), "what": what, "who": "Me", "happened": happened, **kind, **said}


def lines(*entries: object) -> str:
    return "".join(json.dumps(one) + "\n" for one in entries)


def counting(*entries: dict[str, object]) -> list[int]:
    book = DayBook.of(entry_in(one, "d") for one in entries)
    return [int(one.id.replace("-", "")[-6:], 16) for one in book.entries]


def says(text: str) -> list[str]:
    with pytest.raises(Faulty) as raised:
        daybook_from(text, "d.jsonl")
    return [fault.says for fault in raised.value.faults]


# --- what counts ---


def test_an_entry_sent_twice_counts_once_whenever_each_arrived():
    once, again = entry(1), entry(1, arrived="2026-11-26T09:00:00Z")
    assert len(daybook_from(lines(once, again), "d").entries) == 1


def test_entries_stand_in_the_order_they_happened():
    assert counting(entry(1, minutes=30), entry(2, minutes=10), entry(3, minutes=20)) == [2, 3, 1]


def test_a_correction_takes_the_place_of_what_it_corrects():
    book = daybook_from(lines(entry(1), entry(2, minutes=5, corrects=an_id(1))), "d")
    assert [one.id for one in book.entries] == [an_id(2)]
    assert [one.id for one in book.struck] == [an_id(1)]


def test_an_entry_struck_out_is_gone_and_nothing_takes_its_place():
    assert counting(entry(1), entry(2, "corrects", 5, corrects=an_id(1))) == []


def test_a_correction_corrected_hands_on_what_it_corrected():
    assert counting(entry(1), entry(2, minutes=5, corrects=an_id(1)), entry(3, minutes=9, corrects=an_id(2))) == [3]


def test_a_correction_struck_out_gives_back_what_it_corrected():
    chain = [entry(1), entry(2, minutes=5, corrects=an_id(1)), entry(3, "corrects", 9, corrects=an_id(2))]
    assert counting(*chain) == [1]


def test_of_two_corrections_the_later_one_counts():
    assert counting(entry(1), entry(2, minutes=5, corrects=an_id(1)), entry(3, minutes=9, corrects=an_id(1))) == [3]
    # Later is when the record knew of it, not when it happened.
    late = entry(2, minutes=5, corrects=an_id(1), arrived="2026-11-27T00:00:00Z")
    assert counting(entry(1), late, entry(3, minutes=9, corrects=an_id(1))) == [2]


def test_a_correction_of_what_has_not_arrived_yet_counts():
    assert counting(entry(2, corrects=an_id(1))) == [2]


def test_two_that_correct_each_other_end():
    assert counting(entry(1, corrects=an_id(2)), entry(2, minutes=5, corrects=an_id(1))) == [2]


def test_the_order_of_the_lines_does_not_matter():
    chain = [
        entry(1), entry(2, minutes=5, corrects=an_id(1)), entry(3, minutes=9, corrects=an_id(1)), entry(4, minutes=2),
        entry(5, "corrects", 12, corrects=an_id(3)),
    ]  # fmt: skip
    assert {tuple(counting(*order)) for order in permutations(chain)} == {(4, 2)}


@settings(max_examples=50)
@given(st.lists(st.tuples(st.integers(1, 5), st.booleans(), st.integers(0, 5)), min_size=1, max_size=7))
def test_nothing_counts_twice_and_nothing_is_lost(said):
    entries = [
        entry(
            number,
            "corrects" if strikes and target else "worked",
            number,
            **({"corrects": an_id(target)} if target else {}),
        )
        for number, (target, strikes, _) in enumerate(said, 6)
    ] + [entry(number) for number in range(1, 6)]
    book = DayBook.of(entry_in(one, "d") for one in entries)
    ids = [one.id for one in (*book.entries, *book.struck)]
    assert len(ids) == len(set(ids))
    striking = {one["id"] for one in entries if one["what"] == "corrects"}
    assert {one["id"] for one in entries} - set(ids) <= striking
    # Each that is struck was named by another.
    assert {one.id for one in book.struck} <= {one.get("corrects") for one in entries} | {
        one["id"] for one in entries if one.get("corrects")
    }


# --- faults ---


@pytest.mark.parametrize(
    ("text", "sentences"),
    [
        (lines(entry(1)) + '{"id": 3,\n', ["d.jsonl, line 2: found “{\"id\": 3,”; "
         "expected one entry as JSON, closed on its "
         "own line (expecting property name enclosed in double quotes)."]),
        (lines(entry(1)) + "\n\nstuff\n", ["d.jsonl, line 4: found “stuff”; "
         "expected one entry as JSON, closed on its own "
         "line (expecting value)."]),
        (lines(entry(1), [1]), ["d.jsonl, line 2: found “[1]”; expected one entry in curly brackets."]),
        ('{"id": "x", "id": "y"}', ["d.jsonl, line 1, id: found “{\"id\": \"x\", \"id\": \"y\"}”; "
         "expected each key once a line."]),
        (lines(entry(1, "polished")), ["d.jsonl, line 1, what: found “polished”; "
         f"expected one of: {KINDS}."]),
        (lines(entry(1, "mixt")), [f"d.jsonl, line 1, what: found “mixt”; expected one of: {KINDS}. "
         "Did you mean “mixed”?"]),
        (lines(entry(1, minutes=0) | {"happened": "2026-11-25T08:00:00"}), ["d.jsonl, line 1, happened: found "
         "“2026-11-25T08:00:00”; expected an instant with its offset, such as 2026-11-25T08:00:00Z or "
         "2026-11-25T08:00:00+01:00."]),
        (lines(entry(1, minutes=0) | {"minutes": 60}), ["d.jsonl, line 1, minutes: found “60”; "
         "expected an amount in quotes "
         "with its unit, such as “3 h”."]),
        (lines(entry(1, minut="1 h")), ["d.jsonl, line 1, minut: found “minut”; "
         "expected one of the keys schema, id, what, "
         "who, happened, arrived, piece, part, step, minutes, amounts, temperature, rh, sum, photograph, to, corrects, "
         "note. "
         "Did you mean “minutes”?"]),
        (lines(entry(1, "air")), ["d.jsonl, line 1, temperature: expected the temperature, the humidity, or both."]),
        (lines(entry(1, "photograph")), ["d.jsonl, line 1, photograph: expected the SHA-256 of the picture's file."]),
        (lines(entry(1, "corrects")), ["d.jsonl, line 1, corrects: "
         "expected the id of the entry that is struck out."]),
        (lines(entry(1, corrects=an_id(1))), [f"d.jsonl, line 1, corrects: found “{an_id(1)}”; "
         "expected the id of an earlier "
         "entry, not its own."]),
        (lines(entry(1), entry(1, who="You")), [f"d.jsonl, line 2, id: found “{an_id(1)}”; "
         "expected the same words as in "
         "line 1, which has this id; to correct it, add an entry that corrects it."]),
        ("a = 1\nb = 2\n", ["d.jsonl, line 1: found “a = 1”; "
         "expected a day book: on each line one entry in curly brackets; "
         "start one with “witnessmark daybook new”."]),
        (lines(entry(1) | {"what": "worked", "minutes": None}), ["d.jsonl, line 1, minutes: "
         "expected how long, such as “3 h”, "
         "or “don't know”."]),
    ],
)  # fmt: skip
def test_the_sentence(text, sentences):
    assert says(text) == sentences


def test_every_bad_line_is_told():
    text = lines(entry(1), entry(2, "nonsense"), entry(3)) + "{\n" + lines(entry(4) | {"who": ""})
    with pytest.raises(Faulty) as raised:
        daybook_from(text, "d")
    assert [fault.line for fault in raised.value.faults] == [2, 4, 5]


@pytest.mark.parametrize("text", ["", "\n\n", "\ufeff"])
def test_an_empty_day_book_is_a_day_book(text):
    assert daybook_from(text, "d").entries == ()
    assert outline_of(daybook_from(text, "d")).says == "The day book is empty: nothing has been logged yet."


def test_marks_and_line_ends_of_other_editors_are_read():
    text = "\ufeff" + lines(entry(1), entry(2)).replace("\n", "\r\n")
    assert len(daybook_from(text, "d").entries) == 2


# --- in and out ---


def test_lines_go_out_in_the_words_they_came_in():
    for line in text_of("daybook.jsonl").splitlines():
        assert json.loads(entry_line(entry_in(json.loads(line), "d"))) == json.loads(line)


def test_a_pint_is_the_shop_s():
    used = entry(1, "used", amounts=[{"material": "meths", "volume": "1 pt"}])
    assert daybook_from(lines(used), "d").entries[0].amounts[0].volume.value == Volume.pints(1, Gallon.US)
    imperial = daybook_from(lines(used), "d", {"gallon": Gallon.IMPERIAL})
    assert imperial.entries[0].amounts[0].volume.value == Volume.pints(1, Gallon.IMPERIAL)


# --- the example and the demo ---


def test_the_example_shows_each_kind_and_passes_its_own_check():
    numbers = iter(range(100))
    text = example("Me", NOW, lambda at: uuid7(at, bytes([next(numbers)] * 10)))
    kinds = [json.loads(line)["what"] for line in text.splitlines()]
    assert sorted(kinds) == sorted(kind.value for kind in What)
    book = daybook_from(text, "example")
    assert len(book.struck) == 1
    assert daybook_from(daybook_text((*book.entries, *book.struck)), "again").entries[-1].happened <= NOW


def test_each_line_is_right_by_the_published_schema():
    schema = daybook_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    numbers = iter(range(100))
    for line in (text_of("daybook.jsonl") + example("Me", NOW, lambda at: an_id(next(numbers)))).splitlines():
        validator.validate(json.loads(line))
    assert not validator.is_valid(entry(1, "polished"))
    assert not validator.is_valid(entry(1) | {"id": "1"})
    assert not validator.is_valid(entry(1) | {"minute": "3 h"})


def test_the_demo_s_correction_counts_and_its_pieces_are_there():
    book = daybook()
    assert len(book.struck) == 1
    ids = {piece(name).id for name in ("chest", "chair")}
    assert {one.piece for one in book.entries} - {""} == ids
    side = [one for one in book.entries if one.part == "SIDE-L" and one.what is What.WORKED]
    assert [one.minutes.value for one in side] == [Span(20)]
    assert len(book.on_piece(piece("chair").id)) == 1


def test_the_paragraph_of_the_demo():
    assert outline_of(daybook()).says == (
        "27 entries from 2026-11-16 to 2026-11-24: 7 worked, 4 air, 4 closed up, 3 done, 2 used, 1 photograph, 1 note, "
        "1 started, 1 sent, 1 bought, 1 mixed, 1 stirred. 1 corrected. 4 h 35 min written down, on 2 pieces."
    )
