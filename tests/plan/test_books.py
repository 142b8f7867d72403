"""The books over all pieces: sums of what their plans say, what was agreed and paid, and how each is taxed."""

from decimal import Decimal
from functools import cache

from entries import entry
from pieces import NOW, PIECES, daybook, piece, shop
from witnessmark.daybook import DayBook
from witnessmark.money import Taxed
from witnessmark.plan import books_of, plan_as_json, plan_piece
from witnessmark.plan.books import total
from witnessmark.quantities import Currency, Money, Range, from_json, usual


@cache
def plans():
    return [plan_as_json(plan_piece(piece(name), shop(), daybook(), NOW)) for name in PIECES]


def pounds(amount):
    return Money(Decimal(amount), Currency.GBP)


def books(decisions=None, book=None):
    came = {piece(name).id: piece(name).piece.came.value for name in PIECES}
    return books_of(plans(), book or daybook(), shop(), came, decisions or {})


def row(name, **more):
    (found,) = [one for one in books(**more).rows if one.piece == piece(name).id]
    return found


def test_the_whole_is_the_sum_of_the_pieces_end_by_end():
    told = books()
    floors = [from_json(plan["cost"]["floor"]) for plan in plans()]
    assert told.floor.low.amount == sum(one.low.amount for one in floors)
    assert told.floor.high.amount == sum(one.high.amount for one in floors)
    assert told.quote.amount == sum(usual(one.quote).amount for one in told.rows)


def test_sums_of_nothing_are_none_and_a_sum_among_ranges_makes_a_range():
    assert total([None, None]) is None
    assert total([pounds(3), None, pounds("4.50")]) == pounds("7.50")
    mixed = total([pounds(3), Range(pounds(1), pounds(2), pounds(4))])
    assert (mixed.low, mixed.usual, mixed.high) == (pounds(4), pounds(5), pounds(7))


def test_the_last_price_decided_on_is_the_one_agreed_and_may_lie_under_the_floor():
    chest = piece("chest").id
    told = row("chest", decisions={chest: [{"about": "price", "price": "£2,500"}, {"about": "price", "price": "£90"}]})
    assert told.agreed == pounds(90)
    assert told.under_floor
    assert not row("chest", decisions={chest: [{"about": "price", "price": "£9,000"}]}).under_floor
    assert row("chest").agreed is None


def test_what_was_paid_adds_up_by_piece():
    chest = piece("chest").id
    paid = [entry(number, "paid", NOW, piece=name, sum=sum_)
            for number, (name, sum_) in enumerate([(chest, "£100"), ("C1", "£50.50"), ("W2", "£7")], 1)]  # fmt: skip
    book = DayBook.of([*daybook().entries, *paid])
    assert row("chest", book=book).paid == pounds("150.50")
    assert books(book=book).paid == pounds("157.50")
    assert row("chest").paid is None


def test_only_stock_that_was_bought_may_go_under_the_margin_scheme():
    # VAT Notice 718: the scheme is for eligible stock bought in without VAT (from memory); work on a customer's own
    # piece is a service and taxed whole.
    assert piece("chair").piece.came == "customer's"
    assert row("chair").taxed is Taxed.WHOLE
    assert row("chest").taxed is Taxed.MARGIN
