"""The facts of a glue that taking apart and gluing up need. They come from outside: this room keeps no glues."""

import math
from dataclasses import dataclass

from witnessmark.materials import UnknownName, fits
from witnessmark.quantities import Range, Span, Temperature, low
from witnessmark.sources import Figure, Input, formula, given, rule, work


@dataclass(frozen=True)
class Glue:
    """A glue: how long it stays open, how warm it is worked, and whether it fills a gap.

    `open_time` is a Span or a range of them at the shop of rule `open_time_at`; `worked_at` the least and the
    most temperature, of the pot where the glue is hot.
    """

    key: str
    name: str
    open_time: Figure | None
    worked_at: Figure | None = None
    fills: str = ""

    @property
    def is_animal(self) -> bool:
        """Whether it is a hide, bone or fish glue: those take on old glue of their kind, and let go again."""
        return self._is("animal_glue")

    @property
    def is_hide(self) -> bool:
        return self._is("hide_glue")

    def _is(self, kind: str) -> bool:
        try:
            return fits(kind, self.key)
        except UnknownName:
            return False

    @property
    def is_hot(self) -> bool:
        """Whether it is worked from a hot pot and lost when it has cooled to a jelly."""
        return self.worked_at is not None and low(self.worked_at.value) > rule("takedown", "gels_at").value.high

    def open_for(self, shop: Temperature | Range[Temperature] | None) -> Input | None:
        """How long it stays open in a shop so warm; as the table has it where that is not known.

        Only a hot glue is shortened by the cold: others dry, and the table's time is then on the safe side.
        """
        if self.open_time is None or shop is None or not self.is_hot or self.worked_at is None:
            return self.open_time
        return work(
            open_in_the_cold, open_time=self.open_time, pot=self.worked_at, gels_at=rule("takedown", "gels_at"),
            taken_at=rule("takedown", "open_time_at"), shop=given("shop, day temperature", shop),
            warmest=rule("takedown", "warmest_shop"),
        )  # fmt: skip

    def too_cold(self, shop: Temperature | Range[Temperature] | None) -> bool:
        """Whether the shop is too cold for a glue that is worked as it comes."""
        if self.worked_at is None or shop is None or self.is_hot:
            return False
        return bool(low(shop) < low(self.worked_at.value))


@formula("open time × ln((pot − shop) ÷ (gel − shop)) ÷ ln((pot − table's shop) ÷ (gel − table's shop))")
def open_in_the_cold(
    open_time: Span, pot: Temperature, gels_at: Temperature, taken_at: Temperature, shop: Temperature,
    warmest: Temperature,
) -> Span:  # fmt: skip
    """How long a hot glue stays open: it cools to its jelly the sooner, the colder the shop.

    Newton's law of cooling from pot to jelly, as a ratio to the shop that the table's time is for. The wood's own
    warmth counts more than the air's: warmed parts are what the trade uses, and give more than this says.
    """
    return open_time * (_cooling(pot, gels_at, min(shop, warmest)) / _cooling(pot, gels_at, taken_at))


def _cooling(pot: Temperature, gels_at: Temperature, shop: Temperature) -> float:
    return math.log((pot.celsius - shop.celsius) / (gels_at.celsius - shop.celsius))
