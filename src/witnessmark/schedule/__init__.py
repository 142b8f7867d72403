"""The shop's days: steps, trial patches, own past work, air and hours come in; minutes, dates, go or not today go out.

Minutes are labour; a wait is elapsed time between jobs. Instants are UTC.
"""

from .after_trial import ANY_WORK, AfterTrial, after_trial
from .air_of_the_day import AirWanted, DaysAir, Verdict, air_of_the_day, air_wanted
from .bench_hours import as_worked, bench_share, learned_share
from .calendar import (
    Calendar,
    CalendarSlot,
    Moved,
    Promise,
    calendar_in,
    calendar_schema,
    instant,
    problem_schema,
    stamp,
)
from .checked import faults_in
from .days import Broken, Days, GoesRound, Job, NobodyWorks, NoSuchJob, NoZone, Slot, days_for
from .forward import forward_pass, waits_until
from .hours import Endless
from .minutes import Minutes, NoRate, at_odds, minutes_of, over_area, over_count, ratio_to_table, spread_of
from .own_past import OwnPace, PastWork, fading, own_pace, pace_of, shrunk, with_unknown_spread
from .patches import Patch, bare_words, doubt_left, labour_named, patch_weight, patched_rate
from .promises import FOUR_IN_FIVE, slowed, wait_spread, waiting_longer
from .remaining import still_to_come
from .three_points import chance_within, expected, minutes_from, variance
from .totals import total_of

__all__ = [
    "ANY_WORK",
    "FOUR_IN_FIVE",
    "AfterTrial",
    "AirWanted",
    "Broken",
    "Calendar",
    "CalendarSlot",
    "Days",
    "DaysAir",
    "Endless",
    "GoesRound",
    "Job",
    "Minutes",
    "Moved",
    "NoRate",
    "NoSuchJob",
    "NoZone",
    "NobodyWorks",
    "OwnPace",
    "PastWork",
    "Patch",
    "Promise",
    "Slot",
    "Verdict",
    "after_trial",
    "air_of_the_day",
    "air_wanted",
    "as_worked",
    "at_odds",
    "bare_words",
    "bench_share",
    "calendar_in",
    "calendar_schema",
    "chance_within",
    "days_for",
    "doubt_left",
    "expected",
    "fading",
    "faults_in",
    "forward_pass",
    "instant",
    "labour_named",
    "learned_share",
    "minutes_from",
    "minutes_of",
    "over_area",
    "over_count",
    "own_pace",
    "pace_of",
    "patch_weight",
    "patched_rate",
    "problem_schema",
    "ratio_to_table",
    "shrunk",
    "slowed",
    "spread_of",
    "stamp",
    "still_to_come",
    "total_of",
    "variance",
    "wait_spread",
    "waiting_longer",
    "waits_until",
    "with_unknown_spread",
]  # fmt: skip
