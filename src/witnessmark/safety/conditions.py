"""The conditions of a rule of law held against what is known of a piece: met, not met, or a fact is wanting.

Years are all that is known of most pieces, so a rule that turns on a day leaves that day's year open. A special case
(an instrument, a museum that buys) counts only where somebody vouches for it.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

from witnessmark.quantities import Mass, Money, Percent, Range, high, low
from witnessmark.sources import Row, rule


@dataclass(frozen=True)
class Facts:
    """What is known of the piece and the sale. Whatever is None is wanting, and asks.

    `made`: first and last year, either of them None. `share` and `mass` are of the listed material in the piece;
    `value` its price. `being`: what somebody vouches for: instrument, miniature, outstanding, museum, raw, heritage,
    fixture, not for sale.
    """

    made: tuple[int | None, int | None] = (None, None)
    share: Percent | Range[Percent] | None = None
    mass: Mass | Range[Mass] | None = None
    value: Money | None = None
    being: frozenset[str] = frozenset()


BEING = ("instrument", "miniature", "outstanding", "museum", "raw", "heritage", "fixture", "not for sale")


def day_in(text: str) -> date | None:
    """The first day, month or year in a text, at its beginning; None where it names none."""
    found = re.search(r"\b(\d{4})(?:-(\d\d))?(?:-(\d\d))?\b", text)
    return date(int(found[1]), int(found[2] or 1), int(found[3] or 1)) if found else None


def met(row: Row, facts: Facts, on: date) -> bool | None:
    """Whether its conditions are met; None where a fact is wanting. Both must be, where there are two."""
    answers = [_first(row, facts, on)]
    if row["comparison_2"]:
        answers.append(_compared(row["comparison_2"], row["threshold_2_value"], row["threshold_2_unit"], facts, on))
    answers += [condition(facts) for key, condition in _BESIDES.items() if key == row.key]
    if row["comparison"] == "made_before" and row["threshold_value"]:
        answers.append(_compared("share_less_than", row["threshold_value"], row["threshold_unit"], facts, on))
    if False in answers:
        return False
    return None if None in answers else True


def wanted(row: Row, facts: Facts) -> tuple[str, ...]:
    """The facts the rule turns on that nobody has given, in words."""
    asked = f"{row['comparison']} {row['comparison_2']}"
    by_share = "share" in asked or (row["comparison"] == "made_before" and row["threshold_unit"].startswith("%"))
    by_date = row["comparison"] in _WHEN_MADE | {"worked_on_or_after", "manufactured_after", "is_antique"}
    wants = {
        "when it was made": (by_date or "age_years" in asked) and None in facts.made,
        "the share of it in the piece": by_share and facts.share is None,
        "the mass of it": ("mass" in asked or row.key == "R02") and facts.mass is None,
        "the price": "value" in asked and facts.value is None,
        "when it came into the country": "imported_before" in asked,
        "how much lead is in the paint": "lead_at_most" in asked,
    }
    return tuple(fact for fact, wanting in wants.items() if wanting)


def asks_in_words(row: Row) -> str:
    """What the rule asks of the piece: “made before 1947-03-03, less than 10 % by volume”."""
    compared = row["comparison"]
    day = row["cutoff_date"] if compared in _WHEN_MADE | _FROM_A_DAY | _OTHER_DAYS else ""
    first = " ".join(filter(None, [compared.replace("_", " "), day]))
    if row["threshold_value"]:
        unit, _, bound = row["threshold_unit"].partition(", ")
        amount = " ".join(filter(None, [bound, row["threshold_value"], unit]))
        first = f"{first}, {amount}" if day else f"{first} {amount}"
    second = row["comparison_2"].replace("_", " ")
    if second and row["threshold_2_unit"] != "yes_no":
        second = f"{second} {row['threshold_2_value']} {row['threshold_2_unit']}"
    return f"{first}, {second}" if second else first


def _vouched(what: str) -> Callable[[Facts], bool | None]:
    return lambda facts: what in facts.being


def _under_200_g_and_old(facts: Facts) -> bool | None:
    """The small-content rule of the US: under 200 g, in a thing made before 6 July 2016 and not raw."""
    answers = [
        None if facts.mass is None else _less(facts.mass, Mass(200)),
        _made_before(facts.made, date(2016, 7, 6)),
        "raw" not in facts.being,
    ]
    return False if False in answers else None if None in answers else True


# Conditions that the columns can't hold. A special case counts only where somebody vouches for it.
_BESIDES: dict[str, Callable[[Facts], bool | None]] = {
    "R02": _under_200_g_and_old,
    "R07": _vouched("instrument"),
    "R08": _vouched("miniature"),
    "R09": _vouched("outstanding"),
}


def _first(row: Row, facts: Facts, on: date) -> bool | None:
    compared, cutoff = row["comparison"], day_in(row["cutoff_date"])
    if compared in _WHEN_MADE and cutoff:
        return _made_before(facts.made, cutoff)
    if compared in {"worked_on_or_after", "manufactured_after"} and cutoff:
        before = _made_before(facts.made, cutoff)
        return None if before is None else not before
    if compared in _FROM_A_DAY and cutoff:
        return on >= cutoff
    return _compared(compared, row["threshold_value"], row["threshold_unit"], facts, on)


_WHEN_MADE = {"made_before", "worked_before", "removed_from_wild_before", "taken_before", "in_use_before"}
_FROM_A_DAY = {
    "supply_to_retailer_after", "retail_sale_after", "supply_after", "use_after", "imported_on_or_after",
    "label_change", "conditions_from",
}  # fmt: skip

_OTHER_DAYS = {"worked_on_or_after", "manufactured_after", "imported_before", "prohibited_unless_exempt"}


def _compared(compared: str, threshold: str, unit: str, facts: Facts, on: date) -> bool | None:
    match compared:
        case "age_years_at_least" | "age_years_more_than":
            return _aged(facts.made, on, int(threshold))
        case "is_antique":
            return True if _aged(facts.made, on, int(rule("safety", "antique_years").value)) else None
        case "hts_code_in_list":
            return (
                False if _aged(facts.made, on, int(rule("safety", "antique_years").value)) else None
            )  # entered by its age it is under another heading
        case "share_less_than" | "ivory_share_less_than" | "covered_part_share_less_than":
            if not unit.startswith("%"):
                return True  # of a surface: somebody vouches for it
            return None if facts.share is None else _less(facts.share, Percent(float(threshold)))
        case "ivory_share_at_most":
            return None if facts.share is None else _at_most(facts.share, Percent(float(threshold)))
        case "finished_product_mass_at_most":
            return None if facts.mass is None else _at_most(facts.mass, Mass.kilograms(float(threshold)))
        case "content_at_least":
            below = None if facts.share is None else _less(facts.share, Percent(float(threshold)))
            return True if facts.share is None else None if below is None else not below
        case "value_gbp_at_least" | "value_eur_at_least":
            return _worth(facts.value, float(threshold), compared[6:9].upper())
        case "is_finished_product" | "product_type":
            return "raw" not in facts.being
        case "is_heritage_piece":
            return ("heritage" in facts.being) == (threshold == "1")
        case "is_fixture":
            return "fixture" in facts.being
        case "is_noncommercial_move" | "not_customer_own_use":
            return ("not for sale" in facts.being) == (compared == "is_noncommercial_move")
        case "is_finished_instrument_or_part":
            return "instrument" in facts.being
        case "buyer_is_qualifying_museum":
            return "museum" in facts.being
        case "prohibited_unless_exempt":
            return False
        case _ if compared in _ALWAYS:
            return True
    return None


# The rule holds as it stands: it asks no fact of the piece.
_ALWAYS = {
    "prohibited", "no_commercial_import", "commercial_import", "all_parts", "second_hand_sale", "consumer_product",
    "rule_effective", "species_not_listed", "stricter_than_federal", "state_register", "unknown", "listed",
    "made_imported_or_reupholstered_on_or_after",
}  # fmt: skip


def _made_before(made: tuple[int | None, int | None], cutoff: date) -> bool | None:
    """Whether it was made before that day; what is known is the year, so the year of the day itself is open."""
    first, last = made
    if last is not None and last < cutoff.year:
        return True
    on_new_year = (cutoff.month, cutoff.day) == (1, 1)
    return False if first is not None and first + on_new_year > cutoff.year else None


def _aged(made: tuple[int | None, int | None], on: date, years: int) -> bool | None:
    """Whether it is so many years old; the year in which it comes of age is open."""
    first, last = made
    if last is not None and on.year - last > years:
        return True
    return False if first is not None and on.year - first < years else None


def _less(amount: Percent | Mass | Range[Percent] | Range[Mass], than: Percent | Mass) -> bool | None:
    if high(amount) < than:
        return True
    return False if low(amount) >= than else None


def _at_most(amount: Percent | Mass | Range[Percent] | Range[Mass], than: Percent | Mass) -> bool | None:
    if high(amount) <= than:
        return True
    return False if low(amount) > than else None


def _worth(value: Money | None, threshold: float, currency: str) -> bool | None:
    if value is None:
        return None
    if value.currency.value == currency:
        return float(value.amount) >= threshold
    # Another currency: clear only where no rate of exchange could bridge it.
    ratio, any_rate = float(value.amount) / threshold, rule("safety", "any_rate").value
    return True if ratio >= any_rate else False if ratio <= 1 / any_rate else None
