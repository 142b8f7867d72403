"""A clock as it hangs on the wall: the hand is now, hatched is the wait, the blue arrowhead is when it is free."""

from datetime import datetime, timedelta
from math import cos, pi, sin

from .strokes import hatch, line, n, sheet

_MIDDLE, _FACE, _RIM, _INNER = 50.0, 46.0, 40.0, 27.0
_TURN = timedelta(hours=12)


def dial(key: str, now: datetime, until: datetime, what: str = "Wait") -> str:
    """Twelve hours. A wait of more is a full turn of the outer ring and its rest inside. Times are local."""
    left = max(until - now, timedelta())
    body = [hatch(f"{key}-h", "k-pencil"), f'<circle class="f-sheet k-ink" cx="50" cy="50" r="{n(_FACE)}"/>']
    if left >= _TURN:
        body += [f'<circle fill="url(#{key}-h)" cx="50" cy="50" r="{n(_RIM)}"/>',
                 f'<circle class="f-sheet k-ink" cx="50" cy="50" r="{n(_INNER)}"/>']  # fmt: skip
    radius = _RIM if left < _TURN else _INNER
    rest = left % _TURN
    begins, ends = _hours(now), _hours(until)
    if rest:
        body.append(_slice(begins, ends, radius, rest > _TURN / 2, f"{key}-h"))
    for hour in range(12):
        long = 10 if hour % 3 == 0 else 6
        body.append(f'<path class="k-ink" d="{_ray(hour, _FACE - long, _FACE)}"/>')
    body.append(line(_ray(begins, 0, 26), "k-ink2 cap"))
    body.append('<circle class="f-ink" cx="50" cy="50" r="3.5"/>')
    body.append(_arrowhead(ends))
    days = (until.date() - now.date()).days
    day = "" if days == 0 else " tomorrow" if days == 1 else f" in {days} days"
    turns = "" if left < _TURN else ", more than one whole turn"
    told = f"Hatched from now, {now:%H:%M}, to {until:%H:%M}{day}{turns}."
    return sheet(key, (100, 100), f"{what[:1].upper()}{what[1:]}: till {until:%H:%M}{day}", told, body, "draw dial")


def _hours(time: datetime) -> float:
    return time.hour % 12 + time.minute / 60


def _at(hours: float, radius: float) -> tuple[float, float]:
    angle = hours / 12 * 2 * pi
    return _MIDDLE + radius * sin(angle), _MIDDLE - radius * cos(angle)


def _ray(hours: float, inner: float, outer: float) -> str:
    (x1, y1), (x2, y2) = _at(hours, inner), _at(hours, outer)
    return f"M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}"


def _slice(begins: float, ends: float, radius: float, beyond_half: bool, pattern: str) -> str:
    (x1, y1), (x2, y2) = _at(begins, radius), _at(ends, radius)
    path = f"M50 50L{n(x1)} {n(y1)}A{n(radius)} {n(radius)} 0 {int(beyond_half)} 1 {n(x2)} {n(y2)}Z"
    return f'<path fill="url(#{pattern})" d="{path}"/>{line(path, "k-pencil")}'


def _arrowhead(hours: float) -> str:
    """Blue, its point to the middle of the rim: when hands are wanted again."""
    (x1, y1), (x2, y2), (x3, y3) = _at(hours, 36), _at(hours - 0.4, 49), _at(hours + 0.4, 49)
    return f'<path class="f-blue k-sheet" d="M{n(x1)} {n(y1)}L{n(x2)} {n(y2)}L{n(x3)} {n(y3)}Z"/>'
