"""The forward pass against a published worked example of the critical path, with hands enough for every activity."""

from datetime import UTC, datetime

import pytest

from witnessmark.schedule import faults_in, forward_pass, stamp

BEGIN = datetime(2026, 11, 23, 0, 0, tzinfo=UTC)

# The seven activities by which the Program Evaluation and Review Technique is commonly taught: optimistic, likely and
# pessimistic days, what comes before, and the early finish the example prints. Expected time = (o + 4 m + p) ÷ 6
# (Malcolm et al. 1959, Operations Research 7(5)). The example and its result, 19.51 days along A, C, E, G, are from
# memory.
ACTIVITIES = {
    "A": (2, 4, 6, "", 4.00),
    "B": (3, 5, 9, "", 5.33),
    "C": (4, 5, 7, "A", 9.17),
    "D": (4, 6, 10, "A", 10.33),
    "E": (4, 5, 7, "BC", 14.34),
    "F": (3, 4, 8, "D", 14.83),
    "G": (3, 5, 8, "E", 19.51),
}
MINUTES_A_DAY = 1000  # finer than the example's hundredths


def example(people):
    def minutes(activity):
        optimistic, likely, pessimistic = ACTIVITIES[activity][:3]
        return (optimistic + 4 * likely + pessimistic) / 6 * MINUTES_A_DAY

    jobs = [
        {
            "id": f"P/{name}", "piece": "P", "step": name, "trade_name": name, "kind": "labour",
            "minutes": {"p50": minutes(name), "p80": minutes(name), "p95": minutes(name)}, "sessions": 1, "first": 1,
            "of": 1, "after": [f"P/{before}" for before in ACTIVITIES[name][3]], "wait": None, "between": None,
            "unbroken": False, "who": [], "earliest": None, "latest": None, "fixed": [], "mixed_for": [],
        }
        for name in ACTIVITIES
    ]  # fmt: skip
    hands = [
        {"name": f"H{n}", "hours": {"mon-sun": "0:00-24:00"}, "bench_fraction": 1.0} for n in range(people)
    ]  # fmt: skip
    return {
        "schema": 1, "now": stamp(BEGIN), "jobs": jobs, "posted": [], "posted_order": [],
        "shop": {"shop": {"name": "example", "zone": "UTC", "gallon": "imperial"}, "person": hands},
        "pieces": [{"id": "P", "code": "P", "title": "P", "promised": None, "alone": 0.0, "begun": False}],
    }  # fmt: skip


def finishes(people):
    problem = example(people)
    calendar = forward_pass(problem)
    assert faults_in(problem, calendar) == ()
    ends: dict[str, float] = {}
    for slot in calendar.slots:
        ends[slot.step] = max(ends.get(slot.step, 0.0), (slot.end - BEGIN).total_seconds() / 60 / MINUTES_A_DAY)
    return ends


def test_with_hands_enough_every_activity_ends_at_its_early_finish():
    # The example adds times already rounded to two places, and ours are whole minutes: a hundredth and a half.
    assert finishes(7) == {name: pytest.approx(row[4], abs=0.015) for name, row in ACTIVITIES.items()}


def test_one_pair_of_hands_takes_as_long_as_all_activities_together():
    together = sum((o + 4 * m + p) / 6 for o, m, p, *_ in ACTIVITIES.values())
    assert max(finishes(1).values()) == pytest.approx(together, abs=0.01)
