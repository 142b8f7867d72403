"""Money: hours, materials, the price paid and the shop's costs come in; cost, floor, quote and what it clears go out.

Sums are Decimal, in the shop's currency, and a Range where something is not known. The accountant decides on VAT.
"""

from .cost import Cost, clearing, clears, cost_of, hour_to_come, hour_worth, net_price, next_hour
from .hour import NoHours, bench_hour, hour_cost
from .margins import NoPrice, margin_of, markup_of, price_for
from .quote import Swing
from .vat import ACCOUNTANT, Taxed, taxed, taxed_as_it_came, vat_in_margin, vat_in_price, vat_rate

__all__ = [
    "ACCOUNTANT", "Cost", "NoHours", "NoPrice", "Swing", "Taxed", "bench_hour", "clearing", "clears", "cost_of",
    "hour_cost", "hour_to_come", "hour_worth", "margin_of", "markup_of", "net_price", "next_hour", "price_for", "taxed",
    "taxed_as_it_came", "vat_in_margin", "vat_in_price", "vat_rate",
]  # fmt: skip
