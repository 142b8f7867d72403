"""What to do: the survey and what was found come in; ways to go about it, steps with reasons and jars go out."""

from .finding import Finding
from .findings import findings_in
from .gluing import AT_ONCE
from .jars import Jar, dry_glue, is_on, jars_for, mix_in, pots_for, to_make
from .old_finish import MAY_BE, TakenFor, old_finish_of
from .step import NO_WAIT, Basis, Cure, Need, Reason, Step, Undo, Wait
from .steps import skipped_in, step_words, steps_for, wait_named
from .ways import RuleSaid, WayOffered, chosen_way, way_words, ways_for

__all__ = [
    "AT_ONCE", "MAY_BE", "NO_WAIT", "Basis", "Cure", "Finding", "Jar", "Need", "Reason", "RuleSaid", "Step", "TakenFor",
    "Undo", "Wait", "WayOffered", "chosen_way", "dry_glue", "findings_in", "is_on", "jars_for", "mix_in",
    "old_finish_of", "pots_for", "skipped_in", "step_words", "steps_for", "to_make", "wait_named",
    "way_words", "ways_for",
]  # fmt: skip
