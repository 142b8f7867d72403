"""Areas: a survey goes in; the net area of every face that is show surface, and their total, come out.

Each is a Working. Whatever is not known widens: a missing size is judged by eye (`by_eye`), and what the
parts listed leave over of the piece stands as a line of its own, until somebody has listed it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from witnessmark.documents import Fault, Faulty
from witnessmark.quantities import Area, Length, NotUnderstood, Range, Unknown, high, low, read, say
from witnessmark.sources import Given, Input, Working, given, rule, work

from . import solids
from .by_eye import face_by_eye, held_to_piece, rest_of_piece, whole_piece
from .faces import BadPart, Face, faces_of, is_turned, within_reason
from .model import Part, Survey
from .profiles import Profile, profile_of, unknown_profile
from .words import Carving, Shape

# Not wood, so nothing to finish: metal, glass and what is covered.
_NOT_WOOD = {Shape.HARDWARE, Shape.GLASS, Shape.MIRROR, Shape.CLOTH, Shape.LEATHER}


@dataclass(frozen=True)
class FaceArea:
    """The net area of one face word of a part, all of its `count` together.

    `part` is None for the piece as a whole, or for what the parts listed leave over of it. `measured` is
    False where it is judged by eye.
    """

    part: str | None
    face: str
    net: Working[Area]
    measured: bool = True


@dataclass(frozen=True)
class Missing:
    """Something not known that widens the total: of which part (None for the piece), which key, in words."""

    part: str | None
    key: str
    says: str
    widens: Area


@dataclass(frozen=True)
class Areas:
    """The areas of a survey. `missing` has first what widens most; `left_out` shows nothing to finish."""

    faces: tuple[FaceArea, ...]
    total: Working[Area]
    missing: tuple[Missing, ...] = ()
    left_out: tuple[tuple[str, str], ...] = ()

    def of(self, part: str) -> Working[Area] | None:
        """All the show surface of one part; None where it has none."""
        faces = {line.face: line.net for line in self.faces if line.part == part}
        return _together(faces) if faces else None


# --- one face of one part ---


def _sizes(part: Part) -> tuple[Length, ...]:
    """The sizes of a part, or none where they are not known. Raises BadPart."""
    if part.size is None or not part.size.known:
        return ()
    sizes: tuple[Length, ...] = part.size.value
    within_reason("size", part.size.text, sizes)
    return sizes


def _turning(part: Part) -> tuple[tuple[Length, ...], tuple[Length, ...]]:
    """The measured heights and diameters of a turning; points not known are left out. Raises BadPart."""
    heights, diameters = [], []
    example = "pairs of height and diameter, such as [“0 mm”, “30 mm”], from one end to the other"
    for pair in part.turning:
        found = ", ".join(str(getattr(side, "text", side)) for side in pair)
        try:
            values: list[Any] = [read(s, Length) if isinstance(s, str) else getattr(s, "value", s) for s in pair]
        except NotUnderstood as error:
            raise BadPart("turning", found, f"{example}: {error.expected}", error.nearest) from None
        if any(isinstance(value, Unknown) for value in values):
            continue
        if any(isinstance(value, Range) for value in values):
            raise BadPart("turning", found, f"{example}: one amount each, not a range")
        within_reason("turning", found, values)
        heights.append(values[0])
        diameters.append(values[1])
    if heights not in (sorted(heights), sorted(heights, reverse=True)):
        raise BadPart("turning", ", ".join(say(h) for h in heights), f"{example}: heights in order")
    return tuple(heights), tuple(diameters)


def _broad(face: Face, part: Part) -> Input:
    return given(f"{part.code} show", face.broad) if face.known else rule("survey", "face_not_said")


def _rim(face: Face, part: Part, length: Input, width: Input, thickness: Input) -> Working[Area]:
    place = f"{part.code} show"
    return work(
        solids.rim_area, length=length, width=width, thickness=thickness,
        edges=given(place, face.edges), ends=given(place, face.ends),
    )  # fmt: skip


def _less(part: Part) -> Working[Area] | None:
    """What comes off a face, as far as it is known."""
    sides = [size.value for size in part.less if size.known]
    if not sides:
        return None
    lengths, widths = (given(f"{part.code} less", tuple(side[at] for side in sides)) for at in (0, 1))
    return work(solids.not_finished, lengths=lengths, widths=widths)


def _net(part: Part, area: Working[Area], less: Working[Area] | None) -> Working[Area]:
    """Raises BadPart where even the widest the face may be is less than what comes off it."""
    if less is None:
        return area
    if high(less.value) > high(area.value):
        found = ", ".join(size.text for size in part.less)
        raise BadPart("less", found, f"less than the face it comes off, which is {say(area.value)}")
    return work(solids.net_area, area=area, less=less)


def _frame_face(part: Part, length: Given, width: Given, profile: Profile | None) -> Working[Area]:
    """One broad face of a frame: by its opening, by its moulding, or as a share of its outer rectangle."""
    less = _less(part)
    member = given(f"{part.code} profile", profile.across) if profile else None
    if profile and member and less is None:
        if profile.across * 2 > min(length.value, width.value):
            raise BadPart("profile", part.profile, "a member at most half as wide as the frame")
        run = work(solids.mitred_run, length=length, width=width, member=member)
        return work(solids.moulded_area, run=run, developed=profile.developed)
    outer = work(solids.flat_area, length=length, width=width, faces=given("one face", 1))
    if less is None:
        return work(solids.frame_area, outer=outer, wood=rule("survey", "frame_members"))
    flat = _net(part, outer, less)
    if profile and member:
        return work(solids.moulded_face, area=flat, developed=profile.developed, member=member)
    return flat


def _turned(part: Part, face: Face, sizes: tuple[Length, ...]) -> Working[Area] | None:
    heights, diameters = _turning(part)
    place = f"{part.code} turning"
    if len(heights) > 1:
        surface = work(solids.turned_area, heights=given(place, heights), diameters=given(place, diameters))
        curve, ends = rule("survey", "turned_between_points"), (diameters[0], diameters[-1])
    elif len(sizes) > 1:
        place = f"{part.code} size"
        surface = work(solids.cylinder_area, length=given(place, sizes[0]), diameter=given(place, sizes[1]))
        curve, ends = rule("survey", "turned_of_cylinder"), (sizes[1], sizes[1])
    else:
        return None
    if face.broad:
        return work(solids.seen_of_turning, surface=surface, curve=curve, faces=_broad(face, part))
    if face.edges:
        raise BadPart("show", face.word, "a face of a turning: all round, front for half of it, or an end", "all round")
    # Of one end we are not told which: the larger is taken.
    discs = ends if face.ends == 2 else (max(ends),)
    return work(solids.discs_area, diameters=given(place, discs))


def _flat(part: Part, face: Face, sizes: tuple[Length, ...]) -> Working[Area] | None:
    """A board, panel, frame, moulding or carved part; None where its sizes don't reach."""
    place = f"{part.code} size"
    framed, moulded = part.shape is Shape.FRAME, part.shape is Shape.MOULDING
    # The section of a moulding is its own; a frame is wider than its member, a board than its moulded edge.
    profile = profile_of(part.profile, sizes[1:] if moulded else (), f"{part.code} profile")
    if len(sizes) > 1:
        width = given(place, sizes[1])
    elif sizes and moulded and profile:
        width = given(f"{part.code} profile", profile.across)
    else:
        return None
    length = given(place, sizes[0])
    thickness: Input = given(place, sizes[2]) if len(sizes) > 2 else rule("survey", "board_thickness")
    if profile and not (moulded or framed):
        thickness = profile.developed  # the edge is moulded
    pieces: dict[str, Working[Area]] = {}
    if framed and face.broad:
        pieces["faces"] = _frame_face(part, length, width, profile)
        if face.broad > 1 or not face.known:
            pieces["faces"] = work(solids.area_of_alike, area=pieces["faces"], number=_broad(face, part))
    elif moulded and face.broad and face.known:
        developed = profile.developed if profile else unknown_profile(width, thickness)
        pieces["moulded"] = work(solids.moulded_area, run=length, developed=developed)
        if face.broad > 1:
            pieces["back"] = work(solids.flat_area, length=length, width=width, faces=given("its back", 1))
    elif face.broad:
        pieces["faces"] = work(solids.flat_area, length=length, width=width, faces=_broad(face, part))
    if face.edges or face.ends:
        pieces["edges and ends"] = _rim(face, part, length, width, thickness)
    return _together(pieces)


def _worked(part: Part, face: Face, area: Working[Area]) -> Working[Area]:
    """With its carving, which is on the broad faces, and the doubt of an unknown shape."""
    if part.shape is Shape.UNKNOWN and not part.turning:
        area = work(solids.unsure_area, area=area, allowance=rule("survey", "unknown_shape"))
    if face.broad and (part.carving or part.shape is Shape.CARVED):
        depth = part.carving.value if isinstance(part.carving, Carving) else "somehow"
        area = work(solids.carved_area, area=area, carving=rule("survey", f"carved_{depth}"))
    return area


def _net_of_less(part: Part, areas: dict[Face, Working[Area]]) -> None:
    """Takes what is not finished off the largest face. Of a frame, openings are off every face already."""
    if not part.less or part.shape is Shape.FRAME or not areas:
        return
    face = max(areas, key=lambda one: high(areas[one].value))
    areas[face] = _net(part, areas[face], _less(part))
    if any(not size.known for size in part.less):
        areas[face] = work(solids.unsure_area, area=areas[face], allowance=rule("survey", "less_not_known"))


def _parts_faces(part: Part, survey: Survey) -> Iterator[FaceArea]:
    """The faces of one part. Raises BadPart."""
    sizes = _sizes(part)
    faces = [face for face in faces_of(part) if face.broad or face.edges or face.ends]
    measured: dict[Face, Working[Area]] = {}
    for face in faces:
        area = _turned(part, face, sizes) if is_turned(part) else _flat(part, face, sizes)
        if area is not None:
            measured[face] = _worked(part, face, area)
    _net_of_less(part, measured)
    for face in faces:
        net = measured[face] if face in measured else face_by_eye(part, face, survey.piece)
        if part.count > 1:
            net = work(solids.area_of_alike, area=net, number=given(f"{part.code} count", part.count))
        yield FaceArea(part.code, face.word, net, measured=face in measured)


# --- the piece ---

_AT_ONCE = 6  # A sum of ranges is worked at every corner, which doubles with each: so a few at a time.


def _together(areas: dict[str, Working[Area]]) -> Working[Area]:
    """The sum, each under its name; many are added in groups, named from first to last."""
    while len(areas) > _AT_ONCE:
        names = list(areas)
        groups = [names[at : at + _AT_ONCE] for at in range(0, len(names), _AT_ONCE)]
        areas = {
            group[0] if len(group) == 1 else f"{group[0]} to {group[-1]}": _together(
                {name: areas[name] for name in group}
            )
            for group in groups
        }
    if len(areas) == 1:
        return next(iter(areas.values()))
    return work(solids.area_together, **areas)


def _width(area: Working[Area]) -> Area:
    difference: Area = high(area.value) - low(area.value)
    return difference


def _gathered(survey: Survey, where: str) -> tuple[list[FaceArea], list[Missing], list[tuple[str, str]], list[Fault]]:
    faces: list[FaceArea] = []
    missing: list[Missing] = []
    left_out: list[tuple[str, str]] = []
    faults: list[Fault] = []
    size = survey.piece.size
    if size is not None and size.known:
        try:
            within_reason("size", size.text, size.value)
        except BadPart as bad:
            faults.append(Fault(where, "piece.size", bad.found, bad.expected))
    for number, part in enumerate(survey.part, 1):
        if part.shape in _NOT_WOOD:
            left_out.append((part.code, f"{part.shape.value}: nothing to finish"))
            continue
        try:
            found = list(_parts_faces(part, survey))
        except BadPart as bad:
            faults.append(Fault(where, f"part[{number}].{bad.key}", bad.found, bad.expected, nearest=bad.nearest))
            continue
        faces += found
        if not found:
            left_out.append((part.code, "nothing of it shows" if part.show else "nobody said what of it shows"))
        missing += _wanting(part, found)
    return faces, missing, left_out, faults


def _wanting(part: Part, found: Sequence[FaceArea]) -> Iterator[Missing]:
    """What is not known of a part and widens its faces."""
    wide = sum((_width(line.net) for line in found), Area(0.0))
    if any(not line.measured for line in found):
        yield Missing(part.code, "size", f"{part.code}, {part.name}: no size, so judged by eye", wide)
    elif found and not all(face.known for face in faces_of(part)):
        yield Missing(part.code, "show", f"{part.code}, {part.name}: which faces show is not known", wide)
    elif found and any(not size.known for size in part.less):
        yield Missing(part.code, "less", f"{part.code}, {part.name}: how much is covered is not known", wide)
    elif found and part.shape is Shape.UNKNOWN and not part.turning:
        yield Missing(part.code, "shape", f"{part.code}, {part.name}: no shape, so reckoned as a board", wide)


def area_faults(survey: Survey, where: str = "survey") -> tuple[Fault, ...]:
    """What must be mended before areas can be told: face words, profiles, turnings, openings too large."""
    return tuple(_gathered(survey, where)[3])


def areas_of(survey: Survey, where: str = "survey") -> Areas:
    """The areas of a survey, with a total even where nothing was measured. Raises Faulty with its faults."""
    faces, missing, left_out, faults = _gathered(survey, where)
    if faults:
        raise Faulty(faults)
    whole = whole_piece(survey.piece)
    unsized = survey.piece.size is None or not survey.piece.size.known
    if not faces:
        faces = [FaceArea(None, "whole piece", whole, measured=False)]
        says = (
            "The size of the piece is not known: its surface is judged by its kind alone"
            if unsized
            else "No part with a face that shows is written down: its surface is judged by its whole size"
        )
        missing.append(Missing(None, "size" if unsized else "part", says, _width(whole)))
        return Areas(tuple(faces), whole, tuple(missing), tuple(left_out))
    listed = _together({f"{line.part} {line.face}": line.net for line in faces})
    total = _held(faces, survey) or listed
    if high(listed.value) < low(whole.value):
        # So little of such a piece can't be all of it: likely the rest has not been listed yet.
        share = rule("survey", "parts_not_listed")
        rest = work(rest_of_piece, show_surface=whole, listed=listed, share=share)
        faces.append(FaceArea(None, "parts not listed", rest, measured=False))
        says = f"the parts listed come to {say(listed.value)}; such a piece shows {say(whole.value)}"
        missing.append(Missing(None, "part", says, _width(rest)))
        total = work(solids.area_together, **{"parts listed": listed, "parts not listed": rest})
    missing.sort(key=lambda one: one.widens, reverse=True)
    return Areas(tuple(faces), total, tuple(missing), tuple(left_out))


def _held(faces: Sequence[FaceArea], survey: Survey) -> Working[Area] | None:
    """The total where parts are judged by eye: many wide guesses at parts are held to one guess at the whole.

    None where nothing is judged by eye, or where the two judgements do not meet: then the parts listed stand.
    """
    by_eye = {f"{line.part} {line.face}": line.net for line in faces if not line.measured}
    if not by_eye:
        return None
    known = {f"{line.part} {line.face}": line.net for line in faces if line.measured}
    measured = _together(known) if known else work(solids.area_together)
    guessed, (least, most) = _together(by_eye), (whole_piece(survey.piece, end) for end in ("low", "high"))
    room = low(most.value) - high(measured.value)
    if low(guessed.value) >= room or high(guessed.value) <= high(least.value) - low(measured.value):
        return None
    rest = work(held_to_piece, by_eye=guessed, measured=measured, least=least, most=most)
    return work(solids.area_together, measured=measured, not_measured=rest) if known else rest


def areas_answer(areas: Areas) -> dict[str, Any]:
    """The result of `survey areas`: `{"faces": [{"part", "face", "net"}], "total"}`, areas as Workings."""
    faces = [{"part": line.part, "face": line.face, "net": line.net} for line in areas.faces]
    return {"faces": faces, "total": areas.total}
