"""What a piece costs so far and to come, the least it may go for, what to quote, where to stop bidding, what it clears.

Floor is the price at which nothing is lost at the usual hours; the quote is kept four times in five. Both hold the VAT
that applies. What is spent is spent: whether to go on is asked of `next_hour` alone.
"""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING, Any

from witnessmark.quantities import Money, Percent, Range, Span, high, low
from witnessmark.schedule import Minutes
from witnessmark.sources import Input, Working, formula, given, work

from .hour import NoHours, bench_hour, nothing
from .quote import Swing, quote_range, swings_of
from .vat import Taxed, net_of_all, net_of_margin, taxed, vat_rate

if TYPE_CHECKING:
    from witnessmark.shop import Shop
    from witnessmark.survey import Survey

Sum = Money | Range[Money]


@dataclass(frozen=True)
class Cost:
    """Each a Money, or a Range of it; `stop_at` is None where the piece is not to be bid for or its price not said.

    `taxed`: on what VAT is reckoned. `cash_to_come`: what of `to_come` is not labour. `workings`: those of the five
    sums, in their order. `quote_range`: the quote between what is likely and what is at most; `would_change`:
    each thing that would change it, the most first.
    """

    so_far: Sum
    to_come: Sum
    floor: Sum
    quote: Sum
    stop_at: Sum | None
    workings: tuple[Working[Any], ...] = ()
    taxed: Taxed = Taxed.NOT
    cash_to_come: Sum | None = None
    quote_range: Range[Money] | None = None
    would_change: tuple[Swing, ...] = ()


@formula("so far = paid + materials used + hours done × what an hour costs")
def spent(paid: Money, materials: Money, minutes: Span, hour: Money) -> Money:
    """What the piece has cost up to now."""
    return (paid + materials + hour * minutes.in_hours).rounded()


@formula("to come = materials + hours to come × what an hour costs")
def outlay(materials: Money, minutes: Span, hour: Money) -> Money:
    """What the piece will still cost."""
    return (materials + hour * minutes.in_hours).rounded()


@formula("least price = paid + (cost − paid) × (100 % + VAT)")
def price_over_margin(cost: Money, paid: Money, rate: Percent) -> Money:
    """The price that just covers a cost when VAT is due on the margin."""
    return (paid + (cost - paid) * _with(rate)).rounded()


@formula("least price = cost × (100 % + VAT)")
def price_over_all(cost: Money, rate: Percent) -> Money:
    """The price that just covers a cost when VAT is due on all of it, or none at all."""
    return (cost * _with(rate)).rounded()


@formula("cost = so far + to come")
def whole_cost(so_far: Money, to_come: Money) -> Money:
    """What is spent and what is still to spend."""
    return so_far + to_come


@formula("charge = paid + materials + hours × what an hour is sold for")
def charge(paid: Money, materials: Money, minutes: Span, hour: Money) -> Money:
    """What to ask, VAT left out. `minutes`: done, and to come at four times in five."""
    return (paid + materials + hour * minutes.in_hours).rounded()


@formula("quote = price, up to the next whole pound or dollar")
def quoted(price: Money) -> Money:
    """The sum to name: nobody quotes pence."""
    return Money(price.rounded().amount.to_integral_value(ROUND_CEILING), price.currency)


@formula("stop at = sells for − work × (100 % + VAT), not below nothing")
def bid_on_margin(sells_for: Money, work_charge: Money, rate: Percent) -> Money:
    """The most to pay when VAT will be due on the margin: then selling price less bid is what must pay for the work."""
    return _not_below_nothing(sells_for - work_charge * _with(rate))


@formula("stop at = sells for ÷ (100 % + VAT) − work, not below nothing")
def bid_on_all(sells_for: Money, work_charge: Money, rate: Percent) -> Money:
    """The most to pay when VAT will be due on the whole price, or none."""
    return _not_below_nothing(sells_for * (1 / _with(rate)) - work_charge)


@formula("clears = net price − so far − to come")
def left_over(net: Money, so_far: Money, to_come: Money) -> Money:
    """What is left when all is paid, wages too."""
    return net - so_far - to_come


@formula("rise in net price = net price when done − net price as found")
def rise_of(done: Money, found: Money) -> Money:
    """What the work adds to what the piece brings in."""
    return done - found


@formula("worth of an hour to come = (rise in net price − cash to come) ÷ hours to come")
def hour_to_come(rise: Money, cash_to_come: Money, minutes: Span) -> Money:
    """What each further hour earns; what is spent already has no say. Common practice."""
    return ((rise - cash_to_come) * (1 / minutes.in_hours)).rounded()


def cost_of(
    minutes_done: Span,
    minutes_to_come: Minutes,
    materials: Sum,
    price_paid: Sum | None,
    shop: "Shop",
    survey: "Survey",
    materials_used: Sum | None = None,
) -> Cost:
    """The money side of a piece. `materials`: still to be bought or taken; `materials_used`: already in it.

    `price_paid` counts where the survey does not say one; with neither the piece is taken as not yet bought.
    Labour to come runs from one time in five (low) to four times in five (high). Without a charged hour in the shop's
    costs, the quote goes by what an hour costs. Raises NoHours where nobody works.
    """
    currency = shop.shop.currency
    hour = bench_hour(shop)
    how, rate = taxed(shop, survey), vat_rate(shop, survey)
    paid, bought = _paid(survey, shop, price_paid)
    used = given("materials used", materials_used if materials_used is not None else nothing(currency))
    to_come = given("materials to come", materials)
    done, ahead = given("minutes done", minutes_done), given("minutes to come", _four_in_five(minutes_to_come))
    so_far = work(spent, paid=paid, materials=used, minutes=done, hour=hour)
    outlays = work(outlay, materials=to_come, minutes=ahead, hour=hour)
    floor = _price(work(whole_cost, so_far=so_far, to_come=outlays), paid, rate, how)

    sold = _charged(shop) or hour
    minutes = given("minutes done and, four times in five, to come", Span(minutes_done.minutes + minutes_to_come.p80))
    dear = given("materials used and to come, at their most", high(used.value) + high(materials))
    asked = work(charge, paid=paid, materials=dear, minutes=minutes, hour=sold)
    quote = work(quoted, price=_price(asked, paid, rate, how))

    workings: list[Working[Any]] = [so_far, outlays, floor, quote]
    stop_at = None if bought else _stop_at(survey, dear, minutes, sold, rate, how)
    if stop_at is not None:
        workings.append(stop_at)

    def quote_at(minutes: Span, materials: Money, hour: Money) -> Money:
        asked = charge(paid.value, materials, minutes, hour)
        priced = price_over_margin(asked, paid.value, vat) if how is Taxed.MARGIN else price_over_all(asked, vat)
        return quoted(priced)

    vat = rate.value.usual if isinstance(rate.value, Range) else rate.value
    unsure = (quote_at, minutes_done, minutes_to_come, _between(used.value, materials), sold.value)
    return Cost(
        so_far.value, outlays.value, floor.value, quote.value, stop_at.value if stop_at else None,
        tuple(workings), how, materials, quote_range(*unsure), swings_of(*unsure),
    )  # fmt: skip


def _between(used: Sum, to_come: Sum) -> Sum:
    """Materials used and to come together."""
    ends = low(used) + low(to_come), high(used) + high(to_come)
    return ends[1] if ends[0] == ends[1] else Range(ends[0], ends[1], ends[1])


def clears(survey: "Survey", shop: "Shop", cost: Cost) -> Sum | None:
    """What the hoped-for price would clear; None where no price is hoped for. See `clearing` for its working."""
    price = _said(survey, "sells_for")
    return None if price is None else clearing(price, survey, shop, cost).value


def clearing(price: Input, survey: "Survey", shop: "Shop", cost: Cost) -> Working[Any]:
    """What is left of a price after VAT and all cost, wages too. May be less than nothing."""
    so_far, to_come = cost.workings[:2]
    return work(left_over, net=net_price(price, survey, shop), so_far=so_far, to_come=to_come)


def next_hour(survey: "Survey", shop: "Shop", cost: Cost, minutes_to_come: Minutes) -> Sum | None:
    """What each hour still to come would earn, to hold against what an hour earns elsewhere.

    None where the price when done or as found is not said, and where no work is to come. See `hour_worth`.
    """
    done, found = _said(survey, "sells_for"), _said(survey, "sells_as_found")
    if done is None or found is None or minutes_to_come.p50 <= 0:
        return None
    cash = nothing(shop.shop.currency) if cost.cash_to_come is None else cost.cash_to_come
    rise = work(rise_of, done=net_price(done, survey, shop), found=net_price(found, survey, shop))
    return hour_worth(rise, cash, minutes_to_come).value  # type: ignore[no-any-return]


def hour_worth(rise: Input, cash_to_come: Sum, minutes_to_come: Minutes) -> Working[Any]:
    """The worth of each hour to come, with its working.

    `rise`: net price when done less net price as it stands; `cash_to_come`: materials and other people's bills, not
    wages. Raises NoHours where no work is to come.
    """
    if minutes_to_come.p50 <= 0:
        raise NoHours("No work is to come, so there is no hour to be worth anything. Ask what it clears instead.")
    return work(
        hour_to_come, rise=rise, cash_to_come=given("cash to come", cash_to_come),
        minutes=given("minutes to come", _four_in_five(minutes_to_come)),
    )  # fmt: skip


def _said(survey: "Survey", wish: str) -> Input | None:
    said = getattr(survey.wishes, wish)
    return given(f"wishes.{wish}", said.value) if said and said.known else None


def _paid(survey: "Survey", shop: "Shop", price_paid: Sum | None = None) -> tuple[Input, bool]:
    """What was paid for the piece, nothing where nobody says; and whether it is known."""
    said = survey.piece.price_paid
    if price_paid is None and said and said.known:
        price_paid = said.value
    if price_paid is None:
        return given("piece.price_paid", nothing(shop.shop.currency)), False
    return given("piece.price_paid", price_paid), True


def net_price(price: Input, survey: "Survey", shop: "Shop") -> Working[Any]:
    """What the shop keeps of a price once the VAT that applies is paid."""
    rate = vat_rate(shop, survey)
    if taxed(shop, survey) is Taxed.MARGIN:
        return work(net_of_margin, price=price, paid=_paid(survey, shop)[0], rate=rate)
    return work(net_of_all, price=price, rate=rate)


def _price(cost: Working[Any], paid: Input, rate: Input, how: Taxed) -> Working[Any]:
    if how is Taxed.MARGIN:
        return work(price_over_margin, cost=cost, paid=paid, rate=rate)
    return work(price_over_all, cost=cost, rate=rate)


def _charged(shop: "Shop") -> Input | None:
    said = shop.costs.hour_charged
    return given("costs.hour_charged", said.value) if said and said.known else None


def _stop_at(
    survey: "Survey", dear: Input, minutes: Input, sold: Input, rate: Input, how: Taxed
) -> Working[Any] | None:
    """Where to stop bidding for a piece that is not a customer's, when it is known what it would sell for."""
    hoped = _said(survey, "sells_for")
    if survey.piece.came == "customer's" or hoped is None:
        return None
    labour = work(charge, paid=given("nothing paid yet", dear.value * 0), materials=dear, minutes=minutes, hour=sold)
    if how is Taxed.MARGIN:
        return work(bid_on_margin, sells_for=hoped, work_charge=labour, rate=rate)
    return work(bid_on_all, sells_for=hoped, work_charge=labour, rate=rate)


def _four_in_five(minutes: Minutes) -> Any:
    """From one time in five to four in five. The times are log-normal, so the low end lies as far below in ratio."""
    if minutes.p50 <= 0 or minutes.p80 == minutes.p50:
        return Span(minutes.p50)
    return Range(Span(minutes.p50**2 / minutes.p80), Span(minutes.p50), Span(minutes.p80))


def _with(rate: Percent) -> Decimal:
    return 1 + Decimal(str(rate.percent)) / 100


def _not_below_nothing(sum_: Money) -> Money:
    return sum_.rounded() if sum_.amount > 0 else nothing(sum_.currency)
