"""Our own small drawings of what a lens, an eye or a nail finds in wood: ink on paper, made by rule.

Nothing is drawn of a colour, a smell, a glow or a touch: a line can't show it, and words do. The strokes take the
page's own ink (`currentColor`).
"""

from xml.sax.saxutils import escape

from .identification_tables import LensFeature, State, lens_features
from .pen import Pen, in_ink
from .sketches import SKETCHES

SIDE = 120


def drawing_of(feature: str, state: str) -> str | None:
    """The drawing of one state as SVG; None where a line can't show it. Raises KeyError on a state not listed."""
    one = next((one for one in lens_features() if one.key == feature), None)
    if one is None:
        raise KeyError(feature)
    found = one.state(state)
    sketch = SKETCHES.get((feature, state))
    return None if sketch is None else _svg(SIDE, SIDE, _titled(one, found) + in_ink(sketch(Pen(f"{feature}.{state}"))))


def contact_sheet() -> str:
    """Every state of every feature on one sheet as SVG: drawn where a line can show it, then the rest in words."""
    across, cell, high, left = 8, 136, 190, 12
    marks: list[str] = []
    used, top = 0, 8.0
    for one in lens_features():
        drawn = [state for state in one.states if (one.key, state.key) in SKETCHES]
        if used and used + len(drawn) > across:
            used, top = 0, top + high
        x = left + used * cell
        if drawn:
            marks += _lines(_folded(one.name, 21 * len(drawn))[:1], x, top + 14, 14)
        for at, state in enumerate(drawn):
            inside = in_ink(SKETCHES[one.key, state.key](Pen(f"{one.key}.{state.key}")))
            marks.append(f'<g transform="translate({x + at * cell} {top + 20:g})">{inside}</g>')
            marks += _lines(_folded(state.says, 23), x + at * cell, top + 20 + SIDE + 12)
        used += len(drawn)
    top += high
    for one in lens_features():
        rest = [state.says for state in one.states if (one.key, state.key) not in SKETCHES]
        if rest:
            lines = _folded(f"{one.name}, in words: {'; '.join(rest)}", 180)
            marks += _lines(lines, left, top + 12)
            top += 12 * len(lines) + 8
    words = "<title>What to look for in a wood</title>"
    return _svg(
        across * cell + left, top + 8, f'{words}<g font-family="serif" fill="currentColor">{"".join(marks)}</g>'
    )


def _lines(words: list[str], x: float, y: float, size: int = 11) -> list[str]:
    return [
        f'<text x="{x:g}" y="{y + 12 * at:g}" font-size="{size}">{escape(line)}</text>' for at, line in enumerate(words)
    ]


def _svg(wide: float, high: float, inside: str) -> str:
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide:g} {high:g}" width="{wide:g}" height="{high:g}" '
        f'role="img">{inside}</svg>'
    )


def _titled(feature: LensFeature, state: State) -> str:
    return f"<title>{escape(feature.name)}: {escape(state.says)}</title><desc>{escape(feature.what_to_do)}</desc>"


def _folded(text: str, width: int) -> list[str]:
    lines = [""]
    for word in text.split():
        if lines[-1] and len(lines[-1]) + 1 + len(word) > width:
            lines.append("")
        lines[-1] = f"{lines[-1]} {word}".strip()
    return lines
