"""How each state is sketched, feature by feature.

On end grain the bark is up: rings run across, rays up and down.
"""

import math
from collections.abc import Callable, Iterator

from .pen import Pen, steps

_RINGS = (24.0, 58.0, 92.0)  # where a ring begins; it grows upward to the line above
_DEEP = 34.0

Sketch = Callable[[Pen], str]


# --- end grain ----------------------------------------------------------------------------------------------------


def _rings(pen: Pen, width: float = 1.2) -> str:
    return "".join(pen.ring(y, width) for y in _RINGS)


def _early_rows(pen: Pen, rows: int = 1, size: float = 4.2) -> str:
    """Large pores standing on the line where a ring begins."""
    return "".join(
        pen.pore(pen.near(x, 1), y - 2 - size - row * (2 * size + 1), pen.near(size, 0.4))
        for y in _RINGS
        for row in range(rows)
        for x in range(4 + row % 2 * 4, 120, 11)
    )


def _small_pores(pen: Pen, count: int = 130, size: float = 1.2, apart: float = 6) -> str:
    """Small pores in the later part of each ring."""
    return "".join(
        pen.pore(x, y, size)
        for x, y in pen.strewn(count, apart)
        if any(ring - _DEEP + 3 < y < ring - 13 for ring in (*_RINGS, _RINGS[-1] + _DEEP))
    )


def _porosity(kind: str) -> Sketch:
    def sketch(pen: Pen) -> str:
        if kind == "ring":
            inside = _early_rows(pen) + _small_pores(pen)
        elif kind == "diffuse":
            inside = "".join(pen.pore(x, y, 1.9) for x, y in pen.strewn(170, 7))
        elif kind == "semi":
            inside = "".join(pen.pore(x, y, 1 + 3.2 * (1 - _share_of_ring(y)) ** 1.4) for x, y in pen.strewn(150, 7.5))
        else:
            inside = _tracheids(pen, abrupt=False)
        return pen.lens(_rings(pen) + inside)

    return sketch


def _share_of_ring(y: float) -> float:
    """How far through its ring a point lies: 0 where the ring begins, 1 at its end."""
    begins = min((ring for ring in (*_RINGS, _RINGS[-1] + _DEEP) if ring >= y), default=_RINGS[-1] + _DEEP)
    return min((begins - y) / _DEEP, 1.0)


def _tracheids(pen: Pen, abrupt: bool) -> str:
    """A softwood's rings: fine rows of cells, closing up toward the end of the ring."""
    marks = []
    for ring in (*_RINGS, _RINGS[-1] + _DEEP):
        y = 0.0
        while y < _DEEP:
            share = y / _DEEP
            late = share > 0.68 if abrupt else False
            marks.append(pen.line(0, ring - y, 120, ring - y, 1.1 if late else 0.35 + (0 if abrupt else 0.7 * share)))
            y += (1.7 if late else 4.2) if abrupt else 5.2 - 3.9 * share
    return "".join(marks)


def _rays(pen: Pen, width: float, apart: float) -> str:
    return "".join(pen.line(pen.near(x, apart / 6), 0, pen.near(x, apart / 6), 120, width)
                   for x in steps(apart / 2, 120, apart))  # fmt: skip


def _end_rays(width: float, apart: float, bundled: bool = False) -> Sketch:
    def sketch(pen: Pen) -> str:
        if bundled:
            inside = "".join(pen.line(x + dx, 0, x + dx, 120, 0.6) for x in (34, 92) for dx in (-3, -1.5, 0, 1.5, 3))
        else:
            inside = _rays(pen, width, apart) if width else ""
        return pen.face(_rings(pen, 0.8) + inside)

    return sketch


def _latewood(kind: str) -> Sketch:
    def sketch(pen: Pen) -> str:
        marks = [_rings(pen), _early_rows(pen, size=3.8)]
        for ring in (*_RINGS, _RINGS[-1] + _DEEP):
            low, high = ring - 11, ring - _DEEP + 3
            marks += list(_in_latewood(pen, kind, low, high))
        return pen.lens("".join(marks))

    return sketch


def _in_latewood(pen: Pen, kind: str, low: float, high: float) -> Iterator[str]:
    match kind:
        case "flame":
            for x in range(8, 120, 22):
                for step in range(7):
                    y = low - (low - high) * step / 6
                    yield from (pen.pore(x + dx * step * 0.9, y, 1.1) for dx in (-1, 0, 1))
        case "waves":
            for row in range(3):
                for x in range(2, 120, 4):
                    yield pen.pore(x, low - 4 - row * 7 + 2 * math.sin(x / 6), 1.3)
                    yield pen.pore(x + 2, low - 6 - row * 7 + 2 * math.sin((x + 2) / 6), 1.1)
        case "chains":
            for x in range(8, 120, 13):
                yield from (pen.pore(pen.near(x, 0.7), low - step * 3.4, 1.6) for step in range(6))
        case "nests":
            for x in range(8, 120, 17):
                cx, cy = pen.near(x, 3), pen.near((low + high) / 2, 4)
                yield from (pen.pore(cx + 2.4 * math.cos(turn), cy + 2.4 * math.sin(turn), 1.3)
                            for turn in steps(0, 6.2, 1.05))  # fmt: skip
        case "pairs":
            for x in range(6, 120, 12):
                px, py = pen.near(x, 3), pen.near((low + high) / 2, 7)
                yield pen.pore(px, py, 1.6)
                if pen.hand.random() < 0.45:
                    yield pen.pore(px, py + 3.2, 1.6)
        case "even":
            for row in range(4):
                for x in range(2, 120, 6):
                    yield pen.pore(pen.near(x + 3 * (row % 2), 0.6), low - 1 - row * 5, 1.0)


def _parenchyma(kind: str) -> Sketch:
    def sketch(pen: Pen) -> str:
        if kind == "marginal":
            lines = "".join(pen.ring(y, 0.9) + pen.ring(y + 3.4, 0.9) for y in _RINGS)
            return pen.lens(lines + "".join(pen.pore(x, y, 2.2) for x, y in pen.strewn(70, 11)))
        pores = list(pen.strewn(26, 19))
        round_pores = "".join(pen.pore(x, y, 2.6) for x, y in pores)
        if kind == "broken":
            dashes = "".join(pen.line(pen.near(x, 3), y, pen.near(x + 7, 2), y, 0.7)
                             for y in steps(6, 120, 6) for x in steps(2, 118, 15))  # fmt: skip
            return pen.lens(round_pores + dashes)
        if kind == "net":
            return pen.lens(round_pores + _rays(pen, 0.5, 6) + "".join(pen.ring(y, 0.5) for y in steps(4, 120, 6)))
        if kind == "sheaths":
            bodies = "".join(pen.leaf(x, y, 9, 6, ink=False) for x, y in pores)
        else:
            bodies = "".join(pen.ring(y - 3.5, 0.9) + pen.ring(y + 3.5, 0.9) for y in (22, 48, 74, 100))
            round_pores = "".join(pen.pore(pen.near(x, 3), y - 1, 2.6) for y in (22, 48, 74, 100)
                                  for x in steps(8, 118, 16))  # fmt: skip
            bodies += "".join(pen.leaf(x, y - 1, 10, 9, ink=False) for y in (22, 48, 74, 100)
                              for x in steps(14, 118, 34))  # fmt: skip
        return pen.lens(bodies + round_pores)

    return sketch


def _large_pores(plugged: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        marks = [_rings(pen)]
        for x, y in pen.strewn(9, 33, 16, 104):
            marks.append(pen.pore(x, y, 12))
            if plugged:
                for turn in (0.4, 1.7, 2.8):
                    dx, dy = 11 * math.cos(turn), 11 * math.sin(turn)
                    marks.append(pen.line(x - dx, y - dy, x + dx * 0.4, y + dy * 0.9, 0.8))
                marks.append(pen.pore(x + 3, y - 3, 4))
        return pen.lens("".join(marks))

    return sketch


def _oak_latewood(many: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        points = ((x, y) for x, y in (pen.strewn(420, 3.6) if many else pen.strewn(48, 15)) if y < 86)
        marks = [pen.pore(x, y, 0.7, ink=True) if many else pen.pore(x, y, 3) for x, y in points]
        return pen.lens("".join(marks) + pen.ring(112) + "".join(pen.pore(x, 101, 7.5) for x in steps(6, 120, 18)))

    return sketch


def _rays_and_pores(width: float) -> Sketch:
    def sketch(pen: Pen) -> str:
        rays = "".join(pen.line(x + side * width / 2, 0, x + side * width / 2, 120, 0.9)
                       for x in (24, 60, 96) for side in (-1, 1))  # fmt: skip
        return pen.lens(rays + "".join(pen.pore(pen.near(x, 2), y, 6) for x in (42, 78) for y in steps(10, 120, 22)))

    return sketch


def _rows(count: int) -> Sketch:
    return lambda pen: pen.lens(_rings(pen) + _early_rows(pen, count, 3.6) + _small_pores(pen, 60, 0.9, 7))


def _rings_seen(plain: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        pores = "".join(pen.pore(x, y, 0.9) for x, y in pen.strewn(110, 9))
        return pen.face((_rings(pen, 2) if plain else "".join(pen.ring(y, 0.4, "1 7") for y in _RINGS)) + pores)

    return sketch


def _eye_pores(size: float, ink: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        pores = "".join(pen.pore(x, y, size, ink) for x, y in pen.strewn(90, 8)) if size else ""
        return pen.face(_rings(pen, 0.8) + pores)

    return sketch


def _softwood(canals: str = "", abrupt: bool = True) -> Sketch:
    def sketch(pen: Pen) -> str:
        marks = [_rings(pen, 1), _tracheids(pen, abrupt)]
        places: dict[str, list[tuple[float, float]]] = {
            "many": [(pen.near(x, 4), ring - pen.near(24, 4)) for ring in (*_RINGS, 126) for x in steps(8, 118, 15)],
            "few": [(31, 32), (84, 70), (50, 103)],
            "row": [(x, 50) for x in steps(6, 118, 9)],
        }
        at = places.get(canals, [])
        size = 1.8 if canals == "few" else 3
        for x, y in at:
            marks.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size + 1.6}" fill="white" stroke="none"/>')
            marks.append(pen.pore(x, y, size))
        return pen.lens("".join(marks))

    return sketch


# --- faces --------------------------------------------------------------------------------------------------------


def _long_grain(pen: Pen, width: float = 0.5, apart: float = 9) -> str:
    return "".join(
        f'<path d="M{x:.1f} 0Q{pen.near(x, 3):.1f} 60 {pen.near(x, 2):.1f} 120" stroke-width="{width:g}"/>'
        for x in steps(8, 118, apart)
    )


def _flecks(long: float, wide: float, count: int, apart: float, ink: bool = True, upright: bool = False,
            mixed: bool = False) -> Sketch:  # fmt: skip
    def sketch(pen: Pen) -> str:
        flecks = "".join(
            pen.leaf(x, y, long * (pen.hand.uniform(0.35, 1.2) if mixed else 1), wide, ink, upright)
            for x, y in pen.strewn(count, apart)
        )
        return pen.face(_long_grain(pen, 0.35, 12) + flecks)

    return sketch


def _scratches(long: float, width: float, count: int, apart: float) -> Sketch:
    def sketch(pen: Pen) -> str:
        return pen.face("".join(pen.line(x, y - long / 2, x, y + long / 2, width) for x, y in pen.strewn(count, apart)))

    return sketch


def _ripples(there: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        lines = "".join(pen.line(6, y, 114, y, 0.55, "5 1.5") for y in steps(13, 110, 3.4)) if there else ""
        return pen.face(_long_grain(pen, 0.4, 14) + lines)

    return sketch


def _in_vessels(chalk: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        marks = []
        for at, x in enumerate(steps(14, 112, 12)):
            marks += [pen.line(x - 2, 0, x - 2, 120, 0.7), pen.line(x + 2, 0, x + 2, 120, 0.7)]
            if chalk and at % 3 == 1:
                marks += [pen.pore(pen.near(x, 0.6), y, 0.6) for y in steps(4, 118, 2.6)]
            elif not chalk and at % 2:
                marks += [pen.line(x, y, x, y + pen.hand.uniform(8, 16), 3.2) for y in steps(8, 112, 30)]
        return pen.lens("".join(marks))

    return sketch


def _ribbon(there: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        if not there:
            return pen.face(_long_grain(pen, 0.5, 6))
        hatch = "".join(
            pen.line(x + (2 if band % 2 else 14), y, x + (14 if band % 2 else 2), y + 5, 0.9 if band % 2 else 0.35)
            for band, x in enumerate(steps(6, 114, 18))
            for y in steps(8, 112, 4)
        )
        return pen.face(hatch + "".join(pen.line(x, 10, x, 110, 0.4) for x in steps(6, 114, 18)))

    return sketch


def _streaks(there: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        streaks = "".join(pen.leaf(x, y, long, 2.4, upright=True)
                          for x, y, long in ((30, 44, 26), (66, 78, 22), (92, 36, 18)))  # fmt: skip
        return pen.face(_long_grain(pen, 0.4, 10) + (streaks if there else ""))

    return sketch


def _spirals(there: bool) -> Sketch:
    def sketch(pen: Pen) -> str:
        walls = "".join(pen.line(x, 0, x, 120, 1.4) for x in (22, 47, 72, 97))
        turns = "".join(pen.line(x, y, x + 25, y - 8, 0.8) for x in (22, 47, 72) for y in steps(8, 130, 7))
        return pen.lens(walls + (turns if there else ""))

    return sketch


def _water(depth: float) -> Sketch:
    def sketch(pen: Pen) -> str:
        glass = pen.line(20, 14, 20, 110, 1.6) + pen.line(100, 14, 100, 110, 1.6) + pen.line(20, 110, 100, 110, 1.6)
        level = '<path d="M20 46q10 -4 20 0t20 0t20 0t20 0" stroke-width="1"/>'
        wood = f'<rect x="40" y="{depth:g}" width="40" height="12" stroke-width="1.6"/>'
        return glass + level + wood + pen.line(44, depth + 6, 76, depth + 6, 0.6)

    return sketch


def _dent(depth: float) -> Sketch:
    def sketch(pen: Pen) -> str:
        face = f'<path d="M8 70L44 70Q60 {70 + 2 * depth:g} 76 70L112 70L112 104L8 104Z" stroke-width="1.6"/>'
        tip = 70 + depth
        nail = (
            f'<path d="M50 {tip - 36:g}L50 {tip - 10:g}Q60 {tip + 4:g} 70 {tip - 10:g}L70 {tip - 36:g}" '
            'stroke-width="1.2"/>'
        )
        return face + nail + "".join(pen.line(12, y, 108, y, 0.4) for y in (84, 92, 98))

    return sketch


_BY_FEATURE: dict[str, dict[str, Sketch]] = {
    "porosity": {
        "ring_porous": _porosity("ring"), "semi_ring_porous": _porosity("semi"),
        "diffuse_porous": _porosity("diffuse"), "no_pores_softwood": _porosity("softwood"),
    },
    "rays_on_end_grain": {
        "broad_conspicuous": _end_rays(2.8, 17), "not_visible": _end_rays(0, 1), "fine_visible": _end_rays(0.6, 6),
        "few_large_aggregate_far_apart": _end_rays(0, 1, bundled=True),
    },
    "ray_fleck_on_quarter": {
        "large_bold": _flecks(22, 7, 11, 24, ink=False), "small_fine": _flecks(3, 1.4, 90, 8),
        "none_obvious": _flecks(0, 0, 0, 1), "medium_dark": _flecks(9, 3.2, 24, 16),
    },
    "latewood_pore_pattern": {
        "flame_radial": _latewood("flame"), "scattered_single_or_pairs": _latewood("pairs"),
        "evenly_scattered": _latewood("even"), "ulmiform_wavy_bands": _latewood("waves"),
        "radial_chains": _latewood("chains"), "nested_clusters": _latewood("nests"),
    },
    "growth_rings": {"distinct": _rings_seen(True), "indistinct": _rings_seen(False)},
    "texture": {
        "coarse": _scratches(15, 1.5, 60, 11), "medium": _scratches(9, 0.9, 110, 8),
        "fine": _scratches(4, 0.4, 200, 6),
    },
    "ripple_marks": {"present": _ripples(True), "absent": _ripples(False)},
    "tyloses": {"abundant": _large_pores(True), "sparse_or_absent": _large_pores(False)},
    "latewood_pores_under_10x": {
        "too_small_to_see_into": _oak_latewood(True), "distinct_open": _oak_latewood(False),
    },
    "dry_splinter_in_water": {"floats": _water(38), "sinks": _water(97)},
    "fingernail_on_hidden_face": {"no_dent": _dent(0), "dents_slightly": _dent(5), "dents_easily": _dent(14)},
    "parenchyma": {
        "fine_broken_lines": _parenchyma("broken"), "marginal_line": _parenchyma("marginal"),
        "short_sheaths_joining_latewood_pores": _parenchyma("sheaths"),
        "wing_like_confluent_bands": _parenchyma("wings"), "fine_banded_net_with_rays": _parenchyma("net"),
    },
    "vessel_contents": {"white_chalky_some_pores": _in_vessels(True), "dark_gum": _in_vessels(False)},
    "grain": {"interlocked_ribbon": _ribbon(True), "not_interlocked": _ribbon(False)},
    "pores_naked_eye": {
        "not_visible": _eye_pores(0, False), "white_dots": _eye_pores(0.8, False),
        "open_pores_seen": _eye_pores(1.9, True),
    },
    "gum_streaks": {"present": _streaks(True), "absent": _streaks(False)},
    "ray_width_vs_pores": {"as_wide_as_largest_pores": _rays_and_pores(12), "narrower_than_pores": _rays_and_pores(3)},
    "pith_flecks": {
        "present": _flecks(4, 2, 9, 24, upright=True), "absent": _flecks(0, 0, 0, 1),
    },
    "ray_spacing_tangential": {
        "scattered_mixed_sizes": _flecks(8, 2, 38, 13, upright=True, mixed=True),
        "crowded_uniformly_large": _flecks(7, 3, 130, 8.5, upright=True),
    },
    "earlywood_pore_rows": {"one": _rows(1), "two_to_four": _rows(3)},
    "resin_canals": {
        "absent": _softwood(), "numerous_conspicuous": _softwood("many"), "few_small": _softwood("few"),
        "traumatic_rows": _softwood("row"),
    },
    "earlywood_latewood_transition": {"gradual": _softwood(abrupt=False), "abrupt": _softwood()},
    "helical_thickening_microscope": {"present": _spirals(True), "absent": _spirals(False)},
}  # fmt: skip
SKETCHES = {(feature, state): sketch for feature, states in _BY_FEATURE.items() for state, sketch in states.items()}
