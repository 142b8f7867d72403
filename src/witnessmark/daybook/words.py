"""The words a day book may use where the set is closed: the kinds of entry, and the stages of a piece."""

from enum import StrEnum

HANDING_IN = "handing-in receipt"  # what a `signed` entry is `to` when it was signed as the piece came in


class What(StrEnum):
    """The kinds of entry. `corrects` on its own strikes an entry out; on any other kind it takes its place."""

    WORKED = "worked"
    DONE = "done"
    STARTED = "started"
    STOPPED = "stopped"  # a clock halted, the step not finished
    COAT = "coat"  # one coat, or one session of the rubber
    MIXED = "mixed"
    STIRRED = "stirred"
    USED = "used"
    TESTED = "tested"  # the drop on glass, the morning after
    COUNTED = "counted"  # how much really stands in a jar
    DISCARDED = "discarded"
    AIR = "air"
    OFF = "off"  # a part came off
    REFIT = "refit"  # a part is back in its place
    SENT = "sent"
    BACK = "back"
    BOUGHT = "bought"
    PAID = "paid"
    SIGNED = "signed"  # the photograph is of the signature
    ACKNOWLEDGED = "acknowledged"  # a caution was read
    STAGE = "stage"  # a piece moved by hand
    NOTE = "note"
    PHOTOGRAPH = "photograph"
    CLOSED_UP = "closed up"
    CORRECTS = "corrects"


class Stage(StrEnum):
    """The stages of a piece, in their order."""

    IN = "in"
    LOOKED_OVER = "looked over"
    QUOTED = "quoted"
    APART = "apart"
    ON_THE_BENCH = "on the bench"
    TOGETHER = "together"
    OUT = "out"

    @property
    def place(self) -> int:
        """Which of the seven it is, from 1."""
        return list(Stage).index(self) + 1

    @property
    def words(self) -> str:
        """As it stands on a page: “On the bench”."""
        return self.value.capitalize()


class Dried(StrEnum):
    """What the drop on glass did overnight."""

    HARD = "dried hard"
    SOFT = "stayed soft"
