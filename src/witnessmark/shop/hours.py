"""Working hours as people write them: `mon-fri = "8:00-12:30, 13:00-17:00"`."""

import re
from dataclasses import dataclass

from witnessmark.documents import amiss

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_NAMES = {
    name: number
    for number, day in enumerate(("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday"))
    for name in (day, day[:3], day[:4])
}
_STRETCH = re.compile(r"(\d{1,2})(?:[:.](\d{2}))?\s*(?:-|–|to)\s*(\d{1,2})(?:[:.](\d{2}))?")
_EXAMPLE = "hours such as “8:00-12:30, 13:00-17:00”, or “off”"


@dataclass(frozen=True, order=True)
class Stretch:
    """One unbroken stretch of work, in local minutes of the day."""

    start: int
    end: int


def days_in(text: str) -> tuple[int, ...]:
    """The weekdays, Monday 0, of `mon`, `mon-fri` or `sat-mon`. Raises a fault."""
    ends = [_NAMES.get(name.strip()) for name in re.split("-|–", text.strip().lower())]
    first, last = ends[0], ends[-1]
    if len(ends) > 2 or first is None or last is None:
        raise amiss("a day, mon to sun, or days such as mon-fri")
    return tuple((first + step) % 7 for step in range((last - first) % 7 + 1))


def stretches_in(text: str) -> tuple[Stretch, ...]:
    """The stretches of one day, in order; none where it is “off”. Raises a fault."""
    if text.strip().lower() in {"off", "closed", ""}:
        return ()
    stretches: list[Stretch] = []
    for part in text.split(","):
        found = _STRETCH.fullmatch(part.strip())
        if not found:
            raise amiss(_EXAMPLE)
        (start, end), minutes = ((int(found[i]) * 60 for i in (1, 3)), (int(found[i] or 0) for i in (2, 4)))
        begins, ends = minutes
        start, end = start + begins, end + ends
        if max(begins, ends) > 59 or not start < end <= 24 * 60:
            raise amiss(f"{_EXAMPLE}: each from earlier to later in one day")
        if stretches and start < stretches[-1].end:
            raise amiss(f"{_EXAMPLE}: one after the other, none overlapping")
        stretches.append(Stretch(start, end))
    return tuple(stretches)


def week_of(hours: dict[str, str]) -> dict[int, tuple[Stretch, ...]]:
    """The stretches of each weekday, Monday 0; a later line wins over an earlier one, as `fri` over `mon-fri`."""
    week: dict[int, tuple[Stretch, ...]] = dict.fromkeys(range(7), ())
    for days, text in hours.items():
        week |= dict.fromkeys(days_in(days), stretches_in(text))
    return week
