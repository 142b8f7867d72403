"""What the taking-apart page shows of a piece: the map, what is next off, the order, and one part freed."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from witnessmark.daybook import DayBook
from witnessmark.documents import Faulty, Refused
from witnessmark.papers import Voice
from witnessmark.plan import ApartNow, PartNow, Place, apart_now
from witnessmark.safety import Level, Task, cautions_for, hazards_in
from witnessmark.shop import Shop
from witnessmark.survey import Fixing, FixingKind, Joint, Survey, main_body_of
from witnessmark.takedown import CantPart, Takedown, Taken, harm_in_words, part_named, takedown

from .drawings import MapPart

_SAID = 5  # fixings of the part that is next, one by one; its own page says all


@dataclass(frozen=True)
class Line:
    """A part in the order off. `turn` counts from 1; None for a part that nobody plans to take off."""

    turn: int | None
    now: PartNow
    state: str  # off, next, on, back
    way: str = ""
    note: str = ""
    harm: str = ""
    joints: tuple[str, ...] = ()
    fixings: str = ""
    along: tuple[str, ...] = ()

    @property
    def code(self) -> str:
        return self.now.code

    @property
    def name(self) -> str:
        return self.now.name or "not named yet"

    @property
    def care(self) -> str:
        """A warning on the map: only where taking it off may do more than slight harm."""
        heed = self.state in {"next", "on"} and self.harm not in {"", "no harm", "slight harm"}
        return self.harm if heed else ""


@dataclass(frozen=True)
class NextOff:
    """All about the part that comes off next."""

    line: Line
    held: str
    fixings: tuple[str, ...]
    frees: tuple[str, ...]


@dataclass(frozen=True)
class FreedPart:
    """The least that must come apart to free one part, in words; `refused` says why it can't be freed."""

    code: str
    joints: tuple[str, ...] = ()
    first_off: tuple[str, ...] = ()
    fixings: tuple[str, ...] = ()
    harm: str = ""
    proved: bool = True
    refused: str = ""


@dataclass(frozen=True)
class PieceApart:
    """A piece as it comes apart: what is planned and what was logged."""

    survey: Survey
    taken: Takedown | None
    warning: str
    now: ApartNow
    lines: tuple[Line, ...]

    @property
    def planned(self) -> tuple[Line, ...]:
        return tuple(line for line in self.lines if line.turn is not None)

    @property
    def others(self) -> tuple[Line, ...]:
        """Parts that are on and that nobody plans to take off; the body they come off from is none."""
        body = main_body_of(self.survey.piece.kind).name
        return tuple(line for line in self.lines if line.turn is None and line.state == "on" and line.name != body)

    @property
    def next(self) -> Line | None:
        return next((line for line in self.lines if line.state == "next"), None)

    @property
    def nameless(self) -> tuple[PartNow, ...]:
        return tuple(part for part in self.now.parts if part.known and not part.name)

    def map(self) -> tuple[MapPart, ...]:
        """The parts as the map draws them: those in the order off, in order, then what else is off or on the front."""
        within = {part.code for part in self.survey.part if part.of}  # shown with what they are part of
        drawn = [line for line in self.lines if line.turn is not None or line.state == "off" or line.code not in within]
        ordered = sorted(drawn, key=lambda line: line.turn or len(self.lines) + 1)
        return tuple(
            MapPart(
                line.code,
                line.name,
                {"off": "off", "next": "next"}.get(line.state, "on"),  # type: ignore[arg-type]
                line.turn,
                line.care,
            )
            for line in ordered
        )


def piece_apart(survey: Survey, book: DayBook, shop: Shop) -> PieceApart:
    """How a piece comes apart and how far it is."""
    taken, warning = None, ""
    if survey.joint:
        try:
            taken = takedown(survey)
        except CantPart as ring:
            warning = str(ring)
    now = apart_now(survey, book, shop)
    return PieceApart(survey, taken, warning, now, tuple(_lines(survey, taken, now)))


def _lines(survey: Survey, taken: Takedown | None, now: ApartNow) -> Iterable[Line]:
    parts = {part.code: part for part in now.parts}
    met: set[str] = set()
    is_next = True
    for turn, each in enumerate(taken.order if taken else (), 1):
        part = parts[each.take]
        state = {Place.OFF: "off", Place.BACK: "back", Place.ON: "on"}[part.place]
        if state == "on" and is_next:
            state, is_next = "next", False
        met.add(each.take)
        yield Line(turn, part, state, *_how(each))
    for part in now.parts:
        if part.code not in met:
            state = {Place.OFF: "off", Place.BACK: "back", Place.ON: "on"}[part.place]
            out = [one.fixing for one in part.fixings if one.part == part.code]
            yield Line(None, part, state, fixings=fixings_said(out))


def _how(each: Taken) -> tuple[str, str, str, tuple[str, ...], str, tuple[str, ...]]:
    way = str(each.way.value) if each.way else ""
    return way, each.note, harm_in_words(each.harm), each.joints, fixings_said(each.fixings), each.along


def fixings_said(fixings: Iterable[Fixing]) -> str:
    """Fixings in a few words: “S1–S6, bag 3; N7, hole only”."""
    kept: dict[str, list[str]] = {}
    for fixing in fixings:
        kept.setdefault(fixing.kept, []).append(fixing.code)
    return "; ".join(", ".join(filter(None, (_run(codes), where))) for where, codes in kept.items())


def _run(codes: list[str]) -> str:
    return f"{codes[0]}–{codes[-1]}" if len(codes) > 3 else ", ".join(codes)


def next_off(apart: PieceApart) -> NextOff | None:
    """What comes off next, how it is held, and what it frees."""
    line = apart.next
    if line is None or apart.taken is None:
        return None
    each = next(one for one in apart.taken.order if one.take == line.code)
    joints = [joint for joint in apart.survey.joint if joint.code in each.joints]
    said = [
        f"{fixing.code}{_kind(fixing)}{f', {fixing.hole}' if fixing.hole else ''}"
        f"{f', {fixing.size}' if fixing.size else ''}"
        for fixing in each.fixings
    ]
    if len(said) > _SAID:
        said = [*said[: _SAID - 1], f"and {len(said) - _SAID + 1} more"]
    held = "; ".join(held_by(joint) for joint in joints) or "nothing"
    return NextOff(line, held, tuple(said), tuple(_frees(apart, line)))


def _kind(fixing: Fixing) -> str:
    return "" if fixing.kind is FixingKind.UNKNOWN else f" {fixing.kind.value}"


def held_by(joint: Joint) -> str:
    """A joint in words: how it is made, what holds it, what state it is in."""
    made = "" if joint.made == "don't know" else f" {joint.made},"
    held = " and ".join(held.value for held in joint.held if held.value != "don't know")
    state = "" if joint.state.value == "don't know" else f", {joint.state.value}"
    return f"{joint.code}:{made} {held or 'nobody wrote how'}{state}"


def _frees(apart: PieceApart, line: Line) -> Iterable[str]:
    """The parts further on in the order that can't come off before this one is off."""
    for later in apart.planned:
        if later.turn is None or line.turn is None or later.turn <= line.turn:
            continue
        freed = freed_part(apart.survey, later.code)
        if line.code in freed.first_off:
            yield later.code


def freed_part(survey: Survey, code: str) -> FreedPart:
    """The least harm that frees one part."""
    try:
        taken = takedown(survey, part_named(survey, code, "free"))
    except (Faulty, Refused) as error:
        return FreedPart(code, refused=str(error))
    free = taken.free
    if free is None:
        return FreedPart(code)
    return FreedPart(free.part, free.joints, free.first_off, free.fixings, harm_in_words(free.harm.value), free.proved)


def cautions_apart(survey: Survey, taken: Takedown | None, region: str) -> list[dict[str, str]]:
    """The cautions that bind taking it apart, Stop before Mind."""
    found = tuple(hazard.key for hazard in hazards_in(survey, region=region))
    asked = cautions_for(Task("take apart", lifting=True, found=found), region=region)
    said = [{"level": str(each.level.value), "says": each.says, "ask": each.ask} for each in asked]
    if taken and taken.looks:
        look = f"Look for the last man’s screw under a plug in {', '.join(taken.looks)} before you pull."
        at = sum(each.level is Level.STOP for each in asked)
        said.insert(at, {"level": "Mind", "says": look, "ask": ""})
    return said


def when_said(part: PartNow, voice: Voice) -> str:
    """Since when a part is where it is, and by whom: “Mon 9 Nov, 10:20, Helper”."""
    return f"{_moment(part.since, voice)}, {part.who}" if part.since else ""


def _moment(instant: datetime, voice: Voice) -> str:
    return voice.moment(instant)
