"""Which of the seven stages a piece is at, by what was seen of it and done to it.

The last fact that bears on it decides:

- *In*: it is here.
- *Looked over*: a finish test, a reading, a trial or something amiss is written down, or looking at it is logged.
- *Quoted*: a price is decided, or was said on its job card.
- *Apart*: a part came off, and no work is logged since.
- *On the bench*: work is logged. Photographing it, testing it and taking it apart are none.
- *Together*: what came off is back and every fixing has its ending. Work after that puts it on the bench again.
- *Out*: by hand only, and back by hand only.

Looking and quoting never bring a piece back from the bench. A stage set by hand holds until a later fact moves it on;
together holds only while no part is off and no fixing open, also when it is said by hand.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import Any

from witnessmark.daybook import DayBook, Entry, Stage, What
from witnessmark.survey import About, Ends, Survey

from .apart_now import FixingNow, moved_in, open_fixings
from .outside import instant_json

# Steps by their rule, or by their kind of work where nobody planned them. All others put a piece on the bench.
_LOOKS = frozenset([
    "record", "spot_tests", "look_missing", "try_joints", "tack_rot", "photograph", "photograph_after",
    "final_photographs", "write_up",
])  # fmt: skip
_BESIDE = frozenset([  # waiting, mixing and taking apart
    "isolate", "isolate_mould", "condition", "condition_wait", "mix", "soak", "stir", "glass_test", "hardware_off",
    "metal_off", "stone_off", "woven_off", "open_joints", "takedown_part", "takedown_fixing", "takedown_joint",
])  # fmt: skip
_PUTS_TOGETHER = frozenset([
    "dry_fit", "glue_up", "spring_joints", "drawer_fit", "hardware_back", "metal_back", "stone_back", "handle_refit",
    "refit_part", "refit_fixing",
])  # fmt: skip
_WORK = frozenset([What.WORKED, What.COAT, What.DONE, What.STARTED, What.USED])
_LONG_AGO = datetime.min.replace(tzinfo=UTC)


@dataclass(frozen=True)
class _Fact:
    """Something that bears on the stage. `to` is where it puts the piece, None where that depends on the others."""

    at: datetime | None
    to: Stage | None
    because: str
    entry: Entry | None = None

    @property
    def what(self) -> What | None:
        return self.entry.what if self.entry else None


@dataclass(frozen=True)
class Reached:
    """When a stage was reached, and by what. `at` is None where only the survey says so, without a day.

    A day of the survey stands as its first instant, in UTC.
    """

    stage: Stage
    at: datetime | None
    because: str
    who: str = ""


@dataclass(frozen=True)
class Standing:
    """The stage of a piece, since when, and the first fact for each stage, whether or not it moved the piece then.

    `holds` says what keeps it from being called together, a line each: never empty where somebody called it together
    by hand and it is not; `refused` is True then.
    """

    stage: Stage
    since: datetime | None
    because: str
    reached: tuple[Reached, ...] = ()
    holds: tuple[str, ...] = ()
    refused: bool = False

    def as_json(self) -> dict[str, Any]:
        return {
            "stage": self.stage.value,
            "place": self.stage.place,
            "since": instant_json(self.since),
            "because": self.because,
            "reached": [
                {"stage": one.stage.value, "at": instant_json(one.at), "because": one.because, "who": one.who}
                for one in self.reached
            ],
            "holds": list(self.holds),
            "refused": self.refused,
        }


def stage_of(survey: Survey, daybook: DayBook) -> Standing:
    """Where a piece stands. Cheap while no part came off; the joints are asked only then."""
    entries = daybook.on_piece(survey.id, survey.piece.code)
    holds = what_holds(survey, daybook)
    now = Reached(Stage.IN, _came(survey, entries), "it came in")
    reached = [now]
    off: set[str] = set()
    refused = False
    for fact in sorted(_facts(survey, entries), key=lambda fact: fact.at or _LONG_AGO):
        to = fact.to
        if fact.entry and fact.what is What.OFF:
            off.add(fact.entry.part)
        elif fact.entry and fact.what is What.REFIT:
            to = Stage.TOGETHER if off == {fact.entry.part} and not holds else None
            off.discard(fact.entry.part)
        if fact.what is What.STAGE:
            refused = to is Stage.TOGETHER and bool(holds)
        if to is None or (fact.what is What.STAGE and refused):
            continue
        reached.append(Reached(to, fact.at, fact.because, fact.entry.who if fact.entry else ""))
        if _moves(fact, to, now.stage):
            now, refused = reached[-1], False
    return Standing(now.stage, now.at, now.because, tuple(_first(reached)), holds, refused)


def _moves(fact: _Fact, to: Stage, now: Stage) -> bool:
    """Whether a fact takes a piece from one stage to another."""
    if to is now:
        return False
    if fact.what is What.STAGE:
        return True
    if now is Stage.OUT:
        return False
    if now is Stage.TOGETHER and fact.entry and fact.entry.step and _kinds(fact.entry) & _PUTS_TOGETHER:
        return False
    return to.place > now.place or to in {Stage.APART, Stage.ON_THE_BENCH}


def what_holds(survey: Survey, daybook: DayBook) -> tuple[str, ...]:
    """What keeps a piece from being called together: parts still off, fixings still open. Empty when nothing does."""
    moved = moved_in(daybook.on_piece(survey.id, survey.piece.code))
    if not moved and not _lying_by(survey):
        return ()
    names = {part.code: part.name for part in survey.part}
    off = [code for code, entry in moved.items() if entry.what is What.OFF]
    parts = [f"{code}, {names[code]}" if names.get(code) else code for code in off]
    return (*(f"{part}: still off" for part in parts), *(_open(fixing) for fixing in open_fixings(survey, moved)))


def _open(fixing: FixingNow) -> str:
    return f"{fixing.says}: still open"


def _lying_by(survey: Survey) -> bool:
    """Whether a fixing lies by that nobody has settled, though no part was logged off."""
    return any(fixing.kept and fixing.ends is Ends.OPEN for joint in survey.joint for fixing in joint.fixing)


def _came(survey: Survey, entries: tuple[Entry, ...]) -> datetime | None:
    """When it came: the day the survey says, else the first that was written down of it."""
    if survey.piece.came_on:
        return _day(survey.piece.came_on)
    return entries[0].happened if entries else None


def _day(day: date) -> datetime:
    return datetime.combine(day, time(), UTC)


def _first(reached: Iterable[Reached]) -> Iterator[Reached]:
    """Each stage once, as it was first reached, in the order of the stages."""
    met: dict[Stage, Reached] = {}
    for one in reached:
        known = met.setdefault(one.stage, one)
        if known.at is None and one.at is not None:
            met[one.stage] = one  # the first whose day is known
    yield from (met[stage] for stage in Stage if stage in met)


def _facts(survey: Survey, entries: Iterable[Entry]) -> Iterator[_Fact]:
    for test in survey.test:
        yield _Fact(_day(test.on) if test.on else None, Stage.LOOKED_OVER, "a finish test is written down")
    for rows, what in ((survey.reading, "a reading"), (survey.trial, "a trial"), (survey.condition, "what is amiss")):
        if rows:
            yield _Fact(None, Stage.LOOKED_OVER, f"{what} is written down")
    if survey.piece.price_said and survey.piece.price_said.known:
        yield _Fact(None, Stage.QUOTED, "a price was said")
    for decision in survey.decision:
        if decision.about is About.PRICE:
            yield _Fact(_day(decision.on), Stage.QUOTED, f"{decision.who} decided the price")
    for entry in entries:
        yield from _logged(entry)


def _logged(entry: Entry) -> Iterator[_Fact]:
    match entry.what:
        case What.STAGE:
            yield _Fact(entry.happened, Stage(entry.to), "moved by hand", entry)
        case What.OFF:
            yield _Fact(entry.happened, Stage.APART, f"{entry.part} came off", entry)
        case What.REFIT:
            yield _Fact(entry.happened, None, "all that came off is back", entry)
        case what if what in _WORK:
            kinds = _kinds(entry)
            said = f"“{entry.step.trade_name}” is logged" if entry.step else "work is logged"
            if kinds & _LOOKS:
                yield _Fact(entry.happened, Stage.LOOKED_OVER, said, entry)
            elif not kinds & _BESIDE:
                yield _Fact(entry.happened, Stage.ON_THE_BENCH, said, entry)


def _kinds(entry: Entry) -> set[str]:
    """The rule its step comes from, and the kind of work it is."""
    return {entry.step.id.partition(".")[0], entry.step.labour} if entry.step else set()
