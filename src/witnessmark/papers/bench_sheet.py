"""The day sheet of the whole shop, from the bench's one document: today's lists as people have read them."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from witnessmark.safety import Level
from witnessmark.shop import Shop
from witnessmark.sources import rule
from witnessmark.treatment import Undo

from .days import CLOSING, RAGS, SHEET_WORDS
from .heads import PREVAILS
from .typesetting import typeset
from .voice import Voice, capital, sentence, shortened

_MARKS = {"mix": "mix", "stir": "stir"}
_LEAST_LINES = 5


def bench_sheet(bench: Mapping[str, Any], shop: Shop, now: datetime) -> bytes:
    """The PDF: a page for each who is down for something today; one empty page where nobody is."""
    voice = Voice.of(shop.shop, now)
    down = [one for one in bench["people"] if one["ready"] or one["then"]]
    named = shortened(shop.shop.name, 60)
    data = {
        "code": "", "title": "", "shop": named, "address": shortened(shop.shop.address, 60), "several": True,
        "paper": voice.paper, "region": voice.region, "made": voice.moment(now),
        "document_title": f"Day sheet: {named}" if named else "Day sheet",
        "description": f"Day sheet of {named or 'the shop'}, made {voice.moment(now)}",
        "foot": PREVAILS, "prevails": PREVAILS,
        "words": {key: voice.ours(text) for key, text in SHEET_WORDS.items()},
        "degrees": "°F" if voice.american and voice.inches else "°C",
        "closing": [voice.ours(words) for words in CLOSING], "rags": voice.ours(RAGS),
        "days": [_page(one, bench, voice) for one in down] or [_page(None, bench, voice)],
    }  # fmt: skip
    return typeset("day_sheet", data, now)


def _page(person: Mapping[str, Any] | None, bench: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    items = [*person["ready"], *person["then"]] if person else []
    items.sort(key=lambda item: (item["start"], item["step"]["id"]))
    day = voice.date(date.fromisoformat(bench["date"]), long=person is None)
    wants = [one for one in bench["air"]["next"] if person]
    # What the work asks; whether today's air will do is read in the morning, and written below.
    air = [f"{one['piece']['code']}: {one['says'].split('. ')[0].rstrip('.')}." for one in wants]
    cautions = {one["key"]: one for item in items for one in item["cautions"]}
    stop_first = sorted(cautions.values(), key=lambda one: one["level"] != Level.STOP.value)
    return {
        "date": f"{day}, {person['name']}" if person else day,
        "note": voice.ours(" ".join(air[:2])),
        "empty": "Nothing is down for today.",
        "cautions": [
            {"level": one["level"], "says": voice.ours(sentence(one["says"]))}
            for one in stop_first[: int(rule("papers", "cautions_on_a_sheet").value)]
        ],
        "lines": [_line(item, voice) for item in items],
        "spare": max(0, min(2, _LEAST_LINES - len(items))),
    }


def _line(item: Mapping[str, Any], voice: Voice) -> dict[str, Any]:
    jar = item["jar"]
    amounts = [{"amount": one["says"], "of": voice.ours(one["name"]), "jar": ""} for one in item["amounts"] if not jar]
    if jar:
        named = f"Jar {jar['name']}" if jar["name"] else ""
        amounts = [{"amount": jar["takes_says"], "of": voice.ours(jar["of"]), "jar": named}]
    return {
        "piece": shortened(item["piece"]["code"], 14) if item["piece"] else "",
        "time": voice.clock(datetime.fromisoformat(item["start"])),
        "who": "",
        "mark": _MARKS.get(item["kind"], ""),
        "name": capital(voice.ours(item["step"]["trade_name"])),
        "note": item["session"]["says"] if item["session"] else "",
        "parts": list(item["step"]["parts"]),
        "amounts": amounts,
        "oneway": "Can't be undone" if item["undo"] == Undo.NO.value else "",
        "minutes": item["minutes"]["says"] if item["minutes"] else "",
    }
