"""Margin and markup, which are not the same: margin is a share of the price, markup of the cost."""

from decimal import Decimal

from witnessmark.documents import Refused
from witnessmark.quantities import Money
from witnessmark.sources import formula


class NoPrice(Refused):
    """A price that no sum can give: margin and fee leave nothing for the cost."""


@formula("margin = (price − cost) ÷ price")
def margin_of(cost: Money, price: Money) -> float:
    """The share of the price that is left over the cost. Raises NoPrice on a price of nothing."""
    if not price.amount:
        raise NoPrice("A price of nothing has no margin. Give a price.")
    return float((price - cost).amount / price.amount)


@formula("markup = (price − cost) ÷ cost")
def markup_of(cost: Money, price: Money) -> float:
    """What is put on the cost, as a share of it. Raises NoPrice on a cost of nothing."""
    if not cost.amount:
        raise NoPrice("What cost nothing has no markup. Give a cost.")
    return float((price - cost).amount / cost.amount)


@formula("price = cost ÷ (1 − margin − fee)")
def price_for(cost: Money, margin: float, fee: float = 0.0) -> Money:
    """The price that leaves this margin after a seller's fee, both shares of the price. Raises NoPrice."""
    left = 1 - Decimal(str(margin)) - Decimal(str(fee))
    if left <= 0:
        raise NoPrice(f"A margin of {margin:.0%} and a fee of {fee:.0%} leave nothing for the cost. Lower one of them.")
    return (cost * (1 / left)).rounded()
