"""The odds are kept: on jobs drawn from the very spreads the working names, four in five stay within the 80 %."""

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from tests.schedule.test_own_past import strip

from witnessmark.quantities import Area
from witnessmark.schedule import (
    Job,
    Minutes,
    PastWork,
    after_trial,
    days_for,
    minutes_from,
    minutes_of,
    pace_of,
    slowed,
    total_of,
    waiting_longer,
)
from witnessmark.shop import plain_shop
from witnessmark.sources import rule
from witnessmark.treatment import NO_WAIT, Basis, Step, wait_named

JOBS = 2000
LUCK = np.random.default_rng(4)
START = LUCK.bit_generator.state


@pytest.fixture(autouse=True)
def the_same_luck():
    """Each test draws from the same start, whichever others run."""
    LUCK.bit_generator.state = START


def drawn(minutes: Minutes, piece: np.ndarray) -> np.ndarray:
    """The minutes of one step on many pieces, each with its own luck."""
    own = LUCK.standard_normal(len(piece))
    return np.exp(minutes.mu + piece * minutes.sigma_shared + own * minutes.sigma_own)


def counted(labour, count):
    return minutes_of(Step(f"{labour}.found", labour, labour, labour, Basis.COUNT, count=count))


PIECE = [minutes_of(strip(area)) for area in (0.4, 1.2, 3.0)] + [
    counted("glue_up", 4), counted("handle_refit", 6), minutes_from(20, 45, 120),
]  # fmt: skip


@pytest.mark.parametrize("step", PIECE)
def test_one_step_is_within_its_80_percent_four_times_in_five(step):
    took = drawn(step, LUCK.standard_normal(JOBS))
    assert np.mean(took <= step.p80) == pytest.approx(0.80, abs=0.03)
    assert np.mean(took <= step.p95) == pytest.approx(0.95, abs=0.02)
    assert np.mean(took <= step.p50) == pytest.approx(0.50, abs=0.04)


def test_a_whole_piece_is_within_its_80_percent_four_times_in_five():
    piece = LUCK.standard_normal(JOBS)
    took = sum(drawn(step, piece) for step in PIECE)
    whole = total_of(PIECE)
    assert np.mean(took <= whole.p80) == pytest.approx(0.80, abs=0.03)
    assert np.mean(took <= whole.p95) == pytest.approx(0.95, abs=0.02)


def test_hours_that_were_independent_would_be_surer_than_they_are():
    """Adding the variances as if each step had its own luck alone would promise too much."""
    piece = LUCK.standard_normal(JOBS)
    took = sum(drawn(step, piece) for step in PIECE)
    alone = total_of([replace(step, sigma_shared=0.0) for step in PIECE])
    whole = total_of(PIECE)
    assert alone.p80 < whole.p80
    assert np.mean(took <= alone.p80) < np.mean(took <= whole.p80)


def test_from_the_world_to_the_answer_a_timed_patch_keeps_its_odds():
    """Pieces drawn about the usual rate, a patch timed on each, the job then done: four in five keep the answer."""
    usual, between, patch = 25.0, 0.4, 0.25
    theirs = np.log(usual) + LUCK.standard_normal(JOBS) * between
    patches = np.exp(theirs + LUCK.standard_normal(JOBS) * patch)
    took = 3 * np.exp(theirs + LUCK.standard_normal(JOBS) * patch)
    promised = [after_trial([float(one)], Area(3), usual=usual, spread=between, patch_spread=patch) for one in patches]
    p80, p95 = (np.array([getattr(one.minutes, odds) for one in promised]) for odds in ("p80", "p95"))
    assert np.mean(took <= p80) == pytest.approx(0.80, abs=0.03)
    assert np.mean(took <= p95) == pytest.approx(0.95, abs=0.02)


def test_halving_the_patchs_spread_narrows_step_and_total():
    def after(spread):
        return after_trial([120.0], Area(3), usual=25, spread=0.4, patch_spread=spread).minutes

    wide, narrow = after(0.3), after(0.15)
    assert narrow.p80 / narrow.p50 < wide.p80 / wide.p50
    others = PIECE[3:]
    wide, narrow = total_of([wide, *others]), total_of([narrow, *others])
    assert narrow.p95 / narrow.p50 < wide.p95 / wide.p50


# --- the safe day ---


def test_the_safe_day_is_kept_at_least_four_times_in_five():
    """The days played through: every hour with its luck, the caster's wait with its own."""
    shop, start = plain_shop(), datetime(2026, 11, 25, 8, tzinfo=UTC)
    away = Step("find_fitting.found", "find_fitting", "have it cast", "find_fitting", Basis.COUNT, count=1,
                wait=wait_named("castings"))  # fmt: skip
    steps = [*(replace(strip(3.0), id=f"strip.{n}") for n in range(6)), away]
    minutes = {step.id: minutes_of(step) for step in steps}

    def last(minutes, steps):
        jobs = [
            Job(step.id, minutes[step.id].p50, after=tuple(before.id for before in steps[:number]), wait=step.wait)
            for number, step in enumerate(steps)
        ]
        jobs.append(Job("refit", 60, after=(away.id,)))
        return days_for(jobs, shop, start)["refit"][-1].end

    likely, safe = last(minutes, steps), last(slowed(minutes), waiting_longer(steps))
    assert likely < safe
    kept = 0
    for _ in range(200):
        piece = LUCK.standard_normal(1)
        luck = {name: replace(one, p50=float(drawn(one, piece)[0])) for name, one in minutes.items()}
        wait = float(np.exp(0.5 * LUCK.standard_normal()))
        turned = [replace(s, wait=replace(s.wait, usual=s.wait.usual * wait)) if s is away else s for s in steps]
        kept += last(luck, turned) <= safe
    assert 0.75 <= kept / 200 <= 0.97


def test_a_film_dries_no_slower_for_being_promised():
    coat = Step("coat.show", "coat", "coat", "varnish_coat", Basis.PIECE, wait=wait_named("varnish_rest"))
    bare = Step("wipe.show", "wipe", "wipe", "wax", Basis.PIECE, wait=NO_WAIT)
    assert waiting_longer([coat, bare]) == (coat, bare)


# --- own past ---


@pytest.mark.parametrize("pieces", [1, 3, 12])
def test_a_shop_that_learned_its_pace_keeps_its_odds(pieces):
    """Shops drawn about the table, pieces about their shop, jobs about their piece: then the next job."""
    spread, job = 0.5, rule("schedule", "job_spread").value
    apart = spread * np.sqrt(rule("schedule", "shop_share").value)
    shops = LUCK.standard_normal(JOBS) * apart
    ratios = np.exp(
        shops[:, None] + LUCK.standard_normal((JOBS, pieces)) * apart + LUCK.standard_normal((JOBS, pieces)) * job
    )
    following = np.exp(shops + LUCK.standard_normal(JOBS) * apart + LUCK.standard_normal(JOBS) * job)
    kept = 0
    for past, took in zip(ratios, following, strict=True):
        pace = pace_of("strip", [PastWork("strip", f"piece {n}", float(ratio)) for n, ratio in enumerate(past)], spread)
        kept += took <= pace.working.value * np.exp(0.8416 * np.hypot(pace.doubt, job))
    assert kept / JOBS == pytest.approx(0.80, abs=0.03)
