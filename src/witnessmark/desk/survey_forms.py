"""The forms of a survey, made from one description: a key added to the model wants one line in `ASKED` and no more.

What a field is like (words of a closed set, an amount, a day, a list) follows from the model; what it is called and
hinted at stands here. What people write goes to the core as they wrote it, and its faults come back to the field.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import Enum
from functools import cache
from types import UnionType
from typing import Annotated, Any, Union, get_args, get_origin
from zoneinfo import ZoneInfo

from pydantic import AwareDatetime, BaseModel

from witnessmark.documents import Written, written
from witnessmark.survey import (
    Air,
    Condition,
    Content,
    Finish,
    Fixing,
    HandedIn,
    Joint,
    Moisture,
    Part,
    Piece,
    Survey,
    Trial,
    Wishes,
    YesNo,
    condition_terms,
)

Tables = dict[str, Any]
DONT_KNOW = YesNo.UNKNOWN.value
UNSAID = ""  # of a choice: nobody wrote anything, not even that it is not known


@dataclass(frozen=True)
class Asked:
    """One key of a table: what its field is called, and a hint. `kind` where the model alone does not say."""

    key: str
    label: str
    hint: str = ""
    kind: str = ""


@dataclass(frozen=True)
class Section:
    """One table of the survey, or one of several alike. `name` says which of several, by these keys."""

    key: str
    title: str
    model: type[BaseModel]
    asked: tuple[Asked, ...]
    many: bool = False
    one: str = ""
    named_by: tuple[str, ...] = ()
    inside: "Section | None" = None


def _asked(*rows: tuple[str, ...]) -> tuple[Asked, ...]:
    return tuple(Asked(*row) for row in rows)


_FIXING = Section(
    "fixing", "Fixings", Fixing,
    _asked(
        ("code", "Code", "Short, such as S7"),
        ("kind", "What it is"),
        ("hole", "Its own hole", "Where, so that it goes back there"),
        ("size", "Size"),
        ("kept", "Where it is kept"),
        ("ends", "How it ends"),
        ("why", "Why it is not going back"),
        ("by", "What replaces it"),
    ),
    many=True, one="fixing", named_by=("code", "hole"),
)  # fmt: skip

_CONTENT = Section(
    "contents", "Found inside", Content,
    _asked(("what", "What was found"), ("returned", "Its owner has it back")),
    many=True, one="thing found inside", named_by=("what",),
)  # fmt: skip

SECTIONS = (
    Section("piece", "The piece", Piece, _asked(
        ("kind", "Kind of piece"),
        ("title", "What you call it"),
        ("code", "Code on its tape", "Short, such as C1"),
        ("owner", "Whose it is", "A surname answers “where’s my table?” at once"),
        ("came", "How it came"),
        ("came_from", "Where it stood before"),
        ("came_on", "Day it came"),
        ("promised", "Promised for"),
        ("price_paid", "Price paid for it", "Such as £120"),
        ("job", "The job in one line", "For a small job only"),
        ("price_said", "Price said for the job"),
        ("made", "When it was made", "As you would say it: about 1865, 1850 to 1870"),
        ("region", "Where it was made"),
        ("size", "Size: wide × deep × high", "As you face it, such as 900 x 450 x 1100 mm or 35 x 18 x 43 in"),
        ("weight", "Weight", "Such as 58 kg"),
        ("show_wood", "Wood that shows", "A shop name: mahogany, oak, pine"),
        ("other_wood", "Wood beneath", "What drawers, backs and bottoms are of"),
        ("veneered", "Veneered"),
        ("veneer_thickness", "How thick the veneer is", "Such as 0.9 mm; look at a keyhole or an edge"),
        ("marks", "Marks, labels, stamps"),
        ("loose_bits", "What came with it", "Loose bits, one a line; keys and shelves are counted on the receipt"),
        ("note", "Note", "", "area"),
    )),
    Section("handed_in", "As it was handed in", HandedIn, _asked(
        ("on", "Day it was gone through together"),
        ("who", "Who handed it in"),
        ("keys", "Keys", "How many; 0 where there was none"),
        ("shelves", "Shelves", "How many; 0 where there was none"),
        ("may_say_yes", "Who may say yes to more, and how to reach them", "What may be spent is under the wishes"),
    ), inside=_CONTENT),
    Section("finish", "The old finish", Finish, _asked(
        ("kind", "What it is", "If in doubt leave it, and write down tests"),
        ("state", "What it is like", "In your words: dry and dull, crazed on the top"),
        ("waxed_over", "Waxed over"),
        ("note", "Note", "", "area"),
    )),
    Section("wishes", "What is wished", Wishes, _asked(
        ("keep", "What is most wanted kept"),
        ("use", "What it must stand up to"),
        ("sheen", "How it should look"),
        ("undoable", "Must the new finish come off again"),
        ("spend_up_to", "May be spent without asking, up to"),
        ("sells_for", "It sells for, done"),
        ("sells_as_found", "It sells for, as found"),
        ("note", "Note", "", "area"),
    )),
    Section("part", "Parts", Part, _asked(
        ("code", "Code on its tag", "Short and never used again, such as TOP or DR1.F"),
        ("name", "What it is"),
        ("of", "Part of", "", "part"),
        ("count", "How many alike"),
        ("shape", "Shape"),
        ("size", "Size", "Along the grain × across it × thick; a turning long × thickest"),
        ("wood", "Wood"),
        ("material", "What it is of, where not wood", "Brass, ivory, leather"),
        ("show", "Faces that are seen", "One a line: top, front edge, ends"),
        ("sawn", "How it is sawn"),
        ("veneered", "Veneered"),
        ("veneer_thickness", "How thick the veneer is"),
        ("finish", "Its own finish, where it has another"),
        ("profile", "Profile", "Of a moulding: ogee, ovolo, cock bead"),
        ("turning", "Turning", "One line a measure: how far along, how thick; such as 90 mm, 46 mm"),
        ("carving", "Carving"),
        ("less", "Openings in it", "One a line: 300 x 200 mm"),
        ("weight", "Weight, where it was weighed"),
        ("sat", "Where it sat"),
        ("up", "Which way up"),
        ("maker_mark", "Mark of the maker on it"),
        ("kept", "Where it is kept now"),
        ("note", "Note", "", "area"),
    ), many=True, one="part", named_by=("code", "name")),
    Section("joint", "Joints", Joint, _asked(
        ("code", "Code", "Such as J1"),
        ("parts", "Parts that meet here", "Their codes; the first is the one that comes away", "codes"),
        ("made", "How it is made", "In your words: mortise and tenon, dovetails"),
        ("held", "What holds it"),
        ("state", "State"),
        ("withdraw", "Which way the first part comes away"),
        ("length", "How long the joint is"),
        ("across_grain", "Held across the grain"),
        ("slack", "Gap in it"),
        ("play", "How far it gives by hand"),
        ("old_glue", "Old glue", "Hide glue, white glue, don’t know"),
        ("hidden_metal", "Hidden metal"),
        ("behind", "Parts that stand before its fixings", "Their codes", "codes"),
        ("note", "Note", "", "area"),
    ), many=True, one="joint", named_by=("code", "made"), inside=_FIXING),
    Section("condition", "What is amiss", Condition, _asked(
        ("term", "What", "", "term"),
        ("part", "Where", "", "part"),
        ("severity", "How bad"),
        ("count", "How many"),
        ("area", "How large", "Such as 0.1 m2 or 300 x 200 mm"),
        ("length", "How long"),
        ("note", "Note", "", "area"),
    ), many=True, one="thing amiss", named_by=("term", "part")),
    Section("trial", "Trial patches", Trial, _asked(
        ("step", "Which work was tried", "Such as wax removal"),
        ("area", "How large the patch was", "Such as 0.1 m2"),
        ("minutes", "How long it took", "Such as 12 min"),
        ("part", "On which part", "", "part"),
        ("first", "It was the first of its kind"),
        ("good_enough", "It came out good enough"),
    ), many=True, one="trial patch", named_by=("step", "part")),
    Section("air", "Air where it stands", Air, _asked(
        ("at", "When it was read"),
        ("temperature", "Temperature", "Such as 18 °C or 64 °F"),
        ("rh", "Humidity", "Such as 55 %"),
    ), many=True, one="reading of the air", named_by=("at",)),
    Section("moisture", "Moisture", Moisture, _asked(
        ("at", "When it was read"),
        ("part", "Which part", "", "part"),
        ("mc", "By the meter", "Such as 11 %"),
        ("weight", "By the scale", "Of a loose part, week by week"),
    ), many=True, one="reading of moisture", named_by=("at", "part")),
)  # fmt: skip
BY_KEY = {section.key: section for section in SECTIONS}
# Entered on pages of their own: readings and tests, photographs, decisions; no person writes the rest.
ELSEWHERE = frozenset(["schema", "id", "test", "reading", "photograph", "decision"])


@dataclass(frozen=True)
class Shown:
    """One field as the page shows it: `name` is that of its input, `value` what stands in it."""

    name: str
    label: str
    kind: str
    value: Any
    hint: str = ""
    fault: str = ""
    options: tuple[tuple[str, str], ...] = ()


class Kind:
    """What one key of a model is like, told from its type."""

    def __init__(self, model: type[BaseModel], asked: Asked) -> None:
        info = model.model_fields[asked.key]
        options = list(_options(info.annotation))
        self.many = any(get_origin(option) is tuple for option in options)
        inner = [one for option in options for one in _inside(option)] if self.many else options
        self.words = next((one for one in inner if isinstance(one, type) and issubclass(one, Enum)), None)
        self.pairs = any(get_origin(one) is tuple for one in inner)
        marks = [*info.metadata, *(mark for one in _annotated(info.annotation) for mark in one)]
        self.example = next((mark.example for mark in marks if isinstance(mark, written)), "")
        self.amount = Written in inner
        self.whole = int in inner and bool not in inner
        self.yes = bool in inner
        self.day = date in inner
        self.instant = AwareDatetime in inner
        self.required = info.is_required()
        self.default = None if self.required else info.default


@cache
def kind_of(model: type[BaseModel], asked: Asked) -> Kind:
    """What one key of a model is like; told once."""
    return Kind(model, asked)


def _annotated(kind: Any) -> Iterator[tuple[Any, ...]]:
    if get_origin(kind) is Annotated:
        yield get_args(kind)[1:]
    for one in get_args(kind):
        if get_origin(one) is not None:
            yield from _annotated(one)


def _options(kind: Any) -> Iterator[Any]:
    if get_origin(kind) is Annotated:
        yield from _options(get_args(kind)[0])
    elif get_origin(kind) in (Union, UnionType):
        for part in get_args(kind):
            yield from _options(part)
    else:
        yield kind


def _inside(option: Any) -> Iterator[Any]:
    for argument in get_args(option):
        if argument is not Ellipsis:
            yield from _options(argument)


def words_of(kind: type[Enum]) -> tuple[tuple[str, str], ...]:
    """A closed set as the pairs of a choice, “don't know” first where it is one of them."""
    words = sorted((str(word.value) for word in kind), key=lambda word: word != DONT_KNOW)
    return tuple((word, said(word)) for word in words)


def said(word: str) -> str:
    """A word of the survey as a page writes it."""
    written = word.replace("'", "’")
    return written[:1].upper() + written[1:]


# ---- from the document to the page ----


def fields_of(
    section: Section, table: Mapping[str, Any], codes: Sequence[tuple[str, str]] = (), zone: ZoneInfo | None = None,
    faults: Mapping[str, str] | None = None, typed: Mapping[str, Any] | None = None, before: str = "",
) -> list[Shown]:  # fmt: skip
    """The fields of a table. `codes` are the parts to choose from; `typed` stands in place of what is kept."""
    shown = []
    for asked in section.asked:
        kind = kind_of(section.model, asked)
        value = in_words(kind, asked, table.get(asked.key), zone)
        if typed is not None and before + asked.key in typed:
            value = typed[before + asked.key]
        shown.append(Shown(
            before + asked.key, asked.label, _widget(kind, asked), value, _hint(kind, asked),
            (faults or {}).get(before + asked.key, ""), _choices(kind, asked, codes, value),
        ))  # fmt: skip
    return shown


def in_words(kind: Kind, asked: Asked, value: Any, zone: ZoneInfo | None = None) -> Any:
    """What is kept as it stands in its field: a text, or the list of what is ticked."""
    if value is None:
        if kind.many:
            return () if kind.words else ""
        if kind.words is not None:
            return _default_word(kind)
        return ("yes" if kind.default else "") if kind.yes else str(kind.default or "") if kind.whole else ""
    if kind.many:
        if kind.words:
            return tuple(value)
        return (", " if asked.kind == "codes" else "\n").join(
            ", ".join(one) if isinstance(one, list | tuple) else str(one) for one in value
        )
    if kind.yes:
        return "yes" if value else ""
    if kind.instant and zone and value != DONT_KNOW:
        return datetime.fromisoformat(str(value)).astimezone(zone).strftime("%Y-%m-%dT%H:%M")
    if (kind.day or kind.whole) and value == DONT_KNOW:
        return ""
    return str(value)


def _default_word(kind: Kind) -> str:
    words = [word for word, _ in words_of(kind.words)] if kind.words else []
    if DONT_KNOW in words:
        return DONT_KNOW
    return str(kind.default.value) if isinstance(kind.default, Enum) else UNSAID


def _widget(kind: Kind, asked: Asked) -> str:
    if asked.kind in {"area", "codes"}:
        return {"area": "area", "codes": "text"}[asked.kind]
    if asked.kind in {"part", "term"} or (kind.words and not kind.many):
        return "choice"
    if kind.many:
        return "ticks" if kind.words else "area"
    if kind.yes:
        return "tick"
    return "date" if kind.day else "datetime-local" if kind.instant else "number" if kind.whole else "text"


def _hint(kind: Kind, asked: Asked) -> str:
    if asked.hint or not kind.amount:
        return asked.hint
    return f"Such as {kind.example}" if kind.example else ""


def _choices(kind: Kind, asked: Asked, codes: Sequence[tuple[str, str]], value: Any) -> tuple[tuple[str, str], ...]:
    if asked.kind == "part":
        return _with(((UNSAID, "The piece, or don’t know"), *codes), value)
    if asked.kind == "term":
        return _with(((UNSAID, "Choose"), *((one.term, said(one.term)) for one in condition_terms())), value)
    if kind.words is None:
        return ()
    words = words_of(kind.words)
    if kind.many or kind.required or any(word == DONT_KNOW for word, _ in words):
        return ((UNSAID, "Choose"), *words) if kind.required and not kind.many else words
    return words if isinstance(kind.default, Enum) else ((UNSAID, "Don’t know"), *words)


def _with(options: tuple[tuple[str, str], ...], value: Any) -> tuple[tuple[str, str], ...]:
    """What is kept can always be chosen, also a synonym, or a part that is gone since."""
    known = {option for option, _ in options}
    return options if value in known else (*options, (str(value), str(value)))


# ---- from the page to the document ----


def typed_in(section: Section, post: Any, before: str = "") -> dict[str, Any]:
    """What a posted form says, by the names of its inputs."""
    typed: dict[str, Any] = {}
    for asked in section.asked:
        name = before + asked.key
        if _widget(kind_of(section.model, asked), asked) == "ticks":
            typed[name] = tuple(post.getlist(name))
        else:
            typed[name] = post.get(name, "").replace("\r\n", "\n").strip()
    return typed


def changes_in(
    section: Section, table: Mapping[str, Any], typed: Mapping[str, Any], zone: ZoneInfo, before: str = ""
) -> Tables:
    """The keys that the person changed, with what the document shall hold; None where nothing is said any more."""
    changed: Tables = {}
    for asked in section.asked:
        kind = kind_of(section.model, asked)
        wrote, stood = typed[before + asked.key], in_words(kind, asked, table.get(asked.key), zone)
        if wrote != stood:
            changed[asked.key] = _as_kept(kind, asked, wrote, zone)
    return changed


def _as_kept(kind: Kind, asked: Asked, wrote: Any, zone: ZoneInfo) -> Any:
    if kind.yes:
        return bool(wrote)
    if isinstance(wrote, tuple):
        return list(wrote) or None
    if wrote == "":
        return None
    if asked.kind == "codes":
        return [code.strip().upper() for code in wrote.replace(";", ",").split(",") if code.strip()]
    if kind.many:
        lines = [line.strip() for line in wrote.split("\n") if line.strip()]
        return [[side.strip() for side in line.split(",")] for line in lines] if kind.pairs else lines
    if kind.whole:
        return int(wrote) if wrote.isdecimal() else wrote  # the core says what is amiss with the rest
    if kind.instant:
        try:
            return datetime.fromisoformat(wrote).replace(tzinfo=zone).isoformat()
        except ValueError:
            return wrote
    return wrote


def told(table: Mapping[str, Any], changes: Tables) -> Tables:
    """A table with these keys changed."""
    kept = {key: value for key, value in table.items() if key not in changes}
    return kept | {key: value for key, value in changes.items() if value is not None}


def not_asked() -> dict[str, set[str]]:
    """Keys of the model that no form asks for, by table: empty, or somebody forgot a line above."""
    missing = {"survey": set(_names(Survey)) - set(BY_KEY) - ELSEWHERE}
    for section in (*SECTIONS, _FIXING, _CONTENT):
        inside = {section.inside.key} if section.inside else set()
        missing[section.key] = set(_names(section.model)) - {asked.key for asked in section.asked} - inside
    return {key: names for key, names in missing.items() if names}


def _names(model: type[BaseModel]) -> list[str]:
    return [info.alias or name for name, info in model.model_fields.items()]
