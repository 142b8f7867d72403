"""The shop's days over several pieces, first pass: an answer at once, from the problem as plain JSON.

Pieces take turns by the last moment they could begin alone and still be done on their promised day; what is promised
goes before what is not, begun before not begun. The order that people have read is kept where it breaks no promise
more. What they have read for today stays first, with whom they have read it. Jars are mixed a day ahead of their use.
"""

import math
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

from witnessmark.quantities import Span, Temperature

from .calendar import Calendar, CalendarSlot, instant
from .days import Days, Job, Slot, days_for
from .hours import DAY, Warmth, instant_of, minute_of
from .moves import moved_against
from .odds_kept import played, promises_from, slow_together

if TYPE_CHECKING:
    from witnessmark.shop import Shop
    from witnessmark.treatment import Wait

_WORKED = {"labour", "mix", "stir"}


def forward_pass(problem: Mapping[str, Any], effort: int = 0) -> Calendar:
    """The days of all jobs. The same problem and the same effort give the same calendar.

    `effort`: how many times the days are played through for the odds of the promises; with 0 they are reckoned at
    once, with all pieces as slow together as they are four times in five: a little safer than said. Raises NobodyWorks,
    GoesRound and Endless.
    """
    shop = shop_of(problem)
    now = instant(problem["now"])
    order, early, days = _best(problem, shop, now)
    slots = tuple(sorted(_slots(problem, shop, now, days), key=lambda s: (s.start, s.who, s.piece, s.step, s.session)))
    ends = [_ends(problem, shop, one) for one in _played(problem, shop, now, order, early, effort)]
    return Calendar(
        made_at=now,
        zone=shop.shop.zone,
        slots=slots,
        order=tuple(order),
        promises=promises_from(problem, _ends(problem, shop, days), ends, bool(effort), shop.shop.zone_info),
        moved=moved_against(problem, slots, shop),
        broken=(*_in_words(problem, [f"“{one.job}” {one.says}." for one in days.broken]), *_stale(problem, days)),
        notes=_in_words(problem, days.notes),
    )


def shop_of(problem: Mapping[str, Any]) -> "Shop":
    """The shop in the problem, as far as days need it."""
    from witnessmark.shop import shop_in  # pydantic, and wanted here only

    return shop_in(problem["shop"], "the shop's problem")


def _best(problem: Mapping[str, Any], shop: "Shop", now: datetime) -> tuple[list[str], dict[str, datetime], Days]:
    """The order as people have read it, unless the urgent one breaks the promises less."""
    urgent = _by_urgency(problem, shop, now)
    read = [piece for piece in problem["posted_order"] if piece in urgent]
    orders = [read + [piece for piece in urgent if piece not in read]] if read else []
    if urgent not in orders:
        orders.append(urgent)
    tried = []
    for order in orders:
        early = _mixed_at(problem, shop, now, order)
        days = days_for(_jobs(problem, shop, now, order, early), shop, now)
        tried.append((order, early, days))
    return min(tried, key=lambda one: _late(problem, _ends(problem, shop, one[2]), shop))


def _by_urgency(problem: Mapping[str, Any], shop: "Shop", now: datetime) -> list[str]:
    def turn(piece: Mapping[str, Any]) -> tuple[bool, float, bool, str]:
        if piece["promised"] is None:
            return True, 0.0, not piece["begun"], piece["id"]
        closes = end_of_day(date.fromisoformat(piece["promised"]), shop)
        return False, (closes - now).total_seconds() / 60 - piece["alone"], not piece["begun"], piece["id"]

    return [piece["id"] for piece in sorted(problem["pieces"], key=turn)]


def end_of_day(day: date, shop: "Shop") -> datetime:
    """The midnight that ends a local day."""
    return datetime.combine(day + timedelta(days=1), time(), shop.shop.zone_info)


def _late(problem: Mapping[str, Any], ends: Mapping[str, datetime], shop: "Shop") -> tuple[int, float]:
    """How many promises are broken, and by how many days together."""
    late = [
        (ends[piece["id"]] - end_of_day(date.fromisoformat(piece["promised"]), shop)).total_seconds() / 86400
        for piece in problem["pieces"]
        if piece["promised"] and piece["id"] in ends
    ]
    late = [days for days in late if days > 0]
    return len(late), round(sum(late), 3)


def _ends(problem: Mapping[str, Any], shop: "Shop", days: Days) -> dict[str, datetime]:
    """When each piece is done."""
    ends: dict[str, datetime] = {}
    for row in problem["jobs"]:
        if row["kind"] in _WORKED and days.slots.get(row["id"]):
            end = days[row["id"]][-1].end
            ends[row["piece"]] = max(ends.get(row["piece"], end), end)
    return ends


def _mixed_at(problem: Mapping[str, Any], shop: "Shop", now: datetime, order: Sequence[str]) -> dict[str, datetime]:
    """The earliest each jar is mixed: a day in hand before the first step that draws on it would come up anyway."""
    mixed_for = {user for row in problem["jobs"] for user in row["mixed_for"]}
    if not mixed_for:
        return {}
    held = {row["id"] for row in problem["jobs"] if row["kind"] != "labour"}
    without = {
        **problem,
        "jobs": [
            {**row, "after": [before for before in row["after"] if before not in held]}
            for row in problem["jobs"]
            if row["id"] not in held
        ],
    }
    first = days_for(_jobs(without, shop, now, order, {}), shop, now)
    fit = {before: row["wait"]["usual"] for row in problem["jobs"] if row["kind"] == "gate" for before in row["after"]}
    done = {row["id"] for row in problem["jobs"] if row["fixed"]}
    early = {}
    for row in problem["jobs"]:
        if row["mixed_for"] and not row["fixed"]:
            use_at = min((first[user][0].start for user in row["mixed_for"] if user not in done), default=now)
            start = max(now, use_at - timedelta(minutes=fit.get(row["id"], 0.0)) - timedelta(days=1))
            early[row["id"]] = _opening(start, now, shop)
    return early


def _opening(start: datetime, now: datetime, shop: "Shop") -> datetime:
    """The opening of the last day, up to this one, on which somebody works: mixed early, it is stirred the same day."""
    zone = shop.shop.zone_info
    for back in range(7):
        day = start.astimezone(zone).date() - timedelta(days=back)
        if any(p.week[day.weekday()] and day not in (*p.days_off, *shop.closed) for p in shop.person):
            return max(now, datetime.combine(day, time(), zone))
    return start


def _jobs(
    problem: Mapping[str, Any],
    shop: "Shop",
    now: datetime,
    order: Sequence[str],
    early: Mapping[str, datetime],
    slower: Mapping[str, float] | None = None,
) -> list[Job]:
    """The jobs in the order they are given hours: what is being done, what was read for today, jars, then the pieces.

    `slower`: by how much a job, or the wait after it (`ID wait`), takes longer than it likely does.
    """
    today = _today(problem, shop, now)
    turn = {piece: place for place, piece in enumerate(order)}
    rows = sorted(
        enumerate(problem["jobs"]),
        key=lambda pair: (
            not pair[1]["who"],
            today[pair[1]["id"]][0] if pair[1]["id"] in today else len(today),
            pair[1]["kind"] not in ("mix", "stir", "gate"),
            turn.get(pair[1]["piece"], len(turn)),
            pair[0],
        ),
    )
    jobs = []
    for _, row in rows:
        earliest = early.get(row["id"]) or (row["earliest"] and instant(row["earliest"]))
        read_with = today.get(row["id"])
        jobs.append(
            Job(
                row["id"],
                row["minutes"]["p50"] * (slower or {}).get(row["id"], 1.0),
                row["sessions"],
                tuple(row["after"]),
                wait_in(row["wait"], (slower or {}).get(f"{row['id']} wait", 1.0)),
                wait_in(row["between"]),
                row["unbroken"],
                None if read_with and row["mixed_for"] else earliest,
                row["latest"] and instant(row["latest"]),
                tuple(
                    Slot(instant(one["start"]), instant(one["end"]), one["who"], number, row["of"])
                    for number, one in enumerate(row["fixed"], row["first"])
                ),
                tuple(row["who"]) or ((read_with[1],) if read_with else ()),
                row["kind"] == "gate",
            )
        )
    return jobs


def _today(problem: Mapping[str, Any], shop: "Shop", now: datetime) -> dict[str, tuple[int, str]]:
    """The jobs that people have read for today: their place and whose they are, where that person is in."""
    zone = shop.shop.zone_info
    day = now.astimezone(zone).date()
    people_in = {p.name for p in shop.person if p.week[day.weekday()] and day not in (*p.days_off, *shop.closed)}
    read = sorted(
        (slot["start"], slot["who"], f"{slot['piece']}/{slot['step']}")
        for slot in problem["posted"]
        if instant(slot["start"]).astimezone(zone).date() <= day
    )
    found: dict[str, tuple[int, str]] = {}
    for _, who, job in read:
        if who in people_in:
            found.setdefault(job, (len(found), who))
    return found


def wait_in(row: Mapping[str, Any] | None, slower: float = 1.0) -> "Wait | None":
    """A wait of the problem: minutes, and the least temperature in °C."""
    from witnessmark.treatment import Cure, Wait  # heavy, and wanted here only

    if row is None:
        return None
    usual, latest, warm = Span(row["usual"] * slower), row["latest"], row["least_temperature"]
    return Wait(
        usual, usual, None if latest is None else Span(latest), Cure.TOUCH,
        None if warm is None else Temperature(warm), "",
    )  # fmt: skip


def _slots(problem: Mapping[str, Any], shop: "Shop", now: datetime, days: Days) -> list[CalendarSlot]:
    """Everybody's stretches and, after each session, what waits."""
    begin = min([now, *(slot.start for some in days.slots.values() for slot in some)])
    warmth = Warmth(shop, begin.astimezone(shop.shop.zone_info).date())
    found, fit = [], _fit_gates(problem)
    for row in problem["jobs"]:
        pieces = days.slots.get(row["id"], ())
        if row["kind"] == "gate" and row["id"] not in fit:
            continue
        done, first = bool(row["fixed"]), 0 if row["fixed"] else row["first"] - 1
        ends: dict[int, datetime] = {}
        for slot in pieces:
            number = slot.session + first
            ends[number] = slot.end
            if row["kind"] in _WORKED:
                found.append(
                    CalendarSlot(row["piece"], row["step"], row["trade_name"], slot.who, slot.start, slot.end, number,
                                 row["of"], row["kind"], done)
                )  # fmt: skip
        last = max(ends, default=0)
        for number, end in ends.items():
            wait = wait_in(row["wait"] if number == last else row["between"])
            if wait is not None and wait.usual.minutes > 0:
                over = instant_of(warmth.over(minute_of(end), math.ceil(wait.usual.minutes), wait.least_temperature))
                found.append(
                    CalendarSlot(row["piece"], row["step"], row["trade_name"], "", end, over, number, row["of"], "wait",
                                 done)
                )  # fmt: skip
    return found


def _fit_gates(problem: Mapping[str, Any]) -> set[str]:
    """The gates that say when a jar is fit: they follow its mixing, and the users follow them."""
    users = {user for row in problem["jobs"] for user in row["mixed_for"]}
    return {before for row in problem["jobs"] if row["id"] in users for before in row["after"]}


def _played(
    problem: Mapping[str, Any],
    shop: "Shop",
    now: datetime,
    order: Sequence[str],
    early: Mapping[str, datetime],
    effort: int,
) -> list[Days]:
    """The days played through, each time with other luck."""
    return [
        days_for(_jobs(problem, shop, now, order, early, luck), shop, now)
        for luck in (played(problem, effort) if effort else slow_together(problem))
    ]


def _stale(problem: Mapping[str, Any], days: Days) -> list[str]:
    """Jars that their last use comes too late for: glue in the pot does not keep."""
    found = []
    for row in problem["jobs"]:
        if not row["mixed_for"] or "keeps" not in row or not days.slots.get(row["id"]):
            continue
        uses = [days[user][-1].end for user in row["mixed_for"] if days.slots.get(user)]
        over = max(uses) - days[row["id"]][-1].end - timedelta(minutes=row["keeps"])
        if over > timedelta(0):
            late = math.ceil(over.total_seconds() / 60 / DAY)
            found.append(
                f"“{row['trade_name']}” keeps {row['keeps'] / DAY:.0f} days, and its last use comes "
                f"{late} day{'s' if late > 1 else ''} after that: make it afresh for what comes late."
            )
    return found


def _in_words(problem: Mapping[str, Any], says: Sequence[str]) -> tuple[str, ...]:
    """Sentences about jobs, with the trade name and the piece's code in place of the id."""
    codes = {piece["id"]: piece["code"] or piece["title"] for piece in problem["pieces"]}
    named = []
    for sentence in says:
        for row in problem["jobs"]:
            if row["id"] in sentence:
                sentence = sentence.replace(f"“{row['id']}”", f"“{row['trade_name']}” ({codes.get(row['piece'], '')})")
        named.append(sentence)
    return tuple(named)


def waits_until(wait: Mapping[str, Any] | None, end: datetime, shop: "Shop") -> datetime:
    """When a wait of the problem, begun at `end`, is over in this shop."""
    spec = wait_in(wait)
    if spec is None or spec.usual.minutes <= 0:
        return end
    warmth = Warmth(shop, end.astimezone(shop.shop.zone_info).date())
    return instant_of(warmth.over(minute_of(end), math.ceil(spec.usual.minutes), spec.least_temperature))
