"""The day book: what was done, one line an entry, never changed. Correcting is a new entry that names the old."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Self

from pydantic import Field, model_validator

from witnessmark.documents import (
    Form,
    Instant,
    LongText,
    Sha256,
    ShortText,
    Table,
    Uuid7,
    Word,
    Written,
    amiss,
    nearest,
    written,
)
from witnessmark.quantities import Area, Mass, Money, Percent, Span, Temperature, Volume

from .words import Dried, Stage, What

SCHEMA = 1

SpanText = Annotated[Written, written(Span, "3 h", one=True)]
AreaText = Annotated[Written, written(Area, "1.4 m2", one=True)]
VolumeText = Annotated[Written, written(Volume, "250 ml", one=True, nought=True)]
MassText = Annotated[Written, written(Mass, "60 g", one=True, nought=True)]
TemperatureText = Annotated[Written, written(Temperature, "18 °C", one=True)]
PercentText = Annotated[Written, written(Percent, "55 %", one=True, nought=True)]
MoneyText = Annotated[Written, written(Money, "£120", one=True)]
SaidText = Annotated[str, Field(min_length=1, max_length=200)]


# What each kind can't do without, and how that is asked for.
_PIECE, _PART = "the id or the code of the piece", "the code of the part, as its tag has it"
_WANTS: dict[What, dict[str, str]] = {
    What.CORRECTS: {"corrects": "the id of the entry that is struck out"},
    What.PHOTOGRAPH: {"photograph": "the SHA-256 of the picture's file"},
    What.WORKED: {"minutes": "how long, such as “3 h”, or “don't know”"},
    What.COAT: {"piece": _PIECE, "step": "the step the coat is of"},
    What.OFF: {"piece": _PIECE, "part": _PART},
    What.REFIT: {"piece": _PIECE, "part": _PART},
    What.STAGE: {"piece": _PIECE, "to": f"the stage it is moved to, one of: {', '.join(Stage)}"},
    What.PAID: {"piece": _PIECE, "sum": "what was paid, such as “£120”"},
    What.SIGNED: {
        "photograph": "the SHA-256 of the picture of the signature",
        "to": "what was signed, such as “handing-in receipt”",
    },
    What.ACKNOWLEDGED: {"piece": _PIECE, "to": "the key of the caution that was read"},
    What.TESTED: {
        "amounts": "the jar the drop was from",
        "to": f"what the drop on glass did overnight, one of: {', '.join(Dried)}",
    },
    What.COUNTED: {"amounts": "the jar, and how much stands in it"},
    What.DISCARDED: {"amounts": "the jar that is thrown away"},
}
_TO: dict[What, type[Stage | Dried]] = {What.STAGE: Stage, What.TESTED: Dried}
_OF_A_JAR = frozenset([What.TESTED, What.COUNTED, What.DISCARDED])


class StepAsLogged(Table):
    """The step as it then stood in the plan: it stays a fact when the rules would no longer call for it.

    `labour`, `basis` and how much of it there was let the shop learn its own pace from what it took.
    """

    id: SaidText
    trade_name: SaidText
    parts: tuple[ShortText, ...] = Field(default=(), strict=False)
    labour: ShortText = ""
    basis: ShortText = ""
    area: AreaText | None = None
    count: Annotated[int, Field(ge=1, le=10000)] | None = None
    sessions: Annotated[int, Field(ge=1, le=1000)] = 1


class Amount(Table):
    """So much of a material, and from which jar."""

    material: SaidText
    volume: VolumeText | None = None
    mass: MassText | None = None
    jar: ShortText = ""


class Entry(Table):
    """One entry. `happened` is when it was, `arrived` when it reached the record; both with their offset.

    `to` is to whom a thing was sent, what was signed, the stage a piece was moved to, the key of the caution that was
    read, or what the drop on glass did.
    """

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    id: Uuid7
    what: Word[What]
    who: SaidText
    happened: Instant
    arrived: Instant | None = None
    piece: ShortText = ""
    part: ShortText = ""
    step: StepAsLogged | None = None
    minutes: SpanText | None = None
    amounts: tuple[Amount, ...] = Field(default=(), strict=False)
    temperature: TemperatureText | None = None
    rh: PercentText | None = None
    sum: MoneyText | None = None
    photograph: Sha256 | None = None
    to: ShortText = ""
    corrects: Uuid7 | None = None
    note: LongText = ""

    @model_validator(mode="after")
    def _says_what_its_kind_is_for(self) -> Self:
        for key, expected in _WANTS.get(self.what, {}).items():
            if getattr(self, key) in (None, "", ()):
                raise amiss(expected, key=key)
        if self.corrects == self.id:
            raise amiss("the id of an earlier entry, not its own", key="corrects", found=self.id)
        if self.what is What.AIR and self.temperature is None and self.rh is None:
            raise amiss("the temperature, the humidity, or both", key="temperature")
        if (words := _TO.get(self.what)) and self.to not in list(words):
            raise amiss(_WANTS[self.what]["to"], nearest(self.to, list(words)), key="to", found=self.to)
        for amount in self.amounts if self.what in _OF_A_JAR else ():
            if not amount.jar:
                raise amiss("which jar: `jar` in each of its amounts", key="amounts", found=amount.material)
            if self.what is What.COUNTED and amount.volume is None and amount.mass is None:
                raise amiss("how much stands in it: `volume` or `mass`", key="amounts", found=amount.jar)
        return self

    @property
    def took(self) -> tuple[Amount, ...]:
        """What went onto the piece: of a `used` entry, or of a coat that says what it took."""
        return self.amounts if self.what in {What.USED, What.COAT} else ()

    @property
    def known_at(self) -> datetime:
        """When the record knew of it: when it arrived, or happened where nobody says."""
        return self.arrived or self.happened


@dataclass(frozen=True)
class DayBook:
    """The entries that count, in the order they happened, and those struck out by a correction.

    An entry sent twice counts once. A correction that is itself corrected hands on what it corrected; one that is
    struck out gives it back. Of two corrections of one entry the later one counts.
    """

    entries: tuple[Entry, ...] = ()
    struck: tuple[Entry, ...] = ()

    @classmethod
    def of(cls, entries: Iterable[Entry]) -> Self:
        """The day book in these entries, whatever order they came in."""
        once: dict[str, Entry] = {}
        for entry in entries:
            once.setdefault(entry.id, entry)
        gone: set[str] = set()
        for entry in sorted(once.values(), key=lambda entry: (entry.known_at, entry.id), reverse=True):
            if entry.id in gone:
                continue
            if entry.corrects in gone:  # somebody corrected it later still
                gone.add(entry.id)
            else:
                gone |= _corrected_by(entry, once)
        ordered = sorted(once.values(), key=lambda entry: (entry.happened, entry.id))
        counting = [entry for entry in ordered if entry.id not in gone and entry.what is not What.CORRECTS]
        return cls(tuple(counting), tuple(entry for entry in ordered if entry.id in gone))

    def on_piece(self, *names: str) -> tuple[Entry, ...]:
        """The entries of one piece, by the names they may give it: its id, or its code."""
        return tuple(entry for entry in self.entries if entry.piece and entry.piece in names)


def _corrected_by(entry: Entry, known: dict[str, Entry]) -> set[str]:
    """The ids an entry puts out: the one it corrects, and what that one had corrected, if it takes its place."""
    out: set[str] = set()
    target = entry.corrects
    while target and target not in out and target != entry.id:
        out.add(target)
        corrected = known.get(target)
        target = corrected.corrects if corrected and entry.what is not What.CORRECTS else None
    return out


FORM = Form(Entry, "a day book", "witnessmark daybook new", SCHEMA)
