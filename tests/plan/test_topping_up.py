"""What to mix where a jar falls short."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.finish import resin_density, volume_of
from witnessmark.plan import more_of
from witnessmark.quantities import Cut, Mass, Range, Volume, as_json, read, usual


def amounts_in(says: str) -> tuple[Volume, Mass, Volume]:
    made, flakes, solvent = re.fullmatch(r"Mix (.+) more: (.+) flakes in (.+)", says).groups()
    return read(made, Volume), read(flakes, Mass), read(solvent, Volume)


@settings(max_examples=60)
@given(st.floats(5, 900), st.sampled_from([60.0, 120.0, 200.0, 240.0]))
def test_what_is_mixed_covers_the_most_that_is_lacking_at_the_cut_of_the_jar(lacking, cut):
    short = Range(Volume(0), Volume.millilitres(lacking / 2), Volume.millilitres(lacking))
    made, flakes, solvent = amounts_in(more_of(as_json(short), as_json(Cut(cut))))
    assert made.litres * 1000 >= lacking - 1e-6
    assert volume_of(solvent, flakes, usual(resin_density().value)).litres >= made.litres * 0.999
    # Both are rounded up to a mark of their tool, so the cut stays within what the marks allow.
    assert flakes.grams / solvent.litres == pytest.approx(cut, rel=0.25, abs=15)


def test_where_nobody_knows_the_cut_it_says_only_how_much():
    assert more_of(as_json(Range(*(Volume.millilitres(n) for n in (10, 20, 30)))), None) == "Mix 30 ml more"
