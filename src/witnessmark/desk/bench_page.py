"""What the bench shows of its one document: whose it is, what is at hand, what waits, and the keys that write."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from witnessmark.daybook import DayBook, What
from witnessmark.papers import Voice
from witnessmark.plan import more_of
from witnessmark.quantities import Volume, from_json, high, low, say, up_to_mark, usual
from witnessmark.record import HERE, DayBookEntry, StockRow, entries_of, plans_kept

from .bench_deeds import closing_deed, deeds_of, keys_of, small_job_deed, stirred_deed, timer_deeds, undo_deed
from .deeds import Deed
from .piece_page import said_entry

JARS = (100, 250, 500, 1000, 2500, 5000)  # ml: what jars hold full, to draw one no smaller than what is in it
WRITTEN = 8  # of today's entries that one person may still undo at the bench
CAUTIONS = 3  # on a card, at most
CHOICES = 200  # pieces to choose from


@dataclass(frozen=True)
class Written:
    """What was written at one stroke, and the deed that strikes it out again."""

    at: datetime
    who: str
    says: str
    undo: Deed


def key_of(item: Mapping[str, Any]) -> str:
    """What an address calls an item: its piece and its step."""
    return f"{item['piece']['id'] if item['piece'] else ''}/{item['step']['id']}"


def people_of(document: Mapping[str, Any], who: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The person whose bench it is, and the others. Somebody the shop's document does not name has nothing down."""
    nobody = {"name": who, "works": True, "ready": [], "then": [], "done": [],
              "tomorrow": {"date": None, "items": []}}  # fmt: skip
    mine = next((one for one in document["people"] if one["name"] == who), nobody)
    return mine, [one for one in document["people"] if one["name"] != who]


def items_of(person: Mapping[str, Any]) -> list[dict[str, Any]]:
    return [*person["ready"], *person["then"], *person["tomorrow"]["items"], *person["done"]]


def running_on(item: Mapping[str, Any], who: str, document: Mapping[str, Any]) -> dict[str, Any] | None:
    """The clock this person has running on an item."""
    piece = item["piece"]["id"] if item["piece"] else ""
    return next(
        (one for one in document["timers"]
         if (one["who"], one["piece"], one["step"]) == (who, piece, item["step"]["id"])), None
    )  # fmt: skip


def at_hand(
    person: Mapping[str, Any], others: Sequence[Mapping[str, Any]], document: Mapping[str, Any], at: str
) -> dict[str, Any] | None:
    """The item that lies open: the one asked for, else the one whose clock runs, else the first that is ready."""
    everything = [item for one in (person, *others) for item in items_of(one)]
    if at:
        asked = [item for item in everything if key_of(item) == at and not item["done"]]
        if asked:
            return asked[0]
    begun = [item for item in items_of(person) if running_on(item, person["name"], document)]
    return next(iter([*begun, *person["ready"]]), None)


def plans_for(item: Mapping[str, Any] | None, document: Mapping[str, Any]) -> dict[str, dict[str, Any]]:
    """The plans that keys of the page write about, by piece: of the item at hand, of what is stirred, of clocks."""
    named = {one["piece"]["id"] for one in (*([item] if item else ()), *document["stir"]) if one["piece"]}
    named |= {clock["piece"] for clock in (*document["timers"], *document["asks"])}
    return plans_kept(piece for piece in named if piece)


def pieces_here() -> list[tuple[str, str]]:
    """What a key may write about: what is here, what was touched last first."""
    rows = StockRow.objects.filter(stage__in=HERE).order_by("-touched").values_list("piece", "code", "title", "job")
    return [(piece, f"{code} {job or title}".strip()) for piece, code, title, job in rows[:CHOICES]]


def shown(
    document: Mapping[str, Any], who: str, at: str, jobs: Sequence[StockRow], written: Sequence[Written], voice: Voice,
    now: datetime,
) -> dict[str, Any]:  # fmt: skip
    """Everything the page says, from the document and the plans of the pieces it writes about."""
    person, others = people_of(document, who)
    item = at_hand(person, others, document, at)
    key = key_of(item) if item else ""
    plans = plans_for(item, document)
    plan = plans.get(item["piece"]["id"]) if item and item["piece"] else None
    open_pieces = pieces_here()
    return {
        "document": document, "who": who, "hands": [one["name"] for one in document["people"]], "at": key,
        "mine": person, "card": card_of(item, who, document, plans, voice) if item else None,
        "also": [line_of(one, voice) for one in person["ready"] if key_of(one) != key],
        "then": [line_of(one, voice) for one in person["then"] if key_of(one) != key],
        "done": [line_of(one, voice) for one in person["done"]],
        "early": [line_of(one, voice) for one in person["tomorrow"]["items"] if key_of(one) != key],
        "others": [others_of(one, voice) for one in others],
        "waiting": [waits(one, voice) for one in document["waiting"]],
        "stir": [(one, stirred_deed(one, plans), on_the_day(one["due"], now, voice)) for one in document["stir"]],
        "asks": [(one, timer_deeds(one, plans)) for one in document["asks"] if one["who"] == who],
        "timers": [(one, timer_deeds(one, plans)) for one in document["timers"]
                   if not item or (one["piece"], one["step"]) != tuple(key.split("/", 1)) or one["who"] != who],
        "pieces": open_pieces, "keys": keys_of(item, plan, open_pieces, voice), "air": document["air"],
        "wants": [(one["piece"], only_wants(one["says"])) for one in document["air"]["next"][:2]],
        "air_says": "" if same(document["air"]["says"], document["air"]["verdict"]) else document["air"]["says"],
        "jobs": [(job, small_job_deed(job)) for job in jobs],
        "closing": closing_deed(document["end_of_day"], [one["name"] for one in document["people"]] or [who], who),
        "written": written, "voice": voice, "local_now": now.astimezone(voice.zone),
    }  # fmt: skip


def instant(text: str | None) -> datetime | None:
    return datetime.fromisoformat(text) if text else None


def only_wants(says: str) -> str:
    """What a piece's next wet step asks of the air, without what its plan said of the air it was made in."""
    return f"{says.split('. ')[0].rstrip('.')}."


def same(says: str, word: str | None) -> bool:
    return says.rstrip(".").lower() == (word or "").lower()


def on_the_day(stamped: str, now: datetime, voice: Voice) -> str:
    """The hour, and of another day than today its day too."""
    at = datetime.fromisoformat(stamped)
    return voice.clock(at) if voice.local(at).date() == voice.local(now).date() else voice.moment(at)


def title_of(item: Mapping[str, Any], voice: Voice) -> str:
    """“Coat 3 of 5”, else what the step is called."""
    says = item["session"]["says"] if item["session"] else voice.ours(item["step"]["trade_name"])
    return f"{says[:1].upper()}{says[1:]}"


def line_of(item: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    """An item as one line of a list: when, what, what it waits for."""
    name = voice.ours(item["step"]["trade_name"])
    session = f"{name}, {item['session']['says']}" if item["session"] else name
    ready = instant(item["ready_at"])
    waits_for = [f"“{voice.ours(one['trade_name'])}”" for one in item["after"][:2]]
    return {
        "key": key_of(item), "piece": item["piece"], "says": session, "kind": item["kind"], "done": item["done"],
        "why": voice.ours(item["says"]), "ready": item["ready"],
        "at": voice.clock(instant(item["start"]) or ready or datetime.min),
        "from": voice.moment(ready) if ready and not item["ready"] and not item["done"] else "",
        "after": "" if item["ready"] or item["done"] or ready else f"after {' and '.join(waits_for)}" if waits_for
        else "",
    }  # fmt: skip


def others_of(person: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    first = [line_of(item, voice) for item in (*person["ready"], *person["then"])]
    return {"name": person["name"], "works": person["works"], "lines": first[:3], "more": max(0, len(first) - 3)}


def waits(wait: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    """A wait with its clock, in local time."""
    until = instant(wait["until"])
    assert until is not None
    then = voice.ours(wait["then"][0]) if wait["then"] else ""
    return {**wait, "what": voice.ours(wait["what"]), "over": voice.local(until), "free": voice.clock(until),
            "day": "" if voice.local(until).date() == voice.local(instant(wait["began"]) or until).date()
            else voice.day(until), "then_says": then}  # fmt: skip


# ---- the item that lies open ----


def card_of(
    item: Mapping[str, Any], who: str, document: Mapping[str, Any], plans: Mapping[str, Mapping[str, Any]], voice: Voice
) -> dict[str, Any]:
    """The item at hand: what it is, what binds, what it takes, whether the jar reaches, what may be done."""
    plan = plans.get(item["piece"]["id"]) if item["piece"] else None
    clock = running_on(item, who, document)
    by = instant(item["by"])
    where = ", ".join([*item["step"]["parts"][:8], *item["step"]["faces"][:4]])
    ready = instant(item["ready_at"])
    return {
        "item": item, "title": title_of(item, voice), "where": where,
        "name": voice.ours(item["step"]["trade_name"]) if item["session"] else "",
        "by": voice.clock(by) if by else "", "by_why": voice.ours(item["by_why"]),
        "cautions": [caution | {"says": voice.ours(caution["says"])} for caution in item["cautions"][:CAUTIONS]],
        "jar": jar_of(item, plan, voice), "clock": clock,
        "clock_says": clock and say(from_json(clock["ran"])),
        "amounts": [{**one, "says": voice.ours(one["says"]), "name": voice.ours(one["name"])}
                    for one in item["amounts"] if not item["jar"]],
        "minutes": item["minutes"] and item["minutes"]["says"],
        "not_before": voice.moment(ready) if ready and not item["ready"] else "",
        "after": [voice.ours(one["trade_name"]) for one in item["after"]],
        "once": item["undo"] == "can't be undone", "why": [voice.ours(why) for why in item["why"]],
        "tools": item["tools"], "deeds": deeds_of(item, plan, clock, voice),
        "workings": plan["workings"] if plan else {},
    }  # fmt: skip


def jar_of(item: Mapping[str, Any], plan: Mapping[str, Any] | None, voice: Voice) -> dict[str, Any] | None:
    """The jar as it is drawn, whether it reaches, and, where not, what to mix before the coat is begun."""
    jar = item["jar"]
    if jar is None:
        return None
    level = from_json(jar["level"]) if jar["level"] else None
    takes = from_json(jar["takes"])
    word = item["session"]["word"] if item["session"] else "step"
    name = f"Jar {jar['name']}" if jar["name"] else "The jar"
    heads = {"enough": f"{name} reaches", "may run short": f"{name} may run short",
             "not enough": f"{name} is short", "don't know": f"{name}: not known"}  # fmt: skip
    told: dict[str, Any] = {
        "head": heads.get(jar["reaches"], name), "short": jar["reaches"] in ("not enough", "may run short"),
        "working": jar["working"] or "", "of": voice.ours(jar["of"]), "name": jar["name"], "drawn": None,
        "label": f"What all {item['session']['of']} {word}s take" if item["session"] else "What it takes",
    }  # fmt: skip
    lines = [f"{jar['level_says']} in the jar"] if jar["level_says"] else []
    if not lines:
        told["head"] = f"{name}: {voice.ours(jar['says'])}" if jar["name"] else f"The jar is {voice.ours(jar['says'])}"
    usually, bands = voice.bracketed(takes)
    told["takes"], told["bands"] = f"{word} takes {usually}", bands
    if jar["stays"] and not told["short"]:
        lines.append(f"{voice.amount(from_json(jar['stays']))} stays")
    if told["short"]:
        mix = next((one for one in (plan or {"mixes": []})["mixes"] if one["id"] == jar["mix"]), None)
        lacks = from_json(jar["short_by"])
        may = jar["reaches"] == "may run short"
        told["short_by"] = f"up to {say(up_to_mark(high(lacks)))}" if may else say(up_to_mark(usual(lacks)))
        told["mix"] = voice.ours(more_of(jar["short_by"], mix["cut"] if mix else None))
    if isinstance(level, Volume) and isinstance(usual(takes), Volume):
        told["drawn"] = drawn(name, level, takes)
    return told | {"lines": lines}


def drawn(name: str, level: Volume, takes: Any) -> dict[str, Any]:
    holds = next((size for size in JARS if size >= ml(level)), ml(level))
    return {"name": name, "content": ml(level), "capacity": float(holds), "takes": ml(usual(takes)),
            "low": ml(low(takes)), "high": ml(high(takes))}  # fmt: skip


def ml(volume: Volume) -> float:
    return round(volume.litres * 1000, 1)


# ---- what was written today ----


def written_today(since: datetime, who: str) -> Iterator[Written]:
    """What this person wrote since then and what still counts, the last first; each stroke with its undo."""
    mine = DayBookEntry.objects.filter(happened__gte=since, who=who)
    rows = list(mine.order_by("-happened", "-cursor")[: WRITTEN * 3])
    cursors = {row.id: row.cursor for row in rows}
    book = DayBook.of(entries_of(rows))
    codes = dict(StockRow.objects.filter(piece__in={entry.piece for entry in book.entries if entry.piece})
                 .values_list("piece", "code"))  # fmt: skip
    strokes: dict[datetime, list[Any]] = {}
    for entry in sorted(book.entries, key=lambda entry: cursors[entry.id]):
        if entry.what is not What.ACKNOWLEDGED:
            strokes.setdefault(entry.happened, []).append(entry)
    for at in sorted(strokes, reverse=True)[:WRITTEN]:
        says = "; ".join(f"{codes.get(entry.piece, '')} {said_entry(entry)}".strip() for entry in strokes[at])
        yield Written(at, who, says, undo_deed(strokes[at]))
