"""The books: what each piece has cost, will cost, may least go for and is quoted at; and all of them together."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.daybook import DayBook, What
from witnessmark.money import Taxed, taxed_as_it_came
from witnessmark.quantities import Money, NotUnderstood, Range, from_json, high, low, read_money, usual
from witnessmark.shop import Shop

Sum = Money | Range[Money]


@dataclass(frozen=True)
class InTheBooks:
    """One piece. `agreed`: the price somebody decided on; `paid`: what its owner has paid so far, None for nothing.

    `clears` and `next_hour` are of the way chosen: what is left over, and what one more hour at it earns.
    """

    piece: str
    code: str
    title: str
    so_far: Sum | None
    to_come: Sum | None
    floor: Sum | None
    quote: Sum | None
    agreed: Money | None
    paid: Money | None
    clears: Sum | None
    next_hour: Sum | None
    taxed: Taxed

    @property
    def under_floor(self) -> bool:
        """Whether it was agreed for less than it likely takes."""
        return self.agreed is not None and self.floor is not None and self.agreed < usual(self.floor)


@dataclass(frozen=True)
class Books:
    """All pieces, and the sums over them. A sum is None where no piece has such a figure."""

    rows: tuple[InTheBooks, ...]
    so_far: Sum | None
    to_come: Sum | None
    floor: Sum | None
    quote: Sum | None
    paid: Sum | None


def books_of(
    plans_json: Sequence[Mapping[str, Any]],
    daybook: DayBook,
    shop: Shop,
    came: Mapping[str, str],
    decisions: Mapping[str, Sequence[Mapping[str, Any]]],
) -> Books:
    """The books over these plans. `came`: how each piece came; `decisions`: those of its survey, both by its id.

    Totals are sums of what the plans say: low with low, usual with usual, high with high, as if all went badly at once.
    """
    paid = _paid(daybook)
    rows = tuple(_row(plan, paid, shop, came, decisions) for plan in plans_json)

    def over(figure: Callable[[InTheBooks], Sum | None]) -> Sum | None:
        return total(figure(row) for row in rows)

    return Books(
        rows, over(lambda row: row.so_far), over(lambda row: row.to_come), over(lambda row: row.floor),
        over(lambda row: row.quote), over(lambda row: row.paid),
    )  # fmt: skip


def total(sums: Iterable[Sum | None]) -> Sum | None:
    """The sum of those that are known; None of none. Currencies don't mix."""
    known = [one for one in sums if one is not None]
    if not known:
        return None
    ends = [known[0]] * 3 if isinstance(known[0], Money) else [low(known[0]), usual(known[0]), high(known[0])]
    least, middle, most = ends
    for one in known[1:]:
        least, middle, most = least + low(one), middle + usual(one), most + high(one)
    return middle if least == middle == most else Range(least, middle, most)


def _row(
    plan: Mapping[str, Any],
    paid: Mapping[str, Money],
    shop: Shop,
    came: Mapping[str, str],
    decisions: Mapping[str, Sequence[Mapping[str, Any]]],
) -> InTheBooks:
    piece = plan["piece"]
    chosen: Mapping[str, Any] = next((way for way in plan["ways"] if way["chosen"]), {})
    cost = {key: _sum(plan["cost"].get(key)) for key in ("so_far", "to_come", "floor", "quote")}
    received = [paid[name] for name in (piece["id"], piece["code"]) if name in paid]
    return InTheBooks(
        piece["id"], piece["code"] or "", piece["title"], cost["so_far"], cost["to_come"], cost["floor"],
        cost["quote"], _agreed(decisions.get(piece["id"], ()), shop), _together(received),
        _sum(chosen.get("clears")), _sum(chosen.get("next_hour")), taxed_as_it_came(shop, came.get(piece["id"], "")),
    )  # fmt: skip


def _together(sums: Sequence[Money]) -> Money | None:
    return sum(sums[1:], sums[0]) if sums else None


def _sum(shown: Any) -> Any:
    return None if shown is None else from_json(shown)


def _agreed(decisions: Sequence[Mapping[str, Any]], shop: Shop) -> Money | None:
    """The last price that was decided on."""
    said = [one["price"] for one in decisions if one.get("about") == "price" and one.get("price")]
    try:
        return read_money(str(said[-1]), shop.shop.currency) if said else None
    except NotUnderstood:
        return None


def _paid(daybook: DayBook) -> dict[str, Money]:
    """What was paid for each piece, by the name that the entries give it."""
    found: dict[str, Money] = {}
    for entry in daybook.entries:
        if entry.what is What.PAID and entry.sum is not None and entry.sum.known:
            sum_: Any = entry.sum.value
            found[entry.piece] = found[entry.piece] + sum_ if entry.piece in found else sum_
    return found
