"""What a piece costs and clears: so far, to come, floor, quote, where to stop; what an hour costs and earns."""

from decimal import Decimal

import pytest
from hypothesis import given as for_all
from hypothesis import strategies as st

from witnessmark.documents import Refused
from witnessmark.money import (
    NoHours,
    NoPrice,
    Taxed,
    bench_hour,
    clearing,
    clears,
    cost_of,
    hour_worth,
    margin_of,
    markup_of,
    next_hour,
    price_for,
)
from witnessmark.quantities import Currency, Money, Range, Span, high, low, usual
from witnessmark.schedule import Minutes
from witnessmark.shop import shop_from
from witnessmark.sources import Standing, given, recomputed, table_of
from witnessmark.survey import survey_from

COSTS = 'rent = "£500"\ninsurance = "£70"\nvan = "£250"\nheat = "£100"\n'


def shop(costs=COSTS, wage="£16", currency="GBP", hours='mon-fri = "8:00-12:00, 13:00-17:00"', more=""):
    return shop_from(
        f'[shop]\nname = "The Long Shed"\ncurrency = "{currency}"\ngallon = "imperial"\n[[person]]\nname = "Ann"\n'
        f"hours = {{ {hours} }}\nbench_fraction = 0.6\n"
        + (f'wage = "{wage}"\n' if wage else "")
        + f"[costs]\n{costs}{more}",
        "shop.toml",
    )


def survey(came="bought", paid="", sells="", found=""):
    piece = f'price_paid = "{paid}"\n' if paid else ""
    wishes = (f'sells_for = "{sells}"\n' if sells else "") + (f'sells_as_found = "{found}"\n' if found else "")
    head = f'id = "01935d8e-7c00-7abc-8def-0123456789ab"\n[piece]\nkind = "chest"\ncame = "{came}"\n'
    return survey_from(f"{head}{piece}[wishes]\n{wishes}", "piece.toml", {"currency": Currency.GBP})


def pounds(amount) -> Money:
    return Money(Decimal(str(amount)), Currency.GBP)


TEN_HOURS = Minutes(600, 780, 1000)
NONE = Minutes(0, 0, 0)


def cost(done=0, to_come=TEN_HOURS, materials=40, paid=None, where=None, piece=None, **kw):
    return cost_of(Span.hours(done), to_come, pounds(materials), paid, where or shop(), piece or survey(), **kw)


# --- an hour --------------------------------------------------------------------------------------------


def test_a_bench_hour_is_all_that_is_paid_over_the_hours_at_the_bench():
    # By hand: 40 h a week, 24 at the bench. Wages £640; £920 a month × 12 ÷ 46 = £240; £880 ÷ 24.
    hour = bench_hour(shop()).value
    assert hour.usual == pounds("36.67")
    # 44 to 48 weeks: fewer weeks spread the rent over fewer hours.
    assert hour.low < hour.usual < hour.high
    assert hour.high - hour.low < pounds(1)


def test_two_people_share_the_rent():
    two = shop_from(
        '[shop]\nname = "x"\ngallon = "imperial"\n'
        + "".join(
            f'[[person]]\nname = "{name}"\nhours = {{ mon-fri = "8:00-16:00" }}\nbench_fraction = 0.6\nwage = "£16"\n'
            for name in ("Ann", "Bea")
        )
        + f"[costs]\n{COSTS}",
        "shop.toml",
    )
    assert bench_hour(two).value.usual < bench_hour(shop()).value.usual


def test_what_the_shop_does_not_say_is_wide_and_not_a_blank():
    hour = bench_hour(shop(costs="", wage=""))
    assert hour.value.low * 2 < hour.value.high
    assert hour.value.low < bench_hour(shop()).value.usual < hour.value.high
    assert hour.standing is Standing.FROM_MEMORY


def test_nobody_at_the_bench_has_no_hourly_cost():
    with pytest.raises(NoHours, match=r"Give a \[\[person\]\] `hours`"):
        bench_hour(shop(hours='mon = ""'))


def test_the_currency_is_the_shops():
    dollars = bench_hour(shop(costs="", wage="", currency="USD")).value
    assert dollars.usual.currency is Currency.USD


# --- cost -----------------------------------------------------------------------------------------------


def test_so_far_and_to_come():
    sums = cost(done=2, paid=pounds(120), materials_used=pounds(15))
    hour = bench_hour(shop()).value.usual
    assert sums.so_far.usual == (pounds(135) + hour * 2).rounded()
    assert sums.to_come.usual == (pounds(40) + hour * 10).rounded()


def test_the_quote_is_kept_four_times_in_five():
    hour = bench_hour(shop()).value.usual
    sums = cost(paid=pounds(100))
    assert 0 <= usual(sums.quote).amount - (pounds(140) + hour * 13).amount < 1  # up to the whole pound
    assert usual(sums.quote) > usual(sums.floor)


def test_the_quote_goes_by_the_charged_hour_where_there_is_one():
    sums = cost(where=shop(more='hour_charged = "£50"\n'), piece=survey("customer's"))
    assert sums.quote == pounds("690.00")  # £40 + 13 h × £50


def test_a_surer_estimate_narrows_what_is_to_come():
    sure = cost(to_come=Minutes(600, 660, 720))
    assert high(sure.to_come) < high(cost().to_come)
    assert low(sure.to_come) > low(cost().to_come)


def test_the_floor_covers_the_cost_and_no_more():
    piece, where = survey(paid="£100"), shop()
    sums = cost(piece=piece, where=where)
    left = clearing(given("price", usual(sums.floor)), piece, where, sums).value
    assert usual(left) == pounds("0.00")


@pytest.mark.parametrize("came", ["bought", "customer's", "shop's own"])
def test_the_floor_covers_the_vat_too(came):
    where = shop(more="vat_registered = true\nmargin_scheme = true\n")
    piece = survey(came, paid="" if came == "customer's" else "£100")
    sums = cost(piece=piece, where=where)
    left = usual(clearing(given("price", usual(sums.floor)), piece, where, sums).value)
    assert abs(left.amount) <= Decimal("0.02")
    assert usual(sums.floor) > usual(cost(piece=piece).floor)


def test_the_margin_scheme_is_for_bought_stock_only():
    where = shop(more="vat_registered = true\nmargin_scheme = true\n")
    assert cost(where=where, piece=survey("bought", "£100")).taxed is Taxed.MARGIN
    assert cost(where=where, piece=survey("customer's")).taxed is Taxed.WHOLE
    assert cost(where=where, piece=survey("don't know")).taxed is Taxed.WHOLE
    assert cost(where=shop(more="vat_registered = true\n"), piece=survey("bought", "£100")).taxed is Taxed.WHOLE
    assert cost(where=shop(more="margin_scheme = true\n")).taxed is Taxed.NOT


def test_repairs_never_make_the_margin_smaller():
    where = shop(more="vat_registered = true\nmargin_scheme = true\n")
    piece = survey(paid="£100", sells="£1300")
    little, much = (cost(materials=m, piece=piece, where=where) for m in (10, 400))
    difference = usual(clears(piece, where, little)) - usual(clears(piece, where, much))
    assert difference == pounds("390.00")


def test_customer_work_is_taxed_on_the_whole_charge():
    where = shop(more='vat_registered = true\nmargin_scheme = true\nhour_charged = "£50"\n')
    assert cost(where=where, piece=survey("customer's")).quote == pounds("828.00")  # £690 and a fifth


def test_what_was_paid_is_read_from_the_survey():
    assert cost(piece=survey(paid="£120")).so_far == cost(paid=pounds(120)).so_far


# --- where to stop --------------------------------------------------------------------------------------


def test_stop_where_the_bid_and_the_work_are_what_it_sells_for():
    where = shop(more='hour_charged = "£50"\n')
    sums = cost(where=where, piece=survey(sells="£900"))
    assert sums.stop_at == pounds("210.00")  # £900 − £40 − 13 h × £50


def test_under_the_margin_scheme_the_stop_leaves_nothing_and_loses_nothing():
    where = shop(more='vat_registered = true\nmargin_scheme = true\nhour_charged = "£30"\n')
    piece = survey(sells="£900")
    stop = cost(where=where, piece=piece).stop_at
    assert stop == pounds("384.00")  # £900 − (£40 + 13 h × £30) × 1.2
    # Bought at that, the charge and the VAT on the margin are just paid for.
    assert pounds(900) - stop - (pounds(900) - stop) * (1 / Decimal(6)) == pounds(430)


def test_a_bid_is_never_less_than_nothing():
    assert cost(piece=survey(sells="£50")).stop_at == pounds(0)


@pytest.mark.parametrize(
    "piece", [survey(sells="", paid=""), survey(paid="£90", sells="£900"), survey("customer's", sells="£900")]
)
def test_nowhere_to_stop_when_it_is_bought_or_not_for_sale_or_nobody_says(piece):
    assert cost(piece=piece).stop_at is None


# --- worth doing at all ---------------------------------------------------------------------------------


def test_an_hour_to_come_earns_the_rise_less_the_cash():
    piece = survey(paid="£300", sells="£900", found="£250")
    sums = cost(done=30, piece=piece)
    worth = next_hour(piece, shop(), sums, TEN_HOURS)
    assert worth.usual == pounds("61.00")  # (£900 − £250 − £40) ÷ 10 h


def test_what_is_spent_has_no_say():
    little, much = survey(paid="£10", sells="£900", found="£250"), survey(paid="£600", sells="£900", found="£250")
    assert next_hour(little, shop(), cost(piece=little), TEN_HOURS) == next_hour(
        much, shop(), cost(done=50, piece=much), TEN_HOURS
    )


def test_without_the_prices_it_is_not_known():
    piece = survey(sells="£900")
    assert next_hour(piece, shop(), cost(piece=piece), TEN_HOURS) is None
    assert clears(survey(), shop(), cost()) is None


def test_no_hours_to_come_are_worth_nothing_that_can_be_said():
    piece = survey(sells="£900", found="£300")
    assert next_hour(piece, shop(), cost(piece=piece), NONE) is None
    with pytest.raises(NoHours, match="Ask what it clears instead"):
        hour_worth(given("rise", pounds(100)), pounds(0), NONE)


money = st.integers(0, 500000).map(lambda pence: Money(Decimal(pence) / 100, Currency.GBP))


@for_all(money, money, st.floats(1, 5000))
def test_more_material_or_a_higher_price_never_costs_less(one, other, minutes):
    ahead = Minutes(minutes, minutes * 1.3, minutes * 1.8)
    less, more = sorted((one, other), key=lambda sum_: sum_.amount)
    cheap, dear = (cost_of(Span(0), ahead, sum_, None, shop(), survey()) for sum_ in (less, more))
    for name in ("to_come", "floor", "quote"):
        assert usual(getattr(cheap, name)) <= usual(getattr(dear, name))
        assert low(getattr(dear, name)) <= usual(getattr(dear, name)) <= high(getattr(dear, name))


def test_every_sum_is_worked_again_from_its_own_inputs():
    where = shop(more="vat_registered = true\nmargin_scheme = true\n")
    piece = survey(sells="£900", found="£200")
    sums = cost(where=where, piece=piece, materials_used=pounds("7.35"), done=3)
    flat = table_of([*sums.workings, clearing(given("price", pounds(900)), piece, where, sums)])
    assert len(sums.workings) == 5
    for key, entry in flat.items():
        assert recomputed(flat, key) == entry["value"], key


# --- margin and markup ----------------------------------------------------------------------------------


def test_what_no_sum_can_give_is_refused_with_what_to_do():
    assert issubclass(NoPrice, Refused)
    with pytest.raises(NoPrice, match="A margin of 60% and a fee of 40% leave nothing for the cost"):
        price_for(pounds(10), 0.6, 0.4)
    with pytest.raises(NoPrice, match="Give a price"):
        margin_of(pounds(10), pounds(0))
    with pytest.raises(NoPrice, match="Give a cost"):
        markup_of(pounds(0), pounds(10))


@for_all(st.integers(1, 100000), st.floats(0.01, 0.8))
def test_a_price_for_a_margin_has_that_margin(pence, margin):
    pays = Money(Decimal(pence), Currency.GBP)
    assert margin_of(pays, price_for(pays, margin)) == pytest.approx(margin, abs=0.01)


# --- what would change the quote ---


def test_a_quote_stands_between_what_is_likely_and_what_is_at_most():
    whole = cost()
    assert whole.quote_range.low <= whole.quote_range.usual <= whole.quote_range.high
    assert whole.quote_range.usual == usual(whole.quote)


def test_what_would_change_it_most_comes_first():
    # £40 of materials for certain; ten hours that may be seventeen: the hours move it most.
    found = cost(where=shop(more='hour_charged = "£40"'))
    assert [swing.what for swing in found.would_change] == ["hours"]
    (hours,) = found.would_change
    # By hand: £40 + £40 × 10 h, and × 1000 ÷ 60 h.
    assert (hours.low, hours.high) == (pounds(440), pounds(707))
    wide = Range(pounds(10), pounds(40), pounds(900))
    unsure = cost_of(Span(0), TEN_HOURS, wide, None, shop(more='hour_charged = "£40"'), survey())
    assert [swing.what for swing in unsure.would_change] == ["materials", "hours"]


def test_hours_that_are_sure_change_nothing():
    sure = cost(to_come=Minutes(600, 600, 600), where=shop(more='hour_charged = "£40"'))
    assert sure.would_change == ()
    assert sure.quote_range.low == sure.quote_range.high
