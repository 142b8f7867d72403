"""The keys of the bench: what each writes in the day book."""

from collections.abc import Mapping, Sequence
from typing import Any

from witnessmark.daybook import Entry, What
from witnessmark.papers import Voice
from witnessmark.plan import planned_as_logged
from witnessmark.quantities import Mass, Volume, from_json, say, to_mark, usual
from witnessmark.record import StockRow

from .daybook_posts import fresh_id
from .deeds import Ask, Deed

_DEGREES = {True: "°F", False: "°C"}


def entry(what: What, **said: Any) -> dict[str, Any]:
    """An entry ready made, but for who and when."""
    return {"id": fresh_id(), "what": what.value} | {key: value for key, value in said.items() if value}


def step_in(plan: Mapping[str, Any] | None, step: str, trade_name: str) -> dict[str, Any]:
    """A step as the day book keeps it: as its plan has it, else by its name alone."""
    found = next((one for one in (plan or {"steps": []})["steps"] if one["id"] == step), None)
    return planned_as_logged(found) if found else {"id": step, "trade_name": trade_name}


def _minutes(since: str = "") -> Ask:
    return Ask("set.0.minutes", "Minutes", unit="min", clock=since, inputmode="decimal",
               hint="Empty: by the clock" if since else "such as 45, or 2 h")  # fmt: skip


def deeds_of(
    item: Mapping[str, Any], plan: Mapping[str, Any] | None, clock: Mapping[str, Any] | None, voice: Voice
) -> dict[str, Any]:
    """What may be done with the item at hand: `main` at the thumb, `other` beside it, `read` for its cautions."""
    piece = item["piece"]["id"] if item["piece"] else ""
    step = step_in(plan, item["step"]["id"], item["step"]["trade_name"])
    on = {"piece": piece, "step": step}
    at_once = item["ready"] or item["kind"] in ("mix", "stir")
    small = "" if at_once or clock else "not ready yet, all the same: "
    small += " ".join(
        part for part in (item["piece"] and item["piece"]["code"], voice.ours(step["trade_name"])) if part
    )
    at = f"{piece}/{step['id']}"
    reads = {one["key"]: Deed(f"read-{one['key']}", "Read", [entry(What.ACKNOWLEDGED, piece=piece, to=one["key"])],
                              at=at) for one in item["cautions"] if not one.get("acknowledged")}  # fmt: skip
    other: list[Deed] = []
    if item["kind"] == "mix":
        main = _mixed(item, on, small)
    elif item["kind"] == "stir":
        main = _stirred_step(item, on, small)
    elif clock is None:
        main = Deed("begin", _begins(item), [entry(What.STARTED, **on)], small, at=at)
        other = [_finished("already", "It is done already", item, on, small, "")]
    else:
        main = _finished("finish", _ends(item), item, on, small, clock["started"])
        stops = [_minutes(clock["started"])]
        other = [Deed("stop", "Stop for now", [entry(What.STOPPED, **on)], small, stops, at=at)]
    return {"main": main, "other": other, "reads": reads}


def _begins(item: Mapping[str, Any]) -> str:
    return f"Begin {item['session']['word']} {item['session']['number']}" if item["session"] else "Begin"


def _ends(item: Mapping[str, Any]) -> str:
    if item["session"]:
        verb = "is on" if item["session"]["word"] == "coat" else "is done"
        return f"{item['session']['word'].capitalize()} {item['session']['number']} {verb}"
    return "The coat is on" if item["jar"] else "Done"


def _finished(
    name: str, label: str, item: Mapping[str, Any], on: Mapping[str, Any], small: str, since: str
) -> Deed:  # fmt: skip
    """One coat or session, with what it took out of the jar; the last of them, or work of one session, is done."""
    session, jar = item["session"], item["jar"]
    asks = [_minutes(since)]
    if session is None and jar is None:
        return Deed(name, label, [entry(What.DONE, **on)], small, asks)
    coat = entry(What.COAT, **on)
    if jar is not None:
        coat["amounts"] = [{"material": jar["of"], "jar": jar["name"], **_measured(jar["takes"])}]
        asks = [
            Ask("set.0.amounts.0.amount", "Took", say(to_mark(usual(from_json(jar["takes"])))), unit="ml"),
            Ask("set.0.amounts.0.jar", "from jar", jar["name"]),
            *asks,
        ]
    last = session is None or session["number"] >= session["of"]
    return Deed(name, label, [coat, entry(What.DONE, **on)] if last else [coat], small, asks)


def _measured(takes: dict[str, Any]) -> dict[str, str]:
    amount = to_mark(usual(from_json(takes)))
    return {"mass" if isinstance(amount, Mass) else "volume": say(amount)}


def _mixed(item: Mapping[str, Any], on: Mapping[str, Any], small: str) -> Deed:
    """A jar mixed: what went in, and the name on its lid."""
    amounts, asks = [], []
    for number, need in enumerate(item["amounts"]):
        much = to_mark(usual(from_json(need["exact"])))
        if isinstance(much, Mass | Volume):
            amounts.append({"material": need["name"], "mass" if isinstance(much, Mass) else "volume": say(much)})
            asks.append(Ask(f"set.0.amounts.{number}.amount", need["name"].capitalize(), say(much)))
    jar = Ask("set.0.amounts.*.jar", "Name on the jar’s lid", hint="such as D, or 11", required=True)
    made = entry(What.MIXED, **on, amounts=amounts or [{"material": item["step"]["trade_name"]}])
    return Deed("mix", "Mixed", [made], small, [*asks, jar, _minutes()])


def _stirred_step(item: Mapping[str, Any], on: Mapping[str, Any], small: str) -> Deed:
    return Deed("stir-step", "Stirred", [entry(What.STIRRED, **on)], small)


def stirred_deed(due: Mapping[str, Any], plans: Mapping[str, Mapping[str, Any]]) -> Deed:
    """A jar that is due is stirred."""
    amounts = [{"material": due["what"], "jar": due["jar"]}] if due["jar"] else []
    on: dict[str, Any] = {}
    if due["piece"] and due["step"]:
        plan = plans.get(due["piece"]["id"])
        on = {"piece": due["piece"]["id"], "step": step_in(plan, due["step"], due["what"])}
    return Deed(f"stir-{due['jar'] or due['step']}", "Stirred", [entry(What.STIRRED, amounts=amounts, **on)])


def timer_deeds(clock: Mapping[str, Any], plans: Mapping[str, Mapping[str, Any]]) -> dict[str, Deed]:
    """A clock that runs, or was left running: so long it was, or it never ran."""
    on: dict[str, Any] = {"piece": clock["piece"], "part": clock["part"], "who": clock["who"]}
    if clock["step"]:
        on["step"] = step_in(plans.get(clock["piece"]), clock["step"], clock["trade_name"])
    name = clock["entry"]
    # Left running, the work was over when the shop closed that day.
    worked = entry(What.WORKED if clock["stopped"] else What.STOPPED, **on, happened=clock["stopped"])
    minutes = _minutes(clock["started"])
    if clock["stopped"]:
        minutes = Ask("set.0.minutes", "It was", say(from_json(clock["ran"])), unit="min", required=True)
    return {
        "was": Deed(f"was-{name}", "That is right" if clock["stopped"] else "Stop", [worked], asks=[minutes]),
        "never": Deed(f"never-{name}", "It did not run",
                      [entry(What.CORRECTS, piece=clock["piece"], corrects=clock["entry"], who=clock["who"])]),
    }  # fmt: skip


def small_job_deed(job: StockRow) -> Deed:
    """A small job is done: one tap."""
    return Deed(f"job-{job.piece}", "Done", [entry(What.STAGE, piece=job.piece, to="together")])


def undo_deed(entries: Sequence[Entry]) -> Deed:
    """Strikes out what was written at one stroke."""
    struck = [entry(What.CORRECTS, piece=one.piece, corrects=one.id) for one in entries]
    return Deed(f"undo-{entries[0].id}", "Undo", struck)


def closing_deed(list_: Mapping[str, Any], people: Sequence[str], who: str) -> dict[str, Any]:
    """The end-of-day list: tick what was seen to, and who checked."""
    ticks = [f"{line['says']}{' ' + '; '.join(line['of']) + '.' if line['of'] else ''}" for line in list_["lines"]]
    asks = [Ask("set.0.who", "Who checked", who, kind="choice", options=[(name, name) for name in people])]
    deed = Deed("closing", "Closed up", [entry(What.CLOSED_UP)], asks=asks, ticks=ticks)
    return {"deed": deed, "checked": list_["checked"]}


# ---- write in the day book: the keys that are always there ----


def keys_of(
    item: Mapping[str, Any] | None, plan: Mapping[str, Any] | None, pieces: Sequence[tuple[str, str]], voice: Voice
) -> list[Deed]:
    """Minutes, an amount, a note, a clock, the air; about the piece at hand unless another is chosen."""
    at = item["piece"]["id"] if item and item["piece"] else (pieces[0][0] if pieces else "")
    on: dict[str, Any] = {"piece": at}
    if item and item["piece"]:
        on["step"] = step_in(plan, item["step"]["id"], item["step"]["trade_name"])
    about = [Ask("set.0.piece", "On", at, kind="choice", options=pieces)] if pieces else []
    material = item["amounts"][0]["name"] if item and item["amounts"] else ""
    jar = item["jar"]["name"] if item and item["jar"] else ""
    degrees = _DEGREES[voice.american and voice.inches]
    amounts = [
        Ask("set.0.amounts.0.amount", "How much", unit="ml", required=True, hint="such as 60 ml or 20 g"),
        Ask("set.0.amounts.0.material", "Of what", material, required=True),
        Ask("set.0.amounts.0.jar", "Jar", jar),
    ]
    used = entry(What.USED, **on, amounts=[{"material": material or "?"}])
    counted = entry(What.COUNTED, amounts=[{"material": material or "?"}])
    air = [
        Ask("set.0.temperature", "Temperature", unit=degrees, inputmode="decimal", hint="such as 18"),
        Ask("set.0.rh", "Humidity", unit="%", inputmode="decimal", hint="such as 55"),
        Ask("set.0.note", "Where", hint="such as bench room, morning"),
    ]
    note = Ask("set.0.note", "Note", kind="area", required=True)
    made = [
        Deed("minutes", "Minutes", [entry(What.WORKED, **on)],
             asks=[Ask("set.0.minutes", "How long", unit="min", required=True, hint="such as 45, or 2 h"), *about]),
        Deed("amount", "Amount", [used], asks=[*amounts, *about]),
        Deed("note", "Note", [entry(What.NOTE, piece=at)], asks=[note, *about]),
        Deed("timer", "Start timer", [entry(What.STARTED, **on)], asks=about),
        Deed("count", "Jar weighed", [counted], asks=amounts),
        Deed("air", "Air", [entry(What.AIR)], asks=air),
    ]  # fmt: skip
    return made if pieces else [deed for deed in made if deed.name in ("count", "air")]
