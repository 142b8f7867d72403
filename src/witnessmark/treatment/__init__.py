"""What to do: the survey and what was found come in; ways to go about it and steps with reasons go out."""

from .findings import Finding, findings_in
from .jars import Jar, is_on, jars_for
from .step import NO_WAIT, Basis, Cure, Need, Reason, Step, Undo, Wait
from .steps import said_of, steps_for, wait_named
from .ways import RuleSaid, WayOffered, chosen_way, way_nearest, way_words, ways_for

__all__ = [
    "NO_WAIT", "Basis", "Cure", "Finding", "Jar", "Need", "Reason", "RuleSaid", "Step", "Undo", "Wait", "WayOffered",
    "chosen_way", "findings_in", "is_on", "jars_for", "said_of", "steps_for", "wait_named", "way_nearest", "way_words",
    "ways_for", "year_made",
]  # fmt: skip
