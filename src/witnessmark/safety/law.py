"""What the law says of a material, or of a whole piece, where it is sold or sent: rules as data, each with its date.

No legal advice: every answer says whom to ask and of what day the text is that was read. The strictest rule wins.
Of a group of alternatives one that is met is enough, and it takes the ban it lifts off the list. A fact that is
wanting gives “ask”, never “allowed”. Rules that have lapsed, are proposed or not yet in force neither bar nor
allow: they are said beside the answer.

Source: `regulated.csv`; the columns `effect_if_*` are worked here, `comparison` in `conditions`.
"""

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from enum import Enum
from functools import cache

from witnessmark.documents import Refused
from witnessmark.materials import family_of, fits, material_keys, members_of, wood_keys
from witnessmark.sources import Row, rule, table

from .conditions import Facts, asks_in_words, day_in, met, wanted


class UnknownPlace(Refused):
    """A place that no rule of the table speaks of."""


class Decision(Enum):
    """What a rule comes to, strictest first."""

    FORBIDDEN = "forbidden"
    ASK = "ask"
    WITH_PAPER = "allowed with paper"
    ALLOWED = "allowed"


_STRICT = list(Decision)
_EFFECTS = {
    "barred": Decision.FORBIDDEN,
    "barred_if_unlawfully_exported": Decision.ASK,
    "unsure_refer": Decision.ASK,
    "allowed_with_document": Decision.WITH_PAPER,
    "allowed_under_general_licence": Decision.WITH_PAPER,
    "in_scope_must_comply": Decision.WITH_PAPER,
}  # all else is allowed: out of scope, a duty, a heading of the tariff
_EU = {
    "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU", "IE", "IT", "LT", "LU", "LV",
    "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK",
}  # fmt: skip
_PLACES = {
    "UK": ("GB", "GB-GBN", "GB-ENG"), "GB": ("GB", "GB-GBN", "GB-ENG"), "EU": ("EU",), "US": ("US",),
    "NI": ("GB", "GB-NIR"), "SCOTLAND": ("GB", "GB-GBN"), "WALES": ("GB", "GB-GBN", "GB-WLS"),
    "ENGLAND": ("GB", "GB-GBN", "GB-ENG"),
}  # fmt: skip


@dataclass(frozen=True)
class Ruling:
    """One rule held against the facts. `why` says what it rests on; `do` and `ask` what then, and whom.

    `stale`: its text was read long ago, on an unknown day, or a change was due by now.
    """

    key: str
    material: str
    decision: Decision
    why: str
    rule: str
    do: str
    ask: str
    as_of: str
    stale: bool
    source_key: str
    parts: tuple[str, ...] = ()


@dataclass(frozen=True)
class Law:
    """All rulings, strictest first, and what is to be said beside them."""

    rulings: tuple[Ruling, ...]
    beside: tuple[str, ...]
    member: str  # the material they are about: the strictest of its group

    @property
    def strictest(self) -> Decision:
        """What it comes to; allowed where no rule speaks, which is no all-clear."""
        return min((one.decision for one in self.rulings), key=_STRICT.index, default=Decision.ALLOWED)


def places_of(text: str) -> tuple[str, ...]:
    """The region codes of the table that a place falls under: UK, US, US-NY, EU, FR. Raises UnknownPlace."""
    place = text.strip().upper().replace("_", "-")
    if place in _PLACES:
        return _PLACES[place]
    if place in _EU:
        return ("EU", place)
    if re.fullmatch(r"US-[A-Z]{2}", place):
        return ("US", place)
    raise UnknownPlace(
        f"“{text}” is no place whose law the table has. It has UK, US and its states such as US-NY, EU and its "
        "countries such as FR, and NI for Northern Ireland. For any other ask there."
    )


def law_of(material: str, facts: Facts, start: str, end: str, on: date) -> Law:
    """The rulings on one material sold from `start` to `end`; of a group those on its strictest member.

    `material`: a key of a material or a wood. Raises UnknownPlace.
    """
    laws = [_law_of_one(member, facts, start, end, on) for member in _meant_by(material)]
    return min(laws, key=lambda law: (_STRICT.index(law.strictest), -len(law.rulings)))


def law_of_any_piece(facts: Facts, start: str, end: str, on: date) -> Law:
    """The rulings on a piece of furniture as such: customs, cultural goods, product safety."""
    return _held([row for row in _rows(start, end) if row["on"] == "piece"], "", facts, on)


def _law_of_one(material: str, facts: Facts, start: str, end: str, on: date) -> Law:
    rows = _rows(start, end)
    own = [row for row in rows if any(fits(key, material) for key in row.keys_in("material_keys"))]
    if material in wood_keys():
        # Lists that changed and whose wood lines nobody read; the world's only where no rule names the wood.
        own += [row for row in rows if row["on"] == "listed" or (row["on"] == "wood" and not own)]
    return _held(own, material, facts, on)


def is_listed(material: str) -> bool:
    """Whether any rule of the table speaks of this material, wherever: it is never let into a repair."""
    return any(
        fits(key, one)
        for one in _meant_by(material)
        for row in table("safety", "regulated.csv")
        for key in row.keys_in("material_keys")
    )


def instead_of(material: str) -> str:
    """What to repair with instead of a listed material; empty where it is none, or nothing is known to do."""
    rows = table("safety", "instead.csv", "material_key")
    return next((row["use"] for row in rows for one in _meant_by(material) if fits(row.key, one)), "")


@cache
def _meant_by(material: str) -> tuple[str, ...]:
    """A group stands for its members, and a family such as ivory for every kind of it."""
    kinds = [key for key in (*material_keys(), *wood_keys()) if key != material and family_of(key) == material]
    return tuple(dict.fromkeys((*members_of(material), *kinds)))


def _rows(start: str, end: str) -> list[Row]:
    """The rules of the places on the way; crossing a border adds those of any border."""
    here, there = places_of(start), places_of(end)
    crosses = here[0] != there[0]
    found = []
    for row in table("safety", "regulated.csv"):
        regions, acts = set(row.keys_in("region")), set(row.keys_in("activity"))
        leaves = crosses and acts & {"export"} and regions & {*here, "INT"}
        enters = crosses and acts & {"import"} and regions & {*there, "INT"}
        sold = acts & _SALE and regions & {*here, *there, "ANY"}
        used = acts & {"refinish", "reupholster", "work"} and regions & set(here) and row["material_keys"]
        if leaves or enters or sold or used:
            found.append(row)
    named = {place for place in (*here, *there) if place.startswith("US-")}
    told = any(named & set(row.keys_in("region")) for row in found)
    # “Look at the law of the state” is said only until the state is named and its law is in the table.
    return [row for row in found if not (told and row["rule_status"] == "pointer" and row["region"] == "US")]


_SALE = {"sell", "advertise", "buy", "hire", "supply", "ship_interstate"}


def _held(rows: Sequence[Row], material: str, facts: Facts, on: date) -> Law:
    """The rules held against the facts: groups of alternatives first settled, then the strictest first."""
    beside: list[str] = []
    rulings: list[Ruling] = []
    out_of_scope: list[Ruling] = []
    groups: dict[str, list[tuple[Row, bool | None]]] = {}
    for row in _spoken_for(rows, facts, on):
        silent = _no_longer_or_not_yet(row, on)
        if silent:
            beside.append(f"{row.key}, {row['rule_type']}: {silent}")
            continue
        answer = met(row, facts, on)
        if row["alternative_group"]:
            groups.setdefault(row["alternative_group"], []).append((row, answer))
        elif answer is False and _decided(row, answer) is Decision.ALLOWED:
            out_of_scope.append(_ruling(row, answer, facts, material, on))
        else:
            rulings.append(_ruling(row, answer, facts, material, on))
    lifted = {other for row in rows for other in row.keys_in("lifts") if row["lifts"] and met(row, facts, on)}
    rulings = [one for one in rulings if one.key not in lifted]
    for alternatives in groups.values():
        rulings += _settled(alternatives, facts, material, on)
    if material and not rulings:
        rulings = out_of_scope  # better than silence: what might have applied, and why it does not
    rulings.sort(key=lambda one: (_STRICT.index(one.decision), one.key))
    return Law(tuple(rulings), tuple(beside), material)


def _spoken_for(rows: Sequence[Row], facts: Facts, on: date) -> list[Row]:
    """A rule within another speaks in its place where the outer one is met, and not at all where it is not."""
    scopes = {row.key: met(row, facts, on) for row in rows}
    inner = {row.key: row["within"] for row in rows if row["within"]}
    unspoken = {key for key, outer in inner.items() if scopes.get(outer) is not True}
    replaced = {outer for key, outer in inner.items() if key not in unspoken}
    return [row for row in rows if row.key not in unspoken | replaced]


def _settled(alternatives: Sequence[tuple[Row, bool | None]], facts: Facts, material: str, on: date) -> list[Ruling]:
    """One met is enough, and lifts the ban; else what is open asks; else the ban stands, with what would lift it."""
    group = alternatives[0][0]["alternative_group"]
    bans = [row for row, _ in alternatives if row["comparison"] == "prohibited_unless_exempt"]
    if not bans and any(row["comparison"] == "prohibited_unless_exempt" for row in _of_group(group)):
        return []  # the ban that these exempt from is not in force for it on this day: nothing to lift
    lifted = [row for row, answer in alternatives if answer]
    if lifted:
        return [_ruling(row, True, facts, material, on) for row in lifted]
    open_ = [row for row, answer in alternatives if answer is None]
    if open_:
        return [_ruling(row, None, facts, material, on) for row in open_]
    bans = bans or [alternatives[0][0]]
    lifts = [row["rule_type"] for row, _ in alternatives if row not in bans]
    return [
        replace(one, why=f"{one.why} None of what lifts it is met: {'; '.join(lifts)}.")
        for one in (_ruling(row, False, facts, material, on) for row in bans)
    ]


def _of_group(group: str) -> list[Row]:
    return [row for row in table("safety", "regulated.csv") if row["alternative_group"] == group]


def _ruling(row: Row, answer: bool | None, facts: Facts, material: str, on: date) -> Ruling:
    decision = _decided(row, answer)
    do = row["do"]
    effect = row["effect_if_met" if answer else "effect_if_not_met"]
    if effect == "allowed_under_general_licence":
        do = f"it goes under the open general licence, with its papers; if unsure, {do}"
    elif decision is Decision.WITH_PAPER and not row["paper"].startswith("none"):
        do = f"{row['paper']}; if unsure, {do}"
    elif decision in {Decision.WITH_PAPER, Decision.ALLOWED}:
        do = f"keep what shows it in writing; if unsure, {do}"
    return Ruling(
        row.key, material, decision, _why(row, answer, facts),
        f"{row['rule_type']} ({row['region'].replace(';', ', ')})", _sentence(do), row["ask"], row["as_of"],
        _stale(row, on), row["source_key"],
    )  # fmt: skip


def _decided(row: Row, answer: bool | None) -> Decision:
    if answer is None:
        return Decision.ASK
    return _EFFECTS.get(row["effect_if_met" if answer else "effect_if_not_met"], Decision.ALLOWED)


def _why(row: Row, answer: bool | None, facts: Facts) -> str:
    wanting = " and ".join(wanted(row, facts)) or "what the text leaves open"
    said = {True: "met", False: "not met", None: f"open: it turns on {wanting}"}[answer]
    rate = f" Rate {row['rate_percent']} %." if row["rate_percent"] and answer else ""
    weak = {"from_memory": " (From memory: not looked up.)", "not_found": " (No text was found.)"}
    test = f"{row['material']}: {asks_in_words(row)}, {said}."
    return f"{test} {_sentence(row['says'])}{rate}{weak.get(row['standing'], '')}"


def _sentence(text: str) -> str:
    return f"{text[0].upper()}{text[1:].rstrip('.')}." if text else ""


# --- dates ---


def _stale(row: Row, on: date) -> bool:
    """Read long ago, or on a day nobody wrote down, or a change was due by now."""
    read, due = day_in(row["as_of"]), day_in(row["recheck_by"])
    too_old = timedelta(minutes=rule("safety", "law_goes_stale").value.minutes)
    return read is None or on - read > too_old or (due is not None and due <= on)


def _no_longer_or_not_yet(row: Row, on: date) -> str:
    """Why a rule is silent on this day; empty where it speaks."""
    starts, ends = day_in(row["applies_from"]), day_in(row["applies_until"])
    if row["rule_status"] == "proposed":
        return "proposed, not law"
    if row["rule_status"] == "lapsed" or (ends and on > ends):
        return f"ended {row['applies_until']}"
    if row["rule_status"] == "not_yet" or (starts and on < starts):
        return f"not in force before {row['applies_from']}"
    return ""


def strictest(laws: Iterable[Law]) -> Decision:
    """What several laws come to together."""
    return min((law.strictest for law in laws), key=_STRICT.index, default=Decision.ALLOWED)
