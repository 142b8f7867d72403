"""Areas judged by eye: what a restorer says of a piece of which no more is measured than, perhaps, the whole.

A piece is taken as the box around it, wide × deep × high as you face it. Its show surface is a share of the
sides of that box, by the kind of piece (`whole_pieces.csv`); one part's is a share of one side, by its name
(`named_parts.csv`). Wide ranges, all from memory: they let ten facts give a first plan, and go as parts are
measured.
"""

import re
from functools import cache

from witnessmark.quantities import Area, Length
from witnessmark.sources import Figure, Input, Row, Working, formula, given, row, rule, table, work

from .faces import Face
from .model import Part, Piece
from .solids import flat_area, frame_area, rim_area
from .words import Shape

_NOUN_ENDS = re.compile(r",|\b(?:of|on|in|or|and|between|under|over|that|for|at)\b")
_SIDES = {"top": ("wide", "deep"), "end": ("deep", "high"), "front": ("wide", "high")}


@formula("show surface = share × (tops × wide × deep + ends × deep × high + fronts × wide × high)")
def show_surface(
    wide: Length, deep: Length, high: Length, tops: float, ends: float, fronts: float, share: float
) -> Area:
    """The show surface of a whole piece, from the box around it."""
    sides = Area.rectangle(wide, deep) * tops + Area.rectangle(deep, high) * ends
    return (sides + Area.rectangle(wide, high) * fronts) * share


@formula("area = side of the piece × share of it that one face of the part takes × faces")
def area_by_eye(side: Area, share: float, faces: float) -> Area:
    """One part's faces, as a share of a side of the piece."""
    return side * share * faces


@formula("not measured = parts judged by eye, held to what the piece shows less what is measured")
def held_to_piece(by_eye: Area, measured: Area, least: Area, most: Area) -> Area:
    """What is not measured, by both judgements: no less than the piece leaves over at the least, no more than at most.

    `least` and `most` are the show surface of the whole piece at its ends.
    """
    return min(max(by_eye, least - measured), most - measured)


@formula("rest = share of it there to be finished × (show surface − parts listed, or nothing)")
def rest_of_piece(show_surface: Area, listed: Area, share: float) -> Area:
    """What the parts listed leave over of the piece's show surface as judged by eye."""
    return max(show_surface - listed, Area(0.0)) * share


def _figure(cells: Row, name: str, kind: type, end: str = "") -> Figure:
    """A range of the table, or one `end` of it: low or high."""
    unit = "_mm" if kind is Length else ""
    if end:
        figure = cells.figure(f"{name}_{end}{unit}", kind)
    else:
        figure = cells.range_figure((f"{name}_low{unit}", f"{name}_usual{unit}", f"{name}_high{unit}"), kind)
    assert figure is not None, f"{cells.table}, line {cells.line}: no {name}"
    return figure


def _plain(cells: Row, name: str) -> Figure:
    figure = cells.figure(name, float)
    assert figure is not None, f"{cells.table}, line {cells.line}: no {name}"
    return figure


def _box(piece: Piece, end: str = "") -> dict[str, Input]:
    """The box around a piece, as measured; else as such pieces usually are, or are at one `end`, low or high."""
    cells = row("survey", "whole_pieces.csv", piece.kind.value, key="kind")
    box: dict[str, Input] = {name: _figure(cells, name, Length, end) for name in ("wide", "deep", "high")}
    if piece.size is not None and piece.size.known:
        sizes = piece.size.value
        # Two sizes are those you see: a mirror is so wide and so high.
        names = {3: ("wide", "deep", "high"), 2: ("wide", "high")}.get(len(sizes), ())
        box |= {name: given("piece.size", size) for name, size in zip(names, sizes, strict=False)}
    return box


def whole_piece(piece: Piece, end: str = "") -> Working[Area]:
    """The show surface of a whole piece, from its size, or from its kind alone where that is all there is.

    A range, or one `end` of it: low or high.
    """
    cells = row("survey", "whole_pieces.csv", piece.kind.value, key="kind")
    sides = {name: _plain(cells, name) for name in ("tops", "ends", "fronts")}
    return work(show_surface, **_box(piece, end), **sides, share=_figure(cells, "share", float, end))


@cache
def _names() -> tuple[tuple[re.Pattern[str], Row], ...]:
    rows = table("survey", "named_parts.csv", key="name")
    return tuple(
        (re.compile(rf"\b{re.escape(name)}s?\b"), cells)
        for cells in rows
        for name in (cells.key, *cells.keys_in("aliases"))
    )


def _named(part: Part) -> Row:
    """The row for a part's name: its last noun says what it is, so a top rail of the back is a rail."""
    name = _NOUN_ENDS.split(part.name.lower())[0]
    hits = [
        (found.end(), found.end() - found.start(), cells)
        for pattern, cells in _names()
        for found in pattern.finditer(name)
    ]
    return max(hits, key=lambda hit: hit[:2])[2] if hits else row("survey", "named_parts.csv", "part", key="name")


def face_by_eye(part: Part, face: Face, piece: Piece) -> Working[Area]:
    """One face word of one part of which the size is not known."""
    cells, box = _named(part), _box(piece)
    length, width = (box[name] for name in _SIDES[cells["side"]])
    place = f"{part.code} show"
    if not face.broad:
        edges, ends = given(place, face.edges), given(place, face.ends)
        thickness = rule("survey", "board_thickness")
        return work(rim_area, length=length, width=width, thickness=thickness, edges=edges, ends=ends)
    side = work(flat_area, length=length, width=width, faces=given("one side", 1))
    if part.shape is Shape.FRAME:
        side = work(frame_area, outer=side, wood=rule("survey", "frame_members"))
    faces = given(place, face.broad) if face.known else rule("survey", "face_not_said")
    return work(area_by_eye, side=side, share=_figure(cells, "share", float), faces=faces)
