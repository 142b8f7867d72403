"""VAT in a price: on the whole charge, on the margin only, or none. The shop's accountant decides; rules change.

The margin scheme is for eligible stock that was bought without VAT: what a customer pays for work on his own piece is
taxed whole. Repairs never make the margin smaller.
"""

from decimal import Decimal
from enum import StrEnum
from typing import TYPE_CHECKING

from witnessmark.quantities import Money, Percent
from witnessmark.sources import Figure, formula, rule

if TYPE_CHECKING:
    from witnessmark.shop import Shop
    from witnessmark.survey import Survey


class Taxed(StrEnum):
    """What of a price is taxed."""

    NOT = "not taxed"
    WHOLE = "whole price"
    MARGIN = "margin only"


ACCOUNTANT = "VAT rules differ by country and change: your accountant decides."


def taxed(shop: "Shop", survey: "Survey") -> Taxed:
    """How the sale of this piece, or the work on it, is taxed. Where it is not known how it came: the whole price."""
    return taxed_as_it_came(shop, survey.piece.came)


def taxed_as_it_came(shop: "Shop", came: str) -> Taxed:
    """The same, of a piece of which only how it came is at hand."""
    if not shop.costs.vat_registered:
        return Taxed.NOT
    if shop.costs.margin_scheme and came == "bought":
        return Taxed.MARGIN
    return Taxed.WHOLE


def vat_rate(shop: "Shop", survey: "Survey") -> Figure:
    """The rate that goes with the shop's currency; none where the shop is not registered."""
    key = "vat_USD" if taxed(shop, survey) is Taxed.NOT else f"vat_{shop.shop.currency.value}"
    return rule("money", key)


@formula("VAT in it = price × rate ÷ (100 % + rate)")
def vat_in_price(price: Money, rate: Percent) -> Money:
    """VAT in a whole price: a sixth of it at 20 %."""
    return (price * Decimal(str(rate.percent)) * (1 / (100 + Decimal(str(rate.percent))))).rounded()


@formula("VAT in it = (price − paid) × rate ÷ (100 % + rate), none where the margin is not more than nothing")
def vat_in_margin(price: Money, paid: Money, rate: Percent) -> Money:
    """VAT under the margin scheme: one sixth of the margin at 20 %; nothing on a loss."""
    margin = price - paid
    if margin.amount <= 0:
        return margin * 0
    return (margin * Decimal(str(rate.percent)) * (1 / (100 + Decimal(str(rate.percent))))).rounded()


@formula("net price = price − VAT in its margin")
def net_of_margin(price: Money, paid: Money, rate: Percent) -> Money:
    """What is left of a price under the margin scheme."""
    return price - vat_in_margin(price, paid, rate)


@formula("net price = price − VAT in it")
def net_of_all(price: Money, rate: Percent) -> Money:
    """What is left of a price that is taxed whole, or not at all at a rate of nothing."""
    return price - vat_in_price(price, rate)
