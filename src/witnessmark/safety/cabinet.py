"""How much flammable liquid may stand in a cabinet, by its flash point, as printed for the UK and the US.

A guide: the shop's own fire assessment, the local fire code and the insurer prevail, and the least that will do is
always better. Source: `cabinet.csv`.
"""

from dataclasses import dataclass

from witnessmark.quantities import Temperature, Volume
from witnessmark.sources import Figure, formula, table


@dataclass(frozen=True)
class CabinetLimit:
    """The most of one class of liquid, and who knows better. The class: what flashes `over` one and up `to` another."""

    key: str
    over: Temperature
    to: Temperature
    most: Figure
    says: str
    ask: str

    def holds(self, flash: Temperature) -> bool:
        """Whether a liquid of that flash point is of this class."""
        return self.over < flash <= self.to


def cabinet_limits(region: str) -> tuple[CabinetLimit, ...]:
    """The classes of a region (UK, US), the one that flashes first at the head. What flashes above all is in none."""
    return tuple(
        CabinetLimit(
            row.key, _degrees(row.number("flash_from_c")), _degrees(row.number("flash_to_c")),
            _litres(row.figure("litres", Volume)), row["says"], row["ask"],
        )
        for row in table("safety", "cabinet.csv")
        if row["region"] == region
    )  # fmt: skip


@formula("out at most = in the cupboard + to be bought + what flakes add to it")
def litres_out(cupboard: Volume, bought: Volume, swelled: Volume) -> Volume:
    """What may stand out on the worst day: all of it bought and mixed, nothing used yet."""
    return cupboard + bought + swelled


def _degrees(number: float | None) -> Temperature:
    assert number is not None, "cabinet.csv: every row has its flash points"
    return Temperature(number)


def _litres(figure: Figure | None) -> Figure:
    assert figure is not None, "cabinet.csv: every row has its litres"
    return figure
