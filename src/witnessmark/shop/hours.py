"""Working hours as people write them: `mon = "8:00-12:30, 13:15-17:30"`."""

import re
from dataclasses import dataclass

from pydantic_core import PydanticCustomError

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_STRETCH = re.compile(r"^(\d{1,2})[:.]?(\d{2})?\s*(?:-|–|to)\s*(\d{1,2})[:.]?(\d{2})?$")


@dataclass(frozen=True, order=True)
class Stretch:
    """One unbroken stretch of work, in local minutes of the day."""

    start: int
    end: int


def _bad(found: str) -> PydanticCustomError:
    return PydanticCustomError(
        "fault", "{expected}",
        {"expected": f"hours such as “8:00-12:30, 13:15-17:30” for mon … sun; not “{found}”", "nearest": None},
    )  # fmt: skip


def _stretches(text: str) -> tuple[Stretch, ...]:
    stretches = []
    for part in filter(None, (part.strip() for part in text.split(","))):
        found = _STRETCH.match(part)
        if not found:
            raise _bad(part)
        start, end = (int(found[i]) * 60 + int(found[i + 1] or 0) for i in (1, 3))
        if not (0 <= start < end <= 1440) or (stretches and start < stretches[-1].end):
            raise _bad(text)
        stretches.append(Stretch(start, end))
    return tuple(stretches)


def read_hours(hours: dict[str, str]) -> dict[int, tuple[Stretch, ...]]:
    """The stretches of each weekday, Monday 0. A range of days is written `mon-fri`.

    Raises a fault (a ValueError for pydantic) where a day or a time is not understood.
    """
    week: dict[int, tuple[Stretch, ...]] = {day: () for day in range(7)}
    for days, text in hours.items():
        first, _, last = days.lower().partition("-")
        if first[:3] not in DAYS or (last and last[:3] not in DAYS):
            raise _bad(days)
        start = DAYS.index(first[:3])
        end = DAYS.index(last[:3]) if last else start
        for day in range(start, end + 1):
            week[day] = _stretches(text)
    return week
