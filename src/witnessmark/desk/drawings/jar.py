"""A jar, read as a jar is: the upper line is what stands in it, hatched is what the next coat takes from it."""

from collections.abc import Callable

from .strokes import box, hatch, line, n, sheet, text

_FLOOR, _TALL = 163.0, 104.0  # where the inside ends, and how high the largest jar stands
_LARGEST = 1000.0  # ml: the jar drawn largest; sides go as the cube root
_FLAKES = ((41, 17), (24, 22), (56, 7), (70, 9), (30, 6), (62, 23), (48, 5), (36, 11), (22, 12), (53, 14))


def jar(
    key: str, name: str, content: float, capacity: float, takes: float | None = None, low: float | None = None,
    high: float | None = None, dissolving: bool = False, unit: str = "ml", content_said: str = "", takes_said: str = "",
) -> str:  # fmt: skip
    """A jar drawn to its size. Amounts in ml: what it holds, what it would hold full, what the next coat takes and
    how far that may stray. `content_said`, `takes_said` are written beside it in place of the bare numbers."""
    scale: float = min(max((capacity / _LARGEST) ** (1 / 3), 0.55), 1.0)
    wide, tall = 60 + 60 * (scale - 0.55), _TALL * scale + 12
    left, right, top = 10.0, 10 + wide + 22, _FLOOR - tall
    inside_l, inside_r = left + 3, right - 3

    def level(amount: float) -> float:
        return _FLOOR - min(max(amount / capacity, 0.0), 1.0) * (tall - 4)

    shoulder = top - 21
    glass = (
        f"M{n(left + 12)} {n(shoulder)}C{n(left + 10)} {n(shoulder + 8)} {n(left)} {n(shoulder + 10)} {n(left)} "
        f"{n(top)}V158Q{n(left)} 166 {n(left + 8)} 166H{n(right - 8)}Q{n(right)} 166 {n(right)} 158V{n(top)}"
        f"C{n(right)} {n(shoulder + 10)} {n(right - 10)} {n(shoulder + 8)} {n(right - 12)} {n(shoulder)}Z"
    )
    upper = level(content)
    short = takes is not None and takes > content
    stray = (low, high) if low is not None and high is not None else None
    body = [hatch(f"{key}-p", "k-hatch"), f'<path class="f-glass" d="{glass}"/>']
    if content > 0:
        foot = min(158.0, _FLOOR - 5)
        body.append(
            f'<path class="f-amber" d="M{n(inside_l)} {n(upper)}H{n(inside_r)}V{n(max(foot, upper))}Q{n(inside_r)} 163 '
            f'{n(inside_r - 6)} 163H{n(inside_l + 6)}Q{n(inside_l)} 163 {n(inside_l)} {n(max(foot, upper))}Z"/>'
        )
    if takes:
        lower = _FLOOR if short else level(content - takes)
        body += [
            box(inside_l, upper, inside_r - inside_l, lower - upper, "f-glass"),
            box(inside_l, upper, inside_r - inside_l, lower - upper, "", f"{key}-p"),
        ]
    if dissolving:
        for across, up in _FLAKES:
            if inside_l < across + 2 < inside_r - 12:
                body.append(f'<path class="f-glass k-flake" d="M{across} {n(_FLOOR - up)}l7 -4 3 5 -6 3z"/>')
    body.append(f'<path class="f-none k-ink" d="{glass}"/>')
    body.append(f'<rect class="f-sheet k-ink" x="{n(left + 9)}" y="{n(shoulder - 17)}" width="{n(right - left - 18)}" '
                'height="17" rx="2"/>')  # fmt: skip
    knurl = int((right - left - 30) / 9)
    body += [line(f"M{n(left + 16 + 9 * at)} {n(shoulder - 15)}v13", "k-faint") for at in range(knurl + 1)]
    body.append(line(f"M5 {n(upper)}H{n(right + 12)}", "k-level cap"))
    body.append(text(right + 17, upper + (-6 if takes and not short else 6), content_said or n(content), "b lg"))
    if takes:
        body += _taken(takes, content, short, right, level, stray, takes_said or f"−{n(takes)}")
    told = _told(content, capacity, takes, stray, dissolving, unit)
    return sheet(key, (176, 168), f"{name}, level and next coat", told, body, "draw jar")


def _taken(
    takes: float, content: float, short: bool, right: float, level: Callable[[float], float],
    stray: tuple[float, float] | None, said: str,
) -> list[str]:  # fmt: skip
    """What the next coat takes: a heavy tick where it ends, a thin whisker for how far that may stray."""
    upper = level(content)
    if short:  # the broken red line goes through the shelf: no jar holds less than nothing
        return [
            line(f"M{n(right + 8)} {n(upper + 3)}V186", "k-red cap dash"),
            line(f"M{n(right - 62)} 186H{n(right + 16)}", "k-red cap"),
            text(right + 20, min(upper + 34, 156), said, "lg r"),
        ]
    ends = level(content - takes)
    drawn = [
        line(f"M{n(right + 8)} {n(upper + 3)}V{n(ends)}", "k-ink cap"),
        line(f"M5 {n(ends)}H{n(right + 16)}", "k-ink2 cap"),
    ]
    if stray is not None:
        most, least = level(content - stray[0]), level(content - stray[1])
        whisker = f"M{n(right + 13)} {n(most)}h6M{n(right + 16)} {n(most)}V{n(least)}M{n(right + 13)} {n(least)}h6"
        drawn.append(line(whisker, "k-thin cap"))
    return [*drawn, text(right + 25, max(ends + 6, upper + 18), said, "lg")]


def _told(
    content: float, capacity: float, takes: float | None, stray: tuple[float, float] | None, dissolving: bool, unit: str
) -> str:
    """The jar in words, for whoever can't see it."""
    told = [f"{n(content)} of {n(capacity)} {unit}."]
    if takes:
        told.append(f"The next coat takes {n(takes)} {unit}"
                    + (f", between {n(stray[0])} and {n(stray[1])}." if stray else "."))  # fmt: skip
        left = content - takes
        told.append(f"{n(left)} {unit} stays." if left >= 0 else f"Short by {n(-left)} {unit}.")
    if dissolving:
        told.append("Flakes lie in it: still dissolving.")
    return " ".join(told)
