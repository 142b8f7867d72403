"""The survey of one piece: what was seen and measured, what is wished, what was decided.

Everything but the kind of piece may be left out or be “don't know”: that widens ranges and adds a look to take.
Amounts keep the words they were written in (`documents.Written`). Directions are as you face the piece.
"""

from datetime import date
from itertools import count
from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from witnessmark.documents import (
    Day,
    Form,
    Instant,
    InstantIfAny,
    LongText,
    Sha256,
    ShortText,
    Table,
    Uuid7,
    Word,
    WordIfAny,
    Written,
    amiss,
    or_unknown,
    spelt,
    written,
)
from witnessmark.quantities import Area, Length, Mass, Money, Percent, Span, Temperature

from . import words
from .condition import condition_named, known_term
from .woods import known_wood

SCHEMA = 1

LengthText = Annotated[Written, written(Length, "20 mm")]
SlackText = Annotated[Written, written(Length, "2 mm", nought=True)]
SizeText = Annotated[Written, written("size", "900 x 450 x 20 mm")]
PartSizeText = Annotated[Written, written("size", "900 x 450 x 20 mm", sides=(1, 2, 3))]
OpeningText = Annotated[Written, written("size", "300 x 200 mm", sides=(2,))]
AreaText = Annotated[Written, written(Area, "0.1 m2")]
MassText = Annotated[Written, written(Mass, "1.2 kg")]
SpanText = Annotated[Written, written(Span, "12 min")]
PercentText = Annotated[Written, written(Percent, "55 %", nought=True)]
TemperatureText = Annotated[Written, written(Temperature, "18 °C", one=True)]
MoneyText = Annotated[Written, written(Money, "£120")]

SaidText = Annotated[str, Field(min_length=1, max_length=200)]
WoodText = Annotated[ShortText, AfterValidator(known_wood)]
Code = Annotated[
    str,
    spelt(
        "[A-Z0-9][A-Z0-9.-]{0,11}",
        "a code of at most twelve capitals, digits, dots and dashes, such as TOP or DR1.F",
        lambda text: text.strip().upper().replace(" ", "-").replace("_", "-"),
    ),
]
PartCode = Annotated[Code | None, or_unknown()]
Count = Annotated[int, Field(ge=1, le=500)]
CountOrNone = Annotated[Annotated[int, Field(ge=0, le=500)] | None, or_unknown()]
Share = Annotated[float, Field(ge=0, le=1)]


class Piece(Table):
    """The overall facts, and how it came. `size` is wide × deep × high as you face it.

    A job card is a piece with its `job` in one line and the price that was said for it.
    """

    kind: Word[words.PieceKind]
    title: ShortText = ""
    code: ShortText = ""
    owner: ShortText = ""
    came: Word[words.Came] = words.Came.UNKNOWN
    came_from: Word[words.CameFrom] = words.CameFrom.UNKNOWN
    came_on: Day = None
    promised: Day = None
    price_paid: MoneyText | None = None
    job: ShortText = ""
    price_said: MoneyText | None = None
    made: ShortText = "don't know"
    region: Word[words.Region] = words.Region.ANY
    size: SizeText | None = None
    weight: MassText | None = None
    show_wood: WoodText = "don't know"
    other_wood: WoodText = "don't know"
    veneered: Word[words.YesNo] = words.YesNo.UNKNOWN
    veneer_thickness: LengthText | None = None
    marks: ShortText = ""
    loose_bits: tuple[ShortText, ...] = Field(default=(), strict=False)
    note: LongText = ""

    @model_validator(mode="after")
    def _promised_after_it_came(self) -> Self:
        if self.came_on and self.promised and self.promised < self.came_on:
            expected = f"a day on or after {self.came_on.isoformat()}, when it came"
            raise amiss(expected, key="promised", found=self.promised.isoformat())
        return self


class Finish(Table):
    """The old finish: what it is, or “don't know” and the tests below."""

    kind: Word[words.OldFinish] = words.OldFinish.UNKNOWN
    state: ShortText = "don't know"
    waxed_over: Word[words.YesNo] = words.YesNo.UNKNOWN
    note: LongText = ""


class Test(Table):
    """One test of the old finish: which, on which part, and what it did."""

    test: ShortText
    state: ShortText
    part: PartCode = None
    on: Day = None
    who: ShortText = ""


class Reading(Table):
    """One feature looked for, for the date or the wood."""

    about: Word[words.ReadingAbout]
    feature: ShortText
    state: ShortText = ""
    seen: Word[words.Seen] = words.Seen.SEEN
    part: PartCode = None
    later: Word[words.YesNo] = words.YesNo.UNKNOWN


class Part(Table):
    """One part, or several alike. `size` is along the grain × across it × thick; of a turning, long × diameter."""

    code: Code
    name: ShortText
    of: PartCode = None
    count: Count = 1
    wood: WoodText = "don't know"
    material: ShortText = ""  # what it is of where it is not wood: brass, ivory, leather
    shape: Word[words.Shape] = words.Shape.UNKNOWN
    size: PartSizeText | None = None
    profile: ShortText = ""
    turning: tuple[Annotated[tuple[str, str], Field(strict=False)], ...] = Field(default=(), strict=False)
    carving: WordIfAny[words.Carving] = None
    show: tuple[ShortText, ...] = Field(default=(), strict=False)
    less: tuple[OpeningText, ...] = Field(default=(), strict=False)
    sawn: Word[words.Sawn] = words.Sawn.UNKNOWN
    veneered: Word[words.YesNo] = words.YesNo.UNKNOWN
    veneer_thickness: LengthText | None = None
    finish: WordIfAny[words.OldFinish] = None
    weight: MassText | None = None
    sat: ShortText = ""
    up: ShortText = ""
    maker_mark: ShortText = ""
    kept: ShortText = ""
    note: LongText = ""

    @model_validator(mode="after")
    def _sides(self) -> Self:
        long_work = {words.Shape.MOULDING, words.Shape.TURNED, words.Shape.HARDWARE}
        if self.size and self.size.known and len(self.size.value) == 1 and self.shape not in long_work:
            expected = "along the grain × across it × thick, such as “900 x 450 x 20 mm”"
            raise amiss(expected, key="size", found=self.size.text)
        return self


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
            raise amiss("why it is not going back", key="why")
        if self.ends is words.Ends.REPLACED and not self.by:
            raise amiss("what replaces it", key="by")
        return self


class Joint(Table):
    """Where two or more parts meet. `withdraw` is the way the first part comes away from the others.

    `play` is how far it gives when worked by hand; `behind` names parts that stand before its fixings.
    """

    code: Code
    parts: Annotated[tuple[Code, ...], Field(min_length=2, strict=False)]
    made: ShortText = "don't know"
    held: tuple[Word[words.Held], ...] = Field(default=(words.Held.UNKNOWN,), strict=False)
    state: Word[words.JointState] = words.JointState.UNKNOWN
    withdraw: Word[words.Way] = words.Way.UNKNOWN
    length: LengthText | None = None
    across_grain: Word[words.YesNo] = words.YesNo.UNKNOWN
    slack: SlackText | None = None
    play: SlackText | None = None
    old_glue: ShortText = "don't know"
    hidden_metal: Word[words.YesNo] = words.YesNo.UNKNOWN
    behind: tuple[Code, ...] = Field(default=(), strict=False)
    fixing: tuple[Fixing, ...] = Field(default=(), strict=False)
    note: LongText = ""

    @model_validator(mode="after")
    def _behind_others(self) -> Self:
        for code in self.behind:
            if code in self.parts:
                raise amiss("a part that stands before it, not one it joins", key="behind", found=code)
        return self


class Condition(Table):
    """Something amiss, in a word of the condition list, and where."""

    term: Annotated[ShortText, AfterValidator(known_term)]
    part: PartCode = None
    severity: Word[words.Severity] = words.Severity.UNKNOWN
    count: Count = 1
    area: AreaText | None = None
    length: LengthText | None = None
    note: LongText = ""

    @property
    def said(self) -> str:
        """It as a mark on a photograph says it: “split: seat, front”."""
        return f"{self.term}: {self.note}" if self.note else self.term


class Trial(Table):
    """A timed trial patch."""

    step: ShortText
    area: AreaText
    minutes: SpanText
    part: PartCode = None
    first: bool = True
    good_enough: bool = True


class Air(Table):
    """The air where the piece stands: a reading with its time."""

    at: Instant
    temperature: TemperatureText | None = None
    rh: PercentText | None = None


class Moisture(Table):
    """A meter reading of a part, or the weight of a loose one, week by week."""

    at: Instant
    part: PartCode = None
    mc: PercentText | None = None
    weight: MassText | None = None


class Mark(Table):
    """Where a part or a fixing sat, on a photograph of it; or where it `says` something is amiss.

    `x` and `y` are shares of the picture's width and height, from its upper left as it is looked at; `up` is the way
    the top of the part points on it, in degrees clockwise from the picture's own top.
    """

    code: Code | None = None
    says: SaidText | None = None
    x: Share
    y: Share
    up: Annotated[float, Field(ge=0, lt=360)] | None = None

    @model_validator(mode="after")
    def _part_or_damage(self) -> Self:
        if self.code is None and self.says is None:
            raise amiss("the code of a part or a fixing, or `says`: what is amiss there", key="code")
        if self.code is not None and self.says is not None:
            raise amiss("a code or `says`, not both: make two marks of it", key="says", found=self.says)
        if self.says is not None and self.up is not None:
            raise amiss("no `up`: only a part has a top", key="up", found=f"{self.up:g}")
        return self


class Photograph(Table):
    """A photograph, known by the SHA-256 of its file, and the marks put on it."""

    sha256: Sha256
    file: ShortText = ""
    shows: tuple[Code, ...] = Field(default=(), strict=False)
    caption: ShortText = ""
    taken: InstantIfAny = None
    mark: tuple[Mark, ...] = Field(default=(), strict=False)


class Content(Table):
    """One thing found inside, and whether its owner has it back."""

    what: SaidText
    returned: Word[words.YesNo] = words.YesNo.UNKNOWN


class HandedIn(Table):
    """What was gone through with whoever handed it in, before it left their hands.

    Loose bits stand under the piece, and what may be spent without asking under the wishes.
    """

    keys: CountOrNone = None
    shelves: CountOrNone = None
    contents: tuple[Content, ...] = Field(default=(), strict=False)
    may_say_yes: ShortText = ""
    on: Day = None
    who: ShortText = ""


class Wishes(Table):
    """What is wanted of the piece."""

    keep: Word[words.Keep] = words.Keep.UNKNOWN
    use: Word[words.Use] = words.Use.UNKNOWN
    sheen: Word[words.Sheen] = words.Sheen.UNKNOWN
    undoable: Word[words.YesNo] = words.YesNo.UNKNOWN
    spend_up_to: MoneyText | None = None
    sells_for: MoneyText | None = None
    sells_as_found: MoneyText | None = None
    note: LongText = ""


class Decision(Table):
    """What somebody chose by hand: it wins over the rules, and says who, when and why."""

    about: Word[words.About]
    choose: ShortText = ""
    step: ShortText = ""
    part: PartCode = None
    minutes: SpanText | None = None
    after: ShortText = ""
    price: MoneyText | None = None
    who: SaidText
    on: date
    why: SaidText


class Survey(Table):
    """The whole survey. Lists are named in the singular, as TOML writes them: `[[part]]`, `[[joint]]`."""

    schema_version: int = Field(alias="schema", default=SCHEMA, ge=1, le=SCHEMA)
    id: Uuid7
    piece: Piece
    finish: Finish = Finish()
    wishes: Wishes = Wishes()
    handed_in: HandedIn = HandedIn()
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

    def condition_facts(self) -> tuple[tuple[str, Condition], ...]:
        """Each thing amiss with its fact key: `condition.split.TOP`, the same tomorrow whatever comes or goes."""
        named: list[tuple[str, Condition]] = []
        times: dict[str, int] = {}
        for condition in self.condition:
            key = f"condition.{condition_named(condition.term).key}.{condition.part or 'piece'}"
            times[key] = times.get(key, 0) + 1
            named.append((key if times[key] == 1 else f"{key}.{times[key]}", condition))
        return tuple(named)

    def damage_marks(self) -> tuple[tuple[int, str, Mark], ...]:
        """Each mark of damage with its number and the SHA-256 of its photograph.

        A mark that says a thing amiss, by its term or with its note, has the number of that thing on the list of what
        is amiss, from one; the others count on from there.
        """
        told = dict(enumerate(self.condition, 1))
        following = count(len(told) + 1)
        marks: list[tuple[int, str, Mark]] = []
        for photograph in self.photograph:
            for mark in photograph.mark:
                if mark.says is not None:
                    says = mark.says.casefold()
                    same = [number for number, one in told.items() if one.said.casefold() == says]
                    same += [number for number, one in told.items() if one.term.casefold() == says]
                    if same:
                        del told[same[0]]
                    marks.append((same[0] if same else next(following), photograph.sha256, mark))
        return tuple(marks)

    def parts_by_code(self) -> dict[str, Part]:
        return {part.code: part for part in self.part}


FORM = Form(Survey, "a survey", "witnessmark survey new chest", SCHEMA)
