"""The survey of one piece: what was seen and measured, what is wished, what was decided.

Everything but the piece's kind may be left out or be “don't know”: that widens ranges and adds a look worth taking.
Amounts keep the words they were written in (`documents.Written`). Directions are as you face the piece.
"""

from datetime import date, datetime
from typing import Annotated, Any, Self, TypeVar

from pydantic import BaseModel, ConfigDict, Field, field_validator, model_validator
from pydantic_core import PydanticCustomError

from witnessmark.documents import Written, nearest, written
from witnessmark.quantities import Area, Length, Mass, Percent, Span, Temperature, Volume

from . import words
from .condition import condition_named

SCHEMA = 1

LengthText = Annotated[Written, written(Length, "20 mm")]
SizeText = Annotated[Written, written("size", "900 x 450 x 20 mm")]
AreaText = Annotated[Written, written(Area, "0.1 m2")]
MassText = Annotated[Written, written(Mass, "1.2 kg")]
VolumeText = Annotated[Written, written(Volume, "250 ml")]
SpanText = Annotated[Written, written(Span, "12 min")]
PercentText = Annotated[Written, written(Percent, "55 %")]
TemperatureText = Annotated[Written, written(Temperature, "18 °C", one=True)]
MoneyText = Annotated[Written, written("money", "£120")]

E = TypeVar("E")
Word = Annotated[E, Field(strict=False)]
ShortText = Annotated[str, Field(max_length=200)]
Code = Annotated[str, Field(pattern=r"^[A-Z0-9][A-Z0-9.-]{0,11}$", examples=["TOP"])]
Sha256 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
PositiveCount = Annotated[int, Field(ge=1, le=500)]


class Table(BaseModel):
    """What every table of a survey shares: no unknown keys, no silent conversions, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class Piece(Table):
    """The overall facts, and how it came."""

    kind: Word[words.PieceKind]
    title: ShortText = ""
    code: ShortText = ""
    owner: ShortText = ""
    came: Word[words.Came] = words.Came.UNKNOWN
    came_from: Word[words.CameFrom] = words.CameFrom.UNKNOWN
    came_on: date | None = None
    promised: date | None = None
    price_paid: MoneyText | None = None
    made: ShortText = "don't know"
    region: ShortText = "any"
    size: SizeText | None = None
    weight: MassText | None = None
    show_wood: ShortText = "don't know"
    other_wood: ShortText = "don't know"
    veneered: Word[words.YesNo] = words.YesNo.UNKNOWN
    veneer_thickness: LengthText | None = None
    marks: ShortText = ""
    loose_bits: tuple[ShortText, ...] = Field(default=(), strict=False)
    note: str = ""


class Finish(Table):
    """The old finish: what it is, or “don't know” and the tests below."""

    kind: Word[words.OldFinish] = words.OldFinish.UNKNOWN
    state: ShortText = "don't know"
    waxed_over: Word[words.YesNo] = words.YesNo.UNKNOWN
    note: str = ""


class Test(Table):
    """One test of the old finish: which, on which part, and what it did."""

    test: ShortText
    state: ShortText
    part: Code | None = None
    on: date | None = None
    who: ShortText = ""


class Reading(Table):
    """One feature looked for, for the date or the wood."""

    about: Annotated[str, Field(pattern="^(date|wood)$")]
    feature: ShortText
    state: ShortText = ""
    seen: Word[words.Seen] = words.Seen.SEEN
    part: Code | None = None
    later: Word[words.YesNo] = words.YesNo.UNKNOWN


class Part(Table):
    """One part, or several alike. `size` is along the grain × across it × thick."""

    code: Code
    name: ShortText
    of: Code | None = None
    count: PositiveCount = 1
    wood: ShortText = "don't know"
    shape: Word[words.Shape] = words.Shape.UNKNOWN
    size: SizeText | None = None
    profile: ShortText = ""
    turning: tuple[tuple[str, str], ...] = Field(default=(), strict=False)
    carving: Word[words.Carving] | None = None
    show: tuple[ShortText, ...] = Field(default=(), strict=False)
    less: tuple[SizeText, ...] = Field(default=(), strict=False)
    sawn: Word[words.Sawn] = words.Sawn.UNKNOWN
    veneered: Word[words.YesNo] = words.YesNo.UNKNOWN
    veneer_thickness: LengthText | None = None
    finish: Word[words.OldFinish] | None = None
    weight: MassText | None = None
    sat: ShortText = ""
    up: ShortText = ""
    maker_mark: ShortText = ""
    kept: ShortText = ""
    note: str = ""


class Fixing(Table):
    """One screw, nail or peg, its own hole, and how it ends."""

    code: Code
    kind: Word[words.FixingKind] = words.FixingKind.UNKNOWN
    hole: ShortText = ""
    size: ShortText = ""
    kept: ShortText = ""
    ends: Word[words.Ends] = words.Ends.OPEN
    why: ShortText = ""
    by: ShortText = ""

    @model_validator(mode="after")
    def _reason(self) -> Self:
        if self.ends is words.Ends.NOT_BACK and not self.why:
            raise _fault("why it is not going back, in `why`")
        if self.ends is words.Ends.REPLACED and not self.by:
            raise _fault("what replaces it, in `by`")
        return self


class Joint(Table):
    """Where two or more parts meet. `withdraw` is the way the first part comes away from the others."""

    code: Code
    parts: Annotated[tuple[Code, ...], Field(min_length=2, strict=False)]
    made: ShortText = "don't know"
    held: tuple[Word[words.Held], ...] = Field(default=(words.Held.UNKNOWN,), strict=False)
    state: Word[words.JointState] = words.JointState.UNKNOWN
    withdraw: Word[words.Way] = words.Way.UNKNOWN
    length: LengthText | None = None
    across_grain: Word[words.YesNo] = words.YesNo.UNKNOWN
    slack: LengthText | None = None
    hidden_metal: Word[words.YesNo] = words.YesNo.UNKNOWN
    fixing: tuple[Fixing, ...] = Field(default=(), strict=False)
    note: str = ""


class Condition(Table):
    """Something amiss, in a word of the condition list, and where."""

    term: ShortText
    part: Code | None = None
    severity: Word[words.Severity] = words.Severity.UNKNOWN
    count: PositiveCount = 1
    area: AreaText | None = None
    length: LengthText | None = None
    note: str = ""

    @field_validator("term")
    @classmethod
    def _listed(cls, term: str) -> str:
        condition_named(term)  # raises with the nearest right term
        return term


class Trial(Table):
    """A timed trial patch."""

    step: ShortText
    area: AreaText
    minutes: SpanText
    part: Code | None = None
    first: bool = True
    good_enough: bool = True


class Air(Table):
    """The air where the piece stands: a reading with its time."""

    at: datetime
    temperature: TemperatureText | None = None
    rh: PercentText | None = None


class Moisture(Table):
    """A meter reading of a part, or the weight of a loose one, week by week."""

    at: datetime
    part: Code | None = None
    mc: PercentText | None = None
    weight: MassText | None = None


class Photograph(Table):
    """A photograph, known by the SHA-256 of its file."""

    sha256: Sha256
    file: ShortText = ""
    shows: tuple[Code, ...] = Field(default=(), strict=False)
    caption: ShortText = ""
    taken: datetime | None = None


class Wishes(Table):
    """What is wanted of the piece."""

    keep: Word[words.Keep] = words.Keep.UNKNOWN
    use: Word[words.Use] = words.Use.UNKNOWN
    sheen: Word[words.Sheen] = words.Sheen.UNKNOWN
    undoable: Word[words.YesNo] = words.YesNo.UNKNOWN
    spend_up_to: MoneyText | None = None
    sells_for: MoneyText | None = None
    sells_as_found: MoneyText | None = None
    note: str = ""


class Decision(Table):
    """What somebody chose by hand: it wins over the rules, and says who, when and why."""

    about: Word[words.About]
    choose: ShortText = ""
    step: ShortText = ""
    part: Code | None = None
    minutes: SpanText | None = None
    after: ShortText = ""
    price: MoneyText | None = None
    who: ShortText
    on: date
    why: ShortText


class Survey(Table):
    """The whole survey. The arrays are named in the singular, as TOML writes them: `[[part]]`, `[[joint]]`."""

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    id: Annotated[str, Field(pattern=r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")]
    piece: Piece
    finish: Finish = Finish()
    wishes: Wishes = Wishes()
    part: tuple[Part, ...] = Field(default=(), strict=False)
    joint: tuple[Joint, ...] = Field(default=(), strict=False)
    condition: tuple[Condition, ...] = Field(default=(), strict=False)
    test: tuple[Test, ...] = Field(default=(), strict=False)
    reading: tuple[Reading, ...] = Field(default=(), strict=False)
    trial: tuple[Trial, ...] = Field(default=(), strict=False)
    air: tuple[Air, ...] = Field(default=(), strict=False)
    moisture: tuple[Moisture, ...] = Field(default=(), strict=False)
    photograph: tuple[Photograph, ...] = Field(default=(), strict=False)
    decision: tuple[Decision, ...] = Field(default=(), strict=False)

    def parts_by_code(self) -> dict[str, Part]:
        return {part.code: part for part in self.part}


def _fault(expected: str, near: str | None = None) -> PydanticCustomError:
    return PydanticCustomError("fault", "{expected}", {"expected": expected, "nearest": near})


__all__ = ["SCHEMA", "Any", "Survey", "Written", "nearest"]
