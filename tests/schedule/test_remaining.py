"""What is left of work that is begun."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.schedule.test_own_past import strip

from witnessmark.quantities import Span
from witnessmark.schedule import minutes_of, still_to_come, total_of

WHOLE = minutes_of(strip(2.0))


def test_untouched_work_is_left_as_it_is():
    assert still_to_come(WHOLE, Span(0)) is WHOLE


def test_what_is_left_against_jobs_played_through():
    """Of many such jobs those that took longer than two thirds of the median: what they had left."""
    took = np.exp(WHOLE.mu + WHOLE.sigma * np.random.default_rng(7).standard_normal(400_000))
    spent = WHOLE.p50 * 2 / 3
    left = took[took > spent] - spent
    found = still_to_come(WHOLE, Span(spent))
    assert found.p50 == pytest.approx(np.quantile(left, 0.5), rel=0.01)
    assert found.p80 == pytest.approx(np.quantile(left, 0.8), rel=0.01)
    assert found.p95 == pytest.approx(np.quantile(left, 0.95), rel=0.02)


def test_what_runs_over_still_has_something_left():
    over = still_to_come(WHOLE, Span(WHOLE.p95))
    assert over.p50 > 0
    assert over.p50 + WHOLE.p95 > WHOLE.p95


@settings(max_examples=60)
@given(st.floats(1, 3000))
def test_the_whole_is_never_thought_shorter_for_having_gone_on(spent):
    left = still_to_come(WHOLE, Span(spent))
    assert 0 <= left.p50 <= left.p80 <= left.p95
    if left.p50:
        assert left.p50 + spent >= WHOLE.p50 - 1e-6
        assert left.sigma > 0


def test_what_is_left_adds_up_with_the_rest():
    begun = still_to_come(WHOLE, Span(WHOLE.p50))
    assert total_of([begun, WHOLE]).p50 < total_of([WHOLE, WHOLE]).p50
    assert total_of([still_to_come(WHOLE, Span(1e9))]).p50 == 0
