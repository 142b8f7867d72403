"""The shop's clock: when each person is at the bench, and when the shop is warm enough for a wait to run.

Working hours are local wall time; everything here is turned once into whole minutes since 1970 UTC, so that a
night when the clocks change is an hour shorter or longer for a wait and the same for a working day.
"""

from bisect import bisect_left, bisect_right, insort
from collections.abc import Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from witnessmark.quantities import Temperature, low
from witnessmark.sources import rule

if TYPE_CHECKING:
    from witnessmark.shop import Person, Shop, Stretch

DAY = 1440


class Endless(ValueError):
    """No day was found within the horizon: somebody's hours and days off leave no room."""


def minute_of(instant: datetime) -> int:
    """Whole minutes since 1970 UTC, a started minute counted as gone."""
    return -int(-instant.timestamp() // 60)


def instant_of(minute: int) -> datetime:
    return datetime.fromtimestamp(minute * 60, UTC)


def local_minute(day: date, minute: int, zone: ZoneInfo) -> int:
    """The instant of a local minute of the day; 1440 is the next midnight."""
    wall = datetime.combine(day + timedelta(days=minute // DAY), time(minute % DAY // 60, minute % 60), zone)
    return minute_of(wall)


def _joined(stretches: Sequence["Stretch"]) -> tuple[tuple[int, int], ...]:
    """Stretches of one day, those that touch made one."""
    joined: list[tuple[int, int]] = []
    for stretch in stretches:
        if joined and stretch.start == joined[-1][1]:
            joined[-1] = (joined[-1][0], stretch.end)
        else:
            joined.append((stretch.start, stretch.end))
    return tuple(joined)


class Bench:
    """One person's free time: stretches of work less what is taken, made as far ahead as is asked for."""

    def __init__(self, person: "Person", shop: "Shop", first: date) -> None:
        self.name, self.fraction = person.name, person.bench_fraction
        self._zone, self._next, self._first = shop.shop.zone_info, first, first
        self._week = {day: _joined(stretches) for day, stretches in person.week.items()}
        self._off = frozenset(person.days_off) | frozenset(shop.closed)
        self._horizon = timedelta(minutes=rule("schedule", "horizon").value.minutes)
        self._least = round(rule("schedule", "least_stretch").value.minutes)
        self._free: list[tuple[int, int]] = []  # (start, end), in order, apart
        self._resumes: dict[int, tuple[int, bool]] = {}  # closing -> (next opening, on the same day)
        self._openings: set[int] = set()
        self._closed_at: int | None = None
        worked = [[end - start for start, end in day] for day in self._week.values()]
        self.longest_stretch = max((minutes for day in worked for minutes in day), default=0)
        self.longest_day = max((sum(day) for day in worked), default=0)

    @property
    def works(self) -> bool:
        return self.longest_day > 0

    def first_fit(self, minutes: int, ready: int, unbroken: bool) -> list[tuple[int, int]]:
        """The earliest stretches from `ready` on that hold so many clock minutes on end.

        Work pauses at closing and goes on at the next opening, but not around another job. Unbroken work stays in
        one stretch where a stretch is long enough, else in one day, else it pauses like other work.
        """
        one_stretch = unbroken and minutes <= self.longest_stretch
        one_day = unbroken and minutes <= self.longest_day
        place = max(bisect_right(self._free, (ready, 1 << 60)) - 1, 0)
        while True:
            self._ahead_of(place)
            pieces = self._run(place, minutes, ready, one_stretch, one_day)
            if pieces:
                return pieces
            place += 1

    def _run(self, place: int, minutes: int, ready: int, one_stretch: bool, one_day: bool) -> list[tuple[int, int]]:
        start = max(self._free[place][0], ready)
        if self._free[place][1] - start < min(minutes, self._least):
            return []
        pieces, left = [], minutes
        while True:
            closing = self._free[place][1]
            taken = min(left, closing - start)
            pieces.append((start, start + taken))
            left -= taken
            if not left:
                return pieces
            if one_stretch:
                return []
            self._ahead_of(place + 1)
            resumes = self._resumes.get(closing)
            # Not a closing but another job, or the next opening is taken: no room here.
            if resumes is None or resumes[0] != self._free[place + 1][0] or (one_day and not resumes[1]):
                return []
            place, start = place + 1, resumes[0]

    def take(self, start: int, end: int) -> None:
        """Takes a stretch out of the free time; what is not free anyway is left."""
        while self._closed_at is None or self._closed_at < end:
            self._ahead()
        place = max(bisect_right(self._free, (start, 1 << 60)) - 1, 0)
        while place < len(self._free) and self._free[place][0] < end:
            opening, closing = self._free[place]
            if closing <= start:
                place += 1
                continue
            del self._free[place]
            for piece in ((opening, min(closing, start)), (max(opening, end), closing)):
                # A crumb serves nobody, unless work that paused at closing may end in it.
                least = 1 if piece[0] in self._openings else self._least
                if piece[1] - piece[0] >= least:
                    insort(self._free, piece)
                    place += piece[0] < start

    def _ahead_of(self, place: int) -> None:
        while place + 1 >= len(self._free):
            self._ahead()

    def _ahead(self) -> None:
        """A week more of stretches."""
        if self._next - self._first > self._horizon:
            years = self._horizon.days // 365
            raise Endless(
                f"{self.name} has no free time in the next {years} years. Look at `hours` and `days_off` of the "
                "person, and at `closed` of the shop."
            )
        for _ in range(7):
            day, self._next = self._next, self._next + timedelta(days=1)
            if day in self._off:
                continue
            opened = False
            for local in self._week[day.weekday()]:
                start, end = (local_minute(day, minute, self._zone) for minute in local)
                if end <= start:
                    continue  # the hour the clocks skip
                if self._closed_at is not None:
                    self._resumes[self._closed_at] = (start, opened)
                self._openings.add(start)
                self._free.append((start, end))
                self._closed_at, opened = end, True


class Warmth:
    """How long a wait takes by the clock: in the cold, only first opening to last closing of a day counts."""

    def __init__(self, shop: "Shop", first: date) -> None:
        self._zone, self._next, self._first = shop.shop.zone_info, first - timedelta(days=1), first
        self._weeks = [(person.week, frozenset(person.days_off)) for person in shop.person]
        self._shut = frozenset(shop.closed)
        self._horizon = timedelta(minutes=rule("schedule", "horizon").value.minutes)
        self.night = _coldest([room.night_temperature for room in shop.room])
        self.day = _coldest([room.day_temperature for room in shop.room])
        self._opens: list[int] = []
        self._closes: list[int] = []
        self._gone: list[int] = []  # warm minutes before this day's opening

    def over(self, start: int, minutes: int, least: Temperature | None) -> int:
        """The minute at which a wait of so many minutes, begun at `start`, is over."""
        # A night nobody measured is reckoned as warm, and said so: cold by day only would make weeks into months.
        if minutes <= 0 or least is None or self.night is None or self.night >= least:
            return start + max(minutes, 0)
        self._reach(start)
        place = max(bisect_right(self._opens, start) - 1, 0)
        inside = min(max(start - self._opens[place], 0), self._closes[place] - self._opens[place])
        wanted = self._gone[place] + inside + minutes
        while self._gone[-1] + self._closes[-1] - self._opens[-1] < wanted:
            self._further()
        place = bisect_left(self._gone, wanted) - 1
        return self._opens[place] + wanted - self._gone[place]

    def _reach(self, minute: int) -> None:
        while not self._opens or self._opens[-1] <= minute:
            self._further()

    def _further(self) -> None:
        if self._next - self._first > self._horizon:
            raise Endless("The shop is never open, so no wait ends in the cold. Look at `hours` and `closed`.")
        for _ in range(7):
            day, self._next = self._next, self._next + timedelta(days=1)
            stretches = [s for week, off in self._weeks if day not in off for s in week[day.weekday()]]
            if day in self._shut or not stretches:
                continue
            opening = local_minute(day, min(s.start for s in stretches), self._zone)
            closing = local_minute(day, max(s.end for s in stretches), self._zone)
            gone = self._gone[-1] + self._closes[-1] - self._opens[-1] if self._opens else 0
            self._opens.append(opening)
            self._closes.append(closing)
            self._gone.append(gone)


def _coldest(written: Sequence[object]) -> Temperature | None:
    """The low end of the coldest room; None where no room says."""
    known = [low(text.value) for text in written if text is not None and text.known]  # type: ignore[attr-defined]
    return min(known, default=None)
