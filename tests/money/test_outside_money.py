"""Money against sums of others.

`data/price_examples.csv`: margin, markup and fee arithmetic with printed answers, from three pages of business
arithmetic of no standing; the arithmetic was checked, the pages are not worth quoting.
"""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from witnessmark.money import margin_of, markup_of, price_for, vat_in_margin, vat_in_price
from witnessmark.quantities import Currency, Money, Percent

ROWS = list(csv.DictReader((Path(__file__).parent / "data/price_examples.csv").read_text().splitlines()))


def pounds(amount) -> Money:
    return Money(Decimal(str(amount)), Currency.GBP)


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['kind']} of {row['cost']}")
def test_worked_example(row):
    cost = pounds(row["cost"])
    match row["kind"]:
        case "margin":
            answer = margin_of(cost, pounds(row["selling_price"]))
        case "markup":
            answer = markup_of(cost, pounds(row["selling_price"]))
        case _:
            answer = price_for(cost, float(row["margin_fraction"]), float(row["fee_fraction"])).shown
    # Printed to so many places: half of the last is the tolerance.
    places = len(row["expected"].partition(".")[2])
    assert answer == pytest.approx(float(row["expected"]), abs=0.5 * 10**-places + 1e-9)


@pytest.mark.parametrize(("paid", "price", "vat"), [(100, 700, 100), (200, 1400, 200), (500, 500, 0), (500, 300, 0)])
def test_a_sixth_of_the_margin_and_nothing_on_a_loss(paid, price, vat):
    # UK government, VAT margin schemes: one sixth of the margin at the 20 % rate, none where it is not positive.
    assert vat_in_margin(pounds(price), pounds(paid), Percent(20)) == pounds(vat).rounded()


def test_a_sixth_of_a_whole_price():
    # The VAT fraction at 20 %: 20 ÷ 120, one sixth, as HMRC prints it (from memory).
    assert vat_in_price(pounds(120), Percent(20)) == pounds(20).rounded()
