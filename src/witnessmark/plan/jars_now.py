"""The cupboard as it stands now: what is in each jar, since when, and whether it reaches for what is next.

Levels are `cupboard_today`'s. A step draws on the jar it was last given from; else on the jar its plan takes off the
shelf; else on the jar that was mixed for it: the `mixed` entry that names the mixing step of the plan.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from functools import cached_property
from typing import Any

from witnessmark.daybook import DayBook, Entry, What
from witnessmark.finish import dissolving_time, keeps_for
from witnessmark.materials import AmbiguousName, UnknownName, fits, material_named
from witnessmark.quantities import Range, as_json, from_json, high, low, usual
from witnessmark.shop import Shelf, Shop
from witnessmark.sources import rule, table
from witnessmark.treatment import wait_named

from .cupboard import cupboard_today
from .outside import instant_json

PlansJson = Mapping[str, Mapping[str, Any]]  # plan.json of each piece, by the piece's id


class Reach(StrEnum):
    """Whether a jar lasts for its next use."""

    ENOUGH = "enough"
    MAYBE = "may run short"
    SHORT = "not enough"
    UNKNOWN = "don't know"


@dataclass(frozen=True)
class JarUse:
    """What one step still takes from a jar. `short_by`: what the jar lacks once the uses before it have had theirs.

    None where nobody knows what is left, or where it is weighed and the use is measured.
    """

    piece: str
    step: str
    trade_name: str
    starts: datetime | None
    wants: Any
    short_by: Range[Any] | None

    @property
    def reach(self) -> Reach:
        if self.short_by is None:
            return Reach.UNKNOWN
        if not self.short_by.high.magnitude:
            return Reach.ENOUGH
        return Reach.SHORT if self.short_by.low.magnitude else Reach.MAYBE

    def as_json(self) -> dict[str, Any]:
        return {
            "piece": self.piece, "step": self.step, "trade_name": self.trade_name,
            "starts": instant_json(self.starts), "wants": as_json(self.wants), "short_by": as_json(self.short_by),
            "reach": self.reach.value,
        }  # fmt: skip


@dataclass(frozen=True)
class JarNow:
    """One thing in the cupboard; `jar` is empty where it stands in its own tin.

    `mixed_at` is known of jars the day book mixed, of others only the day. `stir_due` is the next stirring, in the
    past where one is overdue. `hazards` are the codes of the hazard statements of what is in it.
    """

    jar: str
    material: str
    key: str | None
    left: Any
    cut: Any
    mixed_on: date | None
    mixed_at: datetime | None
    ready_at: datetime | None
    stirred_at: datetime | None
    stir_due: datetime | None
    best_before: date | None
    dried_hard: bool | None
    hazards: tuple[str, ...]
    uses: tuple[JarUse, ...]

    @cached_property
    def next_use(self) -> JarUse | None:
        return self.uses[0] if self.uses else None

    def as_json(self) -> dict[str, Any]:
        return {
            "jar": self.jar, "material": self.material, "key": self.key, "left": as_json(self.left),
            "cut": as_json(self.cut), "mixed_on": self.mixed_on and self.mixed_on.isoformat(),
            "mixed_at": instant_json(self.mixed_at), "ready_at": instant_json(self.ready_at),
            "stirred_at": instant_json(self.stirred_at), "stir_due": instant_json(self.stir_due),
            "best_before": self.best_before and self.best_before.isoformat(), "dried_hard": self.dried_hard,
            "hazards": list(self.hazards), "next_use": self.next_use.as_json() if self.next_use else None,
            "uses": [use.as_json() for use in self.uses],
        }  # fmt: skip


@dataclass(frozen=True)
class MixToCome:
    """A jar that a plan wants mixed and nobody has mixed yet. `mix` is the plan's own table of it."""

    piece: str
    step: str
    mix_at: datetime | None
    mix: Mapping[str, Any]

    def as_json(self) -> dict[str, Any]:
        return {"piece": self.piece, "step": self.step, "mix_at": instant_json(self.mix_at), "mix": dict(self.mix)}


def jars_now(shop: Shop, daybook: DayBook, plans_json: PlansJson, now: datetime) -> tuple[JarNow, ...]:
    """Every jar and tin of the cupboard, and those mixed since, as they stand at `now`.

    Levels need `shop.cupboard_on`: without it nothing is taken off and no jar of the day book is known.
    """
    book = DayBook(tuple(entry for entry in daybook.entries if entry.happened <= now))
    shelves = cupboard_today(shop, book).cupboard
    drawn = _drawn_by_jar(plans_json, book)
    last = {shelf.jar.casefold(): at for at, shelf in enumerate(shelves) if shelf.jar}
    return tuple(
        _jar(shelf, book, shop, drawn.get(shelf.jar.casefold(), ()) if last.get(shelf.jar.casefold()) == at else ())
        for at, shelf in enumerate(shelves)
    )


def mixes_to_come(daybook: DayBook, plans_json: PlansJson) -> tuple[MixToCome, ...]:
    """What the plans want mixed and nobody has mixed yet, the first to mix first: what to mix today for tomorrow."""
    mixed = _mixed_for(daybook)
    found = [
        MixToCome(piece, step, _instant(mix["mix_at"]), mix)
        for piece, plan in plans_json.items()
        for mix in plan["mixes"]
        if not mix["from_shelf"] and (piece, step := _mixing_step(mix)) not in mixed and not _done(plan, step)
    ]
    return tuple(sorted(found, key=lambda one: (one.mix_at is None, one.mix_at or datetime.min, one.piece, one.step)))


# --- which jar a step draws on ---


@dataclass(frozen=True)
class _Drawn:
    """What one step of a plan takes, before it is known whether the jar holds it."""

    piece: str
    step: Mapping[str, Any]
    wants: Any


def _drawn_by_jar(plans: PlansJson, book: DayBook) -> dict[str, list[_Drawn]]:
    """The uses still to come of each jar, by its name in small letters, the first first."""
    mixed = _mixed_for(book)
    given: dict[tuple[str, str], str] = {}
    took: dict[tuple[str, str], list[Any]] = {}
    for entry in book.entries:
        for amount in entry.took if entry.step else ():
            assert entry.step is not None
            at = (entry.piece, entry.step.id)
            if amount.jar:
                given[at] = amount.jar
                took.setdefault(at, []).append(amount.volume or amount.mass)
    found: dict[str, list[_Drawn]] = {}
    for piece, plan in plans.items():
        steps = {step["id"]: step for step in plan["steps"]}
        for mix in plan["mixes"]:
            for use in mix["uses"]:
                at = (piece, use["step"])
                jar = given.get(at) or mix["from_shelf"] or mixed.get((piece, _mixing_step(mix)))
                step = steps.get(use["step"])
                if jar and step and not _done(plan, use["step"]):
                    wants = _still_wanted(from_json(use["volume"]), took.get(at, ()))
                    found.setdefault(jar.casefold(), []).append(_Drawn(piece, step, wants))
    for uses in found.values():
        uses.sort(key=lambda one: (one.step["starts"] is None, one.step["starts"] or "", one.piece, one.step["id"]))
    return found


def _mixing_step(mix: Mapping[str, Any]) -> str:
    return f"mix.{mix['id'].removeprefix('jar.')}"


def _mixed_for(book: DayBook) -> dict[tuple[str, str], str]:
    """The jar that was mixed for each mixing step of each piece, the last one."""
    return {
        (entry.piece, entry.step.id): amount.jar
        for entry in book.entries
        if entry.what is What.MIXED and entry.step
        for amount in entry.amounts
        if amount.jar
    }


def _done(plan: Mapping[str, Any], step_id: str) -> bool:
    return any(step["id"] == step_id and (step["logged"] or {}).get("state") == "done" for step in plan["steps"])


def _still_wanted(wants: Any, took: Iterable[Any]) -> Any:
    """What a step still takes once so much of it has been laid; never less than nothing."""
    for said in took:
        if said is not None and said.known and type(said.value) is type(usual(wants)):
            wants = _each(wants, lambda end, less=said.value: max(end - less, end * 0))
    return wants


def _each(amount: Any, change: Any) -> Range[Any]:
    return Range(change(low(amount)), change(usual(amount)), change(high(amount)))


# --- one jar ---


def _jar(shelf: Shelf, book: DayBook, shop: Shop, drawn: Sequence[_Drawn]) -> JarNow:
    entries = [entry for entry in book.entries if _is_of(entry, shelf)]
    mixed = next((entry for entry in reversed(entries) if entry.what is What.MIXED), None)
    if mixed and shelf.mixed_on != mixed.happened.astimezone(shop.shop.zone_info).date():
        mixed = None  # an older jar of the same name
    left = next((said.value for said in (shelf.volume, shelf.mass) if said is not None and said.known), None)
    made = mixed.happened if mixed else None
    stirred = [
        entry.happened for entry in entries if entry.what is What.STIRRED and (not made or entry.happened >= made)
    ]
    return JarNow(
        jar=shelf.jar,
        material=shelf.material,
        key=shelf.key,
        left=left,
        cut=shelf.cut.value if shelf.cut and shelf.cut.known else None,
        mixed_on=shelf.mixed_on,
        mixed_at=made,
        ready_at=made + _until_ready(shelf) if made else None,
        stirred_at=stirred[-1] if stirred else None,
        stir_due=_stir_due(shelf, made, stirred) if made else None,
        best_before=shelf.best_before or _keeps_until(shelf),
        dried_hard=shelf.dried_hard,
        hazards=_hazards(shelf, mixed),
        uses=tuple(_uses(drawn, left)),
    )


def _is_of(entry: Entry, shelf: Shelf) -> bool:
    return bool(shelf.jar) and any(amount.jar.casefold() == shelf.jar.casefold() for amount in entry.amounts)


def _uses(drawn: Sequence[_Drawn], left: Any) -> Iterator[JarUse]:
    """Each use with what the jar lacks for it, once those before it have drawn theirs."""
    so_far: Range[Any] | None = None
    for one in drawn:
        short = None
        if left is not None and type(left) is type(usual(one.wants)):
            before = so_far or Range(left * 0, left * 0, left * 0)
            so_far = Range(before.low + low(one.wants), before.usual + usual(one.wants), before.high + high(one.wants))
            short = _each(so_far, lambda end: max(end - left, left * 0))
        yield JarUse(one.piece, one.step["id"], one.step["trade_name"], _instant(one.step["starts"]), one.wants, short)


def _is_shellac(shelf: Shelf) -> bool:
    return shelf.key is not None and shelf.cut is not None and fits("shellac", shelf.key)


def _until_ready(shelf: Shelf) -> timedelta:
    """Flakes until they are dissolved; glue until it is soaked through."""
    span = usual(dissolving_time().value) if _is_shellac(shelf) else wait_named("soaked").usual
    return timedelta(minutes=span.minutes)


def _keeps_until(shelf: Shelf) -> date | None:
    """The last day a mix is trusted; None of what nobody mixed, or of a mix no figure is known for."""
    if shelf.mixed_on is None or shelf.cut is None:
        return None
    if _is_shellac(shelf):
        return shelf.mixed_on + timedelta(minutes=usual(keeps_for().value).minutes)
    if shelf.key is not None and fits("animal_glue", shelf.key):
        return shelf.mixed_on + timedelta(minutes=rule("treatment", "glue_keeps").value.minutes)
    return None


def _stir_due(shelf: Shelf, made: datetime, stirred: Sequence[datetime]) -> datetime | None:
    """The next stirring: some hours after mixing, then each a night after the last, as often as the rule has it."""
    if not _is_shellac(shelf) or len(stirred) >= int(rule("treatment", "stirs").value):
        return None
    lapse = rule("treatment", "stir_again" if stirred else "stir_after").value
    return (stirred[-1] if stirred else made) + timedelta(minutes=usual(lapse).minutes)


def _hazards(shelf: Shelf, mixed: Entry | None) -> tuple[str, ...]:
    """The codes of what stands in it: its own, or of the spirit it was let down in."""
    keys = [shelf.key]
    if mixed is not None:
        keys += [_key(amount.material) for amount in mixed.amounts]
    elif _is_shellac(shelf):
        keys.append("ethanol")
    rows = [
        row
        for row in table("safety", "solvents.csv", key="material_key")
        for key in keys
        if key and _fits(row.key, key)
    ]
    return tuple(dict.fromkeys(code for row in rows for code in row.keys_in("ghs_h_codes")))


def _key(material: str) -> str | None:
    try:
        return material_named(material).key
    except (UnknownName, AmbiguousName):
        return None


def _fits(solvent: str, material: str) -> bool:
    try:
        return fits(solvent, material)
    except UnknownName:
        return False


def _instant(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None
