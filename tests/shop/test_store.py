"""What is laid by in the store: found by words, by kind and by measure; each with a code of its own."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.documents import Faulty
from witnessmark.quantities import Length
from witnessmark.shop import StoreKind, shop_from, store_fits

HEAD = '[shop]\nname = "A"\n[[person]]\nname = "Me"\nhours = { mon-fri = "8:00-12:30" }\n'
STORE = """
[[store]]
code = "H1"
kind = "hardware"
what = "drop handle, brass"
centres = "64 mm"
[[store]]
code = "H2"
kind = "hardware"
what = "drop handle, brass"
centres = "2 1/2 in"
booked = "C1"
[[store]]
code = "H3"
kind = "hardware"
what = "drop handle, brass"
[[store]]
code = "T1"
kind = "timber"
what = "board"
wood = "oak"
size = "900 x 220 x 24 mm"
thickness = "24 mm"
"""


def shop(text=STORE):
    return shop_from(HEAD + text, "s.toml")


def codes(**asked):
    return [one.code for one in store_fits(shop(), **asked)]


def mm(number):
    return Length(number)


def test_a_handle_of_64_mm_give_or_take_one_is_found_the_nearest_first():
    # 2 1/2 in is 63.5 mm: an inch is 25.4 mm exactly (international yard and pound agreement, 1959).
    assert codes(words="brass handle", centres=mm(64), within=mm(1)) == ["H1", "H2"]
    assert codes(words="brass handle", centres=mm(63.4), within=mm(1)) == ["H2", "H1"]
    assert codes(centres=mm(64), within=mm(0.4)) == ["H1"]


def test_what_was_never_measured_is_not_said_to_fit():
    assert "H3" not in codes(centres=mm(64), within=mm(1000))
    assert "H3" in codes(words="handle")


def test_what_is_put_by_is_left_out_where_only_the_free_is_wanted():
    assert codes(words="handle", free=True) == ["H1", "H3"]


def test_every_word_counts_and_so_does_the_kind():
    assert codes(words="OAK board") == ["T1"]
    assert codes(words="oak handle") == []
    assert codes(kind=StoreKind.TIMBER, thickness=mm(25), within=mm(1)) == ["T1"]
    assert codes() == ["H1", "H2", "H3", "T1"]


@settings(max_examples=40, deadline=None)
@given(st.floats(1, 200), st.floats(0, 50), st.floats(0, 50))
def test_a_larger_give_never_finds_less(centres, give, more):
    fewer = set(codes(centres=mm(centres), within=mm(give)))
    assert fewer <= set(codes(centres=mm(centres), within=mm(give + more)))


@pytest.mark.parametrize(
    ("text", "key"),
    [(STORE + '[[store]]\ncode = "H1"\nkind = "veneer"\nwhat = "leaf"\n', "store[5].code"),
     (STORE.replace('"timber"', '"wood"'), "store[4].kind"),
     (STORE.replace('"64 mm"', '"a hand"'), "store[1].centres"),
     (STORE.replace('what = "board"\n', ""), "store[4].what")],
)  # fmt: skip
def test_what_is_amiss_is_said_at_its_place(text, key):
    with pytest.raises(Faulty) as raised:
        shop(text)
    assert [fault.key for fault in raised.value.faults] == [key]
