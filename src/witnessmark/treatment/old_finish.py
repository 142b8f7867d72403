"""What the old finish is taken to be: what somebody wrote, else what its tests say."""

from dataclasses import dataclass

from witnessmark.finish import told
from witnessmark.sources import Row, row, rule
from witnessmark.survey import OldFinish, Survey


@dataclass(frozen=True)
class TakenFor:
    """The old finish, the facts that say so, and what it may still be (all of them where no test told)."""

    kind: OldFinish
    cites: tuple[str, ...]
    may_be: tuple[OldFinish, ...] = ()

    @property
    def known(self) -> bool:
        return self.kind is not OldFinish.UNKNOWN

    @property
    def cells(self) -> Row | None:
        """Its row of old_finishes.csv; None where it is not known."""
        return row("treatment", "old_finishes.csv", self.kind.value) if self.known else None


# What an unknown film may turn out to be, in the order the tests tell them apart. Common practice.
MAY_BE = (
    OldFinish.SHELLAC, OldFinish.LACQUER, OldFinish.OIL_VARNISH, OldFinish.OIL_PAINT, OldFinish.WAX,
)  # fmt: skip


def old_finish_of(survey: Survey) -> TakenFor:
    """What is written under `finish.kind`; where that is not known, what the tests of it say.

    A finish is taken for known from the chance of rule `finish_told` on. Below it the plan branches: over every finish
    that the tests have not ruled out, and over `MAY_BE` where nothing was tested. Raises BadReading as `finish.told`.
    """
    if survey.finish.kind is not OldFinish.UNKNOWN:
        return TakenFor(survey.finish.kind, ("finish.kind",))
    if not survey.test:
        return TakenFor(OldFinish.UNKNOWN, ("finish.kind",), MAY_BE)
    chances = {OldFinish(word): chance for word, chance in told(survey.test).items()}
    likeliest = max(chances, key=lambda kind: chances[kind])
    if likeliest is not OldFinish.UNKNOWN and chances[likeliest] >= rule("treatment", "finish_told").value:
        return TakenFor(likeliest, tuple(f"test.{number}" for number in range(1, len(survey.test) + 1)))
    # What the tests have no column for, such as oil paint, stands under “don't know”.
    kinds = [kind for kind in dict.fromkeys((*MAY_BE, *chances)) if kind is not OldFinish.UNKNOWN]
    least = rule("treatment", "finish_ruled_out").value
    left = [kind for kind in kinds if chances.get(kind, chances.get(OldFinish.UNKNOWN, 0.0)) >= least]
    return TakenFor(OldFinish.UNKNOWN, ("finish.kind",), tuple(left or MAY_BE))
