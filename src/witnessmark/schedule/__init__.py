"""The shop's days: steps, trial patches and the shop's hours come in; minutes and dates go out.

Minutes are labour; a wait is elapsed time between jobs. Instants are UTC.
"""

from .days import Broken, Days, GoesRound, Job, NobodyWorks, NoSuchJob, NoZone, Slot, days_for
from .hours import Endless
from .minutes import Minutes, NoRate, at_odds, minutes_of, over_area, over_count, spread_of
from .patches import Patch, doubt_left, labour_named, patch_weight, patched_rate
from .totals import total_of

__all__ = [
    "Broken", "Days", "Endless", "GoesRound", "Job", "Minutes", "NoRate", "NoSuchJob", "NoZone", "NobodyWorks", "Patch",
    "Slot", "at_odds", "days_for", "doubt_left", "labour_named", "minutes_of", "over_area", "over_count",
    "patch_weight", "patched_rate", "spread_of", "total_of",
]  # fmt: skip
