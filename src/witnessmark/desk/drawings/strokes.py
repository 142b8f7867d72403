"""The strokes all drawings share: a sheet with its words, hatching, text, a strip of tape, a hand-drawn line."""

from collections.abc import Iterable
from html import escape

_LETTER = 8.2  # the usual width of a letter of 15 px, with room for a wide fallback face


def sheet(
    key: str,
    view: tuple[float, float],
    title: str,
    desc: str,
    body: Iterable[str],
    css: str = "draw",
    own: bool = False,
) -> str:
    """A whole drawing. `key` is unique on its page: its ids begin with it. `view` is its width and height.

    `own`: it is shown at its own size, so that its letters stay readable; else it fills what holds it.
    """
    inside, (wide, high) = "".join(body), map(n, view)
    sized = f' width="{wide}" height="{high}"' if own else ""
    named = f'role="img" aria-labelledby="{key}-t {key}-d"'
    return (
        f'<svg class="{css}{" own" * own}" viewBox="0 0 {wide} {high}"{sized} {named}>'
        f'<title id="{key}-t">{escape(title)}</title><desc id="{key}-d">{escape(desc)}</desc>{inside}</svg>'
    )


def hatch(ident: str, css: str, apart: int = 7, turned: int = 45) -> str:
    """A pattern of parallel strokes, to be filled with url(#ident)."""
    return (
        f'<defs><pattern id="{ident}" width="{apart}" height="{apart}" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate({turned})"><path class="{css}" d="M0 0V{apart}"/></pattern></defs>'
    )


def n(value: float) -> str:
    """A coordinate: a tenth at most, no tail of noughts."""
    return f"{value:.1f}".rstrip("0").rstrip(".") if value else "0"


def text(x: float, y: float, words: str, css: str = "") -> str:
    """One line of words; its baseline at y."""
    named = f' class="{css}"' if css else ""
    return f'<text x="{n(x)}" y="{n(y)}"{named}>{escape(words)}</text>'


def line(path: str, css: str) -> str:
    return f'<path class="f-none {css}" d="{path}"/>'


def box(x: float, y: float, w: float, h: float, css: str, fill: str = "") -> str:
    filled = f' fill="url(#{fill})"' if fill else ""
    return f'<rect class="{css}"{filled} x="{n(x)}" y="{n(y)}" width="{n(w)}" height="{n(h)}"/>'


def tape(middle: float, y: float, words: str) -> str:
    """A strip of tape with torn ends, `middle` its middle and `y` its upper edge; 24 high."""
    half = tape_width(words) / 2
    left, right = middle - half, middle + half
    torn = [(left, 0), (right, 0), (right - 3, 6), (right, 12), (right - 3, 18), (right, 24), (left, 24),
            (left + 3, 18), (left, 12), (left + 3, 6)]  # fmt: skip
    points = " ".join(f"{n(x)},{n(y + down)}" for x, down in torn)
    return f'<polygon class="f-tape k-tape" points="{points}"/>{text(middle, y + 17.3, words, "tp mid")}'


def tape_width(words: str) -> float:
    """How long a strip with these words is."""
    return max(len(words) * 9.4 + 20, 34.0)


def letters(width: float) -> int:
    """How many letters of 15 px stand in that width."""
    return max(int(width / _LETTER), 1)


def cut(words: str, width: float) -> str:
    """The words, ended early with … where they are wider than that."""
    room = letters(width)
    return words if len(words) <= room else f"{words[: max(room - 1, 1)].rstrip(' ,')}…"


def struck(x: float, y: float, w: float, h: float, css: str) -> str:
    """A box as a hand draws it: the strokes run a little past each other at the corners."""
    over = 1.8
    return line(
        f"M{n(x - over)} {n(y)}Q{n(x + w / 2)} {n(y + 0.7)} {n(x + w + over)} {n(y + 0.2)}"
        f"M{n(x + w)} {n(y - over)}Q{n(x + w + 0.5)} {n(y + h / 2)} {n(x + w - 0.2)} {n(y + h + over)}"
        f"M{n(x + w + over)} {n(y + h)}Q{n(x + w / 2)} {n(y + h - 0.6)} {n(x - over)} {n(y + h + 0.2)}"
        f"M{n(x)} {n(y + h + over)}Q{n(x - 0.5)} {n(y + h / 2)} {n(x + 0.2)} {n(y - over)}",
        f"cap {css}",
    )
