"""What a piece waits on, in a line: somebody else, drying, a day, a pair of hands, or nothing."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum
from typing import Any

from witnessmark.daybook import DayBook, Entry, Stage, What
from witnessmark.shop import Shop
from witnessmark.survey import Survey

from .away import away_in
from .outside import instant_json
from .stages import stage_of


class On(StrEnum):
    """What kind of wait it is."""

    OTHERS = "others"  # something is out with somebody
    DRYING = "drying"  # a coat, a glue-up, a soak
    FIXINGS = "fixings"  # called together by hand, and it is not
    HANDS = "hands"  # somebody who has a day for it
    NOTHING = "nothing"  # it is ready now, or all is done


@dataclass(frozen=True)
class WaitingOn:
    """One wait. `until` where a clock or the calendar says, `who` where it is for a person of the shop."""

    on: On
    says: str
    until: datetime | None = None
    who: str = ""
    step: str = ""

    def as_json(self) -> dict[str, Any]:
        return {
            "on": self.on.value, "says": self.says, "until": instant_json(self.until), "who": self.who,
            "step": self.step,
        }  # fmt: skip


def waiting_on(
    survey: Survey, daybook: DayBook, plan_json: Mapping[str, Any] | None, shop: Shop, now: datetime
) -> tuple[WaitingOn, ...]:
    """What a piece waits on, what decides first: never empty. `plan_json` is None where there is no plan of it."""
    standing = stage_of(survey, daybook)
    if standing.stage is Stage.OUT:
        return (WaitingOn(On.NOTHING, "Out."),)
    found = [WaitingOn(On.OTHERS, line) for line in away_in(daybook, shop, survey.id, survey.piece.code)]
    if standing.refused:
        found += [WaitingOn(On.FIXINGS, line) for line in standing.holds]
    steps = list((plan_json or {}).get("steps", ()))
    to_come = sorted((step for step in steps if not _done(step)), key=lambda step: (step["starts"] or "~", step["id"]))
    if to_come:
        coats = daybook.on_piece(survey.id, survey.piece.code)
        found += _drying(to_come[0], [step for step in steps if _done(step)], coats, shop, now)
    if not found:
        found.append(
            _hands(to_come, plan_json, shop, now) if plan_json else WaitingOn(On.NOTHING, "Nothing is planned yet.")
        )
    return tuple(found)


def _done(step: Mapping[str, Any]) -> bool:
    return bool(step["logged"]) and step["logged"]["state"] == "done"


def _drying(
    step: Mapping[str, Any], done: Iterable[Mapping[str, Any]], entries: Iterable[Entry], shop: Shop, now: datetime
) -> Iterator[WaitingOn]:
    """The wait that holds up the next step: its own last coat, or what was done before it, whichever is longer."""
    ends = [
        (datetime.fromisoformat(one["logged"]["finished"]) + timedelta(hours=one["wait"]["usual"]), one)
        for one in done
        if one["id"] in step["after"]
    ]
    if step["between"]:
        coats = [entry for entry in entries if entry.what is What.COAT and entry.step and entry.step.id == step["id"]]
        ends += [(entry.happened + timedelta(hours=step["between"]["usual"]), step) for entry in coats]
    until, of = max(ends, key=lambda end: end[0], default=(now, step))
    if until > now:
        yield WaitingOn(On.DRYING, f"“{of['trade_name']}” dries until {_moment(until, shop)}", until, step=of["id"])


def _hands(to_come: list[Mapping[str, Any]], plan: Mapping[str, Any], shop: Shop, now: datetime) -> WaitingOn:
    """The next step, and when the calendar has somebody for it."""
    if not to_come:
        return WaitingOn(On.NOTHING, "All its steps are done.")
    step = to_come[0]
    starts = datetime.fromisoformat(step["starts"]) if step["starts"] else None
    zone = shop.shop.zone_info
    if starts is None or starts.astimezone(zone).date() <= now.astimezone(zone).date():
        return WaitingOn(On.NOTHING, f"Ready for “{step['trade_name']}”.", step=step["id"])
    who = next((slot["who"] for slot in plan["calendar"] if slot["step"] == step["id"]), "")
    says = f"“{step['trade_name']}”, {who or 'somebody'} from {_moment(starts, shop)}"
    return WaitingOn(On.HANDS, says, starts, who, step["id"])


def _moment(at: datetime, shop: Shop) -> str:
    local = at.astimezone(shop.shop.zone_info)
    return f"{local:%a} {local.day} {local:%b}, {local:%H:%M}"
