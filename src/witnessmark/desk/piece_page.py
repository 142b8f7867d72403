"""What the page of a piece shows, from its survey, its plan as JSON and its day book; worded, never reckoned, here."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.urls import reverse

from witnessmark.daybook import Amount, DayBook, Entry, Stage, What
from witnessmark.papers import Voice
from witnessmark.plan import Standing
from witnessmark.quantities import Range, from_json, high, usual
from witnessmark.record import PlanKept
from witnessmark.survey import Decision, Survey

from .drawer import said_apart
from .drawings.boards import Board

KNOWN = 8  # known facts that stand open; the rest behind “and … more”
NEXT = 3  # steps that stand under “next”
# Figures at the head of the page, in this order: the first working of each formula, its label, whether it is money,
# which is an owner's. The one that is not is the bench time.
_FIGURES = (
    ("schedule.played_through", "Bench time to come", False),
    ("money.hour_cost", "A bench hour costs", True),
    ("money.spent", "So far", True),
    ("money.outlay", "To come", True),
    ("money.whole_cost", "The whole cost", True),
    ("money.price_over_margin", "Floor: less is a loss", True),
    ("money.quoted", "Price to quote", True),
)
_UNDONE = {"can be undone": "Can be undone", "partly": "Can be undone in part", "can't be undone": "Can’t be undone"}
_CAME = {"bought": "Bought", "customer's": "A customer’s", "shop's own": "The shop’s own"}
_DID = {
    What.WORKED: "worked", What.DONE: "done", What.STARTED: "begun", What.STOPPED: "stopped for now",
    What.COAT: "a coat laid", What.MIXED: "mixed", What.STIRRED: "stirred", What.USED: "used",
    What.TESTED: "drop on glass", What.COUNTED: "counted", What.DISCARDED: "thrown away", What.AIR: "air read",
    What.OFF: "came off", What.REFIT: "put back", What.SENT: "sent out", What.BACK: "came back",
    What.BOUGHT: "bought", What.PAID: "paid", What.SIGNED: "signed", What.ACKNOWLEDGED: "caution read",
    What.STAGE: "moved by hand", What.NOTE: "noted", What.PHOTOGRAPH: "photographed", What.CLOSED_UP: "closed up",
    What.CORRECTS: "struck out",
}  # fmt: skip


@dataclass(frozen=True)
class Told:
    """A line with where it leads."""

    says: str
    address: str = ""


@dataclass(frozen=True)
class Opened:
    """A figure of the page: its label, what is written in place of a bare value, and the id of its working."""

    label: str
    working: str
    said: str = ""


@dataclass(frozen=True)
class Logged:
    """An entry as the day book of the page shows it."""

    entry: Entry
    says: str
    struck: bool = False


def boards_of(standing: Standing, voice: Voice) -> list[Board]:
    """The seven boards, inked up to where the piece stands."""
    days = {one.stage: one.at for one in standing.reached}
    rows = []
    for stage in Stage:
        state: Any = "now" if stage is standing.stage else "inked" if stage.place < standing.stage.place else "tocome"
        at = days.get(stage)
        inked = stage.place <= standing.stage.place
        rows.append(Board(stage.words, "inked" if stage is standing.stage is Stage.OUT else state,
                          voice.date(voice.local(at).date()) if at and inked else ""))  # fmt: skip
    return rows


def came(survey: Survey, voice: Voice) -> str:
    """How it came, in a sentence."""
    piece = survey.piece
    words = [_CAME.get(piece.came.value, ""), piece.owner and f"for {piece.owner}",
             piece.came_on and f"came in {voice.date(piece.came_on)}",
             "" if piece.came_from.value == "don't know" else f"from a {piece.came_from.value}"]  # fmt: skip
    line = ", ".join(word for word in words if word)
    return f"{line[:1].upper()}{line[1:]}." if line else ""


def promise(survey: Survey, kept: PlanKept, voice: Voice) -> str:
    """The promise with its odds: likely, and safe four times in five."""
    promised = survey.piece.promised
    words = [f"Promised {voice.date(promised)}." if promised else "No day promised."]
    if kept.safe_day:
        likely = f"Likely {voice.date(kept.likely_day)}; " if kept.likely_day else ""
        words.append(f"{likely}safe to say, four times in five, {voice.date(kept.safe_day)}.")
        if promised and kept.safe_day > promised:
            words.append("That is later than promised: tell the owner.")
    return " ".join(words)


def fact_address(piece: str, key: str) -> str:
    """Where a fact is written down."""
    table, _, rest = key.partition(".")
    if table == "test" or key in {"finish.kind", "finish.tests"}:
        return reverse("readings", args=[piece, "finish"])
    if table == "trial":  # it is missing, so there is no list to look at
        return reverse("survey_row", args=[piece, "trial", "new"])
    if table == "reading":
        return reverse("readings", args=[piece, "wood" if rest == "wood" else "date"])
    known = {"piece", "finish", "wishes", "part", "joint", "condition", "trial", "air", "moisture"}
    return reverse("survey_table", args=[piece, table]) if table in known else reverse("survey", args=[piece])


def facts_of(piece: str, plan: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    """Known, missing, next, and the look most worth having."""
    facts = plan["facts"]
    worth = facts["most_worth_finding_out"]
    to_come = [step for step in plan["steps"] if not _is_done(step)][:NEXT]
    known = [Told(f"{_capital(voice.ours(one['name']))}: {one['said']}") for one in facts["known"]]
    return {
        "known": known[:KNOWN], "more_known": known[KNOWN:],
        "missing": [Told(voice.ours(_capital(one["name"])), fact_address(piece, one["key"]))
                    for one in facts["missing"]],
        "next": [Told(voice.ours(_capital(step["trade_name"])), f"#step-{step['id']}") for step in to_come],
        "worth": worth and worth | {"address": fact_address(piece, worth["key"]),
                                    "took": voice.minutes(worth["minutes"]) if worth["minutes"] else ""},
    }  # fmt: skip


def figures_of(plan: Mapping[str, Any], owns: bool, voice: Voice) -> list[Opened]:
    """The figures at the head, each with its working; those of money for owners only."""
    first: dict[str, str] = {}
    for ident, entry in plan["workings"].items():
        first.setdefault(entry["formula"], ident)
    return [
        Opened(voice.ours(label), first[formula]) if money else _bench_time(plan, first[formula], label, voice)
        for formula, label, money in _FIGURES
        if formula in first and (owns or not money)
    ]


def _bench_time(plan: Mapping[str, Any], ident: str, label: str, voice: Voice) -> Opened:
    """Minutes at 50, 80 and 95 % as hours, the surer ones in the label."""
    half, most, nearly = (voice.hours(one["value"]) for one in plan["workings"][ident]["value"][:3])
    return Opened(f"{label}; four times in five {most}, nearly always {nearly}", ident, half)


def other_figures(plan: Mapping[str, Any], owns: bool) -> list[str]:
    """The ids of all workings, those of money for owners only."""
    return [ident for ident, one in plan["workings"].items() if owns or not about_money(one)]


def about_money(working: Mapping[str, Any]) -> bool:
    """Whether a working tells of money."""
    return bool(working["formula"].startswith("money.")) or '"GBP"' in str(working).replace("'", '"')


def ways_of(plan: Mapping[str, Any], owns: bool, voice: Voice) -> list[dict[str, Any]]:
    """The ways side by side, the chosen one first: what each keeps, takes and asks, and what forbids it."""
    return [
        {
            "key": way["key"], "name": _capital(voice.ours(way["name"])), "gist": voice.ours(way["gist"]),
            "chosen": way["chosen"], "never": way["reversible"] == "can't be undone",
            "undo": _UNDONE.get(way["reversible"], way["reversible"]), "why": [voice.ours(why) for why in way["why"]],
            "forbidden_by": [] if way["allowed"] else [voice.ours(why) for why in way["why"] or way["forbidden_by"]],
            "figures": [(word, said) for word, said in _way_figures(way, owns, voice) if said],
        }
        for way in sorted(plan["ways"], key=lambda way: not way["chosen"])
    ]  # fmt: skip


def _way_figures(way: Mapping[str, Any], owns: bool, voice: Voice) -> Iterator[tuple[str, str]]:
    yield "Stands up to", voice.ours(way["resistance"])
    yield "Hazard", voice.ours(way["hazard"])
    yield "Adds", voice.ours(way["adds"])
    yield "Bench", _hours(way["hours"], voice)
    yield "Days", _days(way["days"])
    if owns:
        yield "Cost", _said(way["cost"], voice)
        yield "Clears", _said(way["clears"], voice)
        yield "The next hour", _said(way["next_hour"], voice)


def _days(shown: Any) -> str:
    if shown is None:
        return ""
    return "under one" if shown["value"] < 1 else f"{shown['value']:.0f}"


def _hours(shown: Any, voice: Voice) -> str:
    """Bench hours, and what is enough four times in five."""
    if shown is None:
        return ""
    span = from_json(shown)
    most = f" ({voice.hours(high(span).minutes)})" if isinstance(span, Range) else ""
    return f"{voice.hours(usual(span).minutes)}{most}"


def _said(shown: Any, voice: Voice) -> str:
    return "" if shown is None else " ".join(text for text in said_apart(shown, voice) if text)


def steps_of(plan: Mapping[str, Any], voice: Voice) -> list[dict[str, Any]]:
    """The steps in their order: ink what is done, pencil what is to come; each caution once, at its first step."""
    met: set[str] = set()
    rows = []
    for step in plan["steps"]:
        fresh = [one for one in step["cautions"] if one["key"] not in met]
        met |= {one["key"] for one in fresh}
        logged = step["logged"] or {}
        rows.append({
            "id": step["id"], "rule": step["rule"], "name": _capital(voice.ours(step["trade_name"])),
            "state": "done" if _is_done(step) else "begun" if logged else "to come",
            "who": ", ".join(logged.get("who", ())),
            "took": voice.minutes(logged["minutes"]) if logged.get("minutes") else "",
            "parts": ", ".join(step["parts"]), "starts": step["starts"], "ends": step["ends"],
            "minutes": f"{voice.minutes(step['minutes']['p50'])} ({voice.minutes(step['minutes']['p80'])})",
            "sessions": step["sessions"],
            "amounts": [{"name": voice.ours(need["name"]), "amount": need["amount"], "working": need["working"]}
                        for need in step["amounts"]],
            "why": [voice.ours(reason["says"]) for reason in step["why"]], "tools": step["tools"],
            "undo": _UNDONE.get(step["undo"], step["undo"]), "never": step["undo"] == "can't be undone",
            "cautions": [said_caution(one, voice) for one in fresh],
        })  # fmt: skip
    return rows


def _is_done(step: Mapping[str, Any]) -> bool:
    return bool(step["logged"]) and step["logged"]["state"] == "done"


def said_caution(caution: Mapping[str, Any], voice: Voice) -> dict[str, str]:
    return {"level": caution["level"], "says": voice.ours(caution["says"]), "ask": voice.ours(caution["ask"])}


def branches_of(plan: Mapping[str, Any], voice: Voice) -> list[dict[str, Any]]:
    """What would be done if a thing not known turned out so: what that adds and leaves out."""
    planned = {step["rule"]: step["trade_name"] for step in plan["steps"]}
    rows = []
    for branch in plan["branches"]:
        then = {step["rule"]: step["trade_name"] for step in branch["steps"]}
        rows.append({
            "if": voice.ours(_capital(branch["if"])),
            "adds": [voice.ours(name) for rule, name in then.items() if rule not in planned],
            "leaves_out": [voice.ours(name) for rule, name in planned.items() if rule not in then],
        })  # fmt: skip
    return rows


def logged_of(book: DayBook) -> list[Logged]:
    """The day book of the piece, newest first, with what was struck out."""
    lines = [Logged(entry, said_entry(entry)) for entry in book.entries]
    lines += [Logged(entry, said_entry(entry), True) for entry in book.struck if entry.what is not What.CORRECTS]
    return sorted(lines, key=lambda line: (line.entry.happened, line.entry.id), reverse=True)


def said_entry(entry: Entry) -> str:
    """What an entry says, in a line."""
    amounts = [_took(one) for one in entry.amounts]
    words = [
        entry.part and f"{entry.part} ",
        _DID[entry.what],
        f": {entry.step.trade_name}" if entry.step else "",
        f": {entry.to}" if entry.to else "",
        f", {entry.minutes.text}" if entry.minutes else "",
        f", {'; '.join(amounts)}" if amounts else "",
        f", {entry.sum.text}" if entry.sum else "",
        "".join(f", {one.text}" for one in (entry.temperature, entry.rh) if one),
        f", “{entry.note}”" if entry.note else "",
    ]
    return _capital("".join(word for word in words if word))


def _took(amount: Amount) -> str:
    """“60 g shellac flakes, jar B”."""
    much = amount.volume or amount.mass
    named = f"{much.text} {amount.material}" if much else amount.material
    return f"{named}, jar {amount.jar}" if amount.jar else named


def decided(decision: Decision) -> str:
    """A decision, in a line."""
    what = {"skip": "leave out ", "add": "add ", "price": "price ", "way": "", "other": ""}[decision.about.value]
    named = decision.price.text if decision.price else decision.choose or decision.step
    return f"{what}{named.replace('_', ' ')}{f' on {decision.part}' if decision.part else ''}"


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def changed_keys(before: Mapping[str, Any], after: Mapping[str, Any]) -> Sequence[str]:
    """Which keys of a document differ, as people say them: “piece.size”, “part TOP”."""
    return tuple(_changed(before, after))


def _changed(before: Mapping[str, Any], after: Mapping[str, Any]) -> Iterator[str]:
    for key in dict.fromkeys([*before, *after]):
        was, now = before.get(key), after.get(key)
        if was == now:
            continue
        match was or now:
            case dict():
                old, new = was or {}, now or {}
                yield from (f"{key}.{one}" for one in dict.fromkeys([*old, *new]) if old.get(one) != new.get(one))
            case [dict(), *_]:
                rows, others = was or [], now or []
                differ = [row for row in others if row not in rows] + [row for row in rows if row not in others]
                yield from dict.fromkeys(f"{key} {_row_name(row)}".strip() for row in differ)
            case _:
                yield key


def _row_name(row: Mapping[str, Any]) -> str:
    return str(next((row[key] for key in ("code", "feature", "test", "term", "caption", "choose", "step", "at", "about")
                     if row.get(key)), ""))  # fmt: skip
