"""Reading a document: TOML text in; a checked document out, or all its faults at once, each with its place."""

import json
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time
from enum import Enum
from types import UnionType
from typing import Annotated, Any, Generic, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from .faults import Fault, Faulty, nearest
from .places import Path, Places
from .toml import plain, toml_from
from .upgrade import Step, Tables, TooNew, upgraded

D = TypeVar("D", bound=BaseModel)


@dataclass(frozen=True)
class Amiss:
    """What a check across tables found: the path of the key, what stands there, what should."""

    path: Path
    found: str
    expected: str
    nearest: str | None = None


@dataclass(frozen=True)
class Form(Generic[D]):
    """A kind of document: its model, how people call it, how to start one, its schema and the steps up to it."""

    model: type[D]
    name: str
    starter: str
    schema: int
    steps: Mapping[int, Step] = field(default_factory=dict)


_EXPECTED = {
    "bool_type": "true or false, without quotes",
    "int_type": "a whole number, without quotes",
    "int_from_float": "a whole number",
    "float_type": "a number, without quotes",
    "string_type": "text in quotes",
    "date_type": "a day, such as 2026-11-25, without quotes",
    "date_from_datetime_parsing": "a day, such as 2026-11-25",
    "datetime_type": "an instant, such as 2026-11-25T08:00:00Z, without quotes",
    "datetime_from_date_parsing": "an instant, such as 2026-11-25T08:00:00Z",
    "datetime_parsing": "an instant, such as 2026-11-25T08:00:00Z",
    "timezone_aware": "an instant with its offset, such as 2026-11-25T08:00:00Z or 2026-11-25T08:00:00+01:00",
    "tuple_type": "a list in square brackets",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "missing": "this key, which is missing",
    "greater_than_equal": "at least {ge:g}",
    "less_than_equal": "at most {le:g}",
    "string_too_long": "at most {max_length} characters",
    "string_too_short": "some words here",
    "too_short": "at least {min_length} of them",
    "too_long": "at most {max_length} of them",
    "finite_number": "a finite number",
}


def document_from(
    text: str,
    where: str,
    form: Form[D],
    context: Mapping[str, Any] | Callable[[Tables], Mapping[str, Any]] | None = None,
    across: Callable[[Tables], Iterable[Amiss]] | None = None,
) -> D:
    """The document in a TOML text. Raises Faulty with every fault found.

    `where` names the text in the faults. `context`, or what it makes of the raw tables, reaches the fields: the
    gallon and the currency of the shop. `across` checks what one table says of another; it is given the raw
    tables, so that its faults come together with all others.
    """
    text = plain(text)
    tables = toml_from(text, where)
    if not tables:
        raise Faulty([Fault(where, "", "an empty file", f"{form.name}; start one with “{form.starter}”")])
    places = Places(text)
    return _checked(tables, where, form, places.line_of, context, across)


def document_in(
    tables: Tables,
    where: str,
    form: Form[D],
    context: Mapping[str, Any] | None = None,
    across: Callable[[Tables], Iterable[Amiss]] | None = None,
    line: int | None = None,
) -> D:
    """The document in tables that came as JSON. As `document_from`, every fault on `line`, if it has one."""
    return _checked(tables, where, form, lambda path: line, context, across, from_json=True)


def json_of(document: BaseModel) -> Tables:
    """The document as plain JSON: only what was said, in the words it was said in."""
    tables: Tables = document.model_dump(mode="json", by_alias=True, exclude_unset=True)
    return tables


def json_text(tables: Mapping[str, Any]) -> str:
    """Tables of TOML as JSON: days and instants as ISO text."""

    def plain_of(value: Any) -> str:
        if isinstance(value, date | datetime | time):
            return value.isoformat()
        raise TypeError(f"{value!r} is no value of TOML")

    return json.dumps(tables, ensure_ascii=False, default=plain_of)


def schema_of(form: Form[Any]) -> dict[str, Any]:
    """The JSON Schema of a kind of document."""
    schema = form.model.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}


def _checked(
    tables: Tables,
    where: str,
    form: Form[D],
    line_of: Callable[[Path], int | None],
    context: Mapping[str, Any] | Callable[[Tables], Mapping[str, Any]] | None,
    across: Callable[[Tables], Iterable[Amiss]] | None,
    from_json: bool = False,
) -> D:
    try:
        tables = upgraded(tables, form.schema, form.steps)
    except TooNew as error:
        raise Faulty([Fault(where, "schema", str(tables["schema"]), str(error), line_of(("schema",)))]) from None
    if tables and not tables.keys() & set(_keys_of(form.model)) - {"schema"}:
        found = ", ".join(key for key in tables if key != "schema")
        expected = f"{form.name}, and none of its keys is here; start one with “{form.starter}”"
        raise Faulty([Fault(where, "", shown(found), expected)])
    said = dict(context(tables) if callable(context) else context or {})
    faults = [
        Fault(
            where,
            key_text(found.path),
            shown(found.found),
            found.expected,
            line_of(found.path),
            found.nearest,
        )
        for found in (across(tables) if across else ())
    ]
    document: D | None = None
    try:
        if from_json:
            document = form.model.model_validate_json(json_text(tables), context=said)
        else:
            document = form.model.model_validate(tables, context=said)
    except ValidationError as error:
        details = [detail for detail in error.errors(include_url=False) if not _only_follows(detail)]
        faults += [fault_of(detail, where, form.model, line_of) for detail in details]
    if faults or document is None:
        raise Faulty(sorted(faults, key=lambda fault: fault.line or 0))
    return document


def _only_follows(error: ErrorDetails) -> bool:
    """Whether a list is called too short only because an item in it is wrong, which is told by itself."""
    return error["type"] == "too_short" and len(error["input"]) >= error["ctx"]["min_length"]


def fault_of(error: ErrorDetails, where: str, model: type[BaseModel], line_of: Callable[[Path], int | None]) -> Fault:
    """One of pydantic's complaints, in our words."""
    path: Path = tuple(step for step in error["loc"] if step != "[key]")
    context = error.get("ctx", {})
    found, near = shown(error.get("input")), None
    match error["type"]:
        case "missing":
            found, expected = "", _EXPECTED["missing"]
        case "extra_forbidden":
            choices = _keys_of(_kind_at(model, path[:-1]))
            found, near = str(path[-1]), nearest(str(path[-1]), choices)
            expected = f"one of the keys {', '.join(choices)}"
        case "enum":
            choices = _words_of(_kind_at(model, path))
            near = nearest(str(error.get("input")), choices)
            expected = f"one of: {', '.join(choices)}"
        case "fault":
            near, expected = context["nearest"], context["expected"]
            if context["key"]:
                path, found = (*path, context["key"]), context["found"]
        case kind:
            expected = _EXPECTED.get(kind, error["msg"][0].lower() + error["msg"][1:]).format(**context)
    return Fault(where, key_text(path), found, expected.rstrip("."), line_of(path), near)


def key_text(path: Path) -> str:
    """A path as people say it: `part[3].size`, counted from 1."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return text


def shown(value: Any) -> str:
    """What was found, short enough for a sentence."""
    match value:
        case dict() | BaseModel():
            return "a table"
        case list() | tuple():
            return "a list"
        case bool():
            return str(value).lower()
    text = str(value)
    return text if len(text) <= 80 else text[:79] + "…"


def _options(kind: Any) -> list[Any]:
    """What a field may be: `X | None` is X or None, `Annotated[X, …]` is X."""
    if get_origin(kind) is Annotated:
        return _options(get_args(kind)[0])
    if get_origin(kind) in (Union, UnionType):
        return [option for part in get_args(kind) for option in _options(part)]
    return [kind]


def _is(option: Any, kind: type) -> bool:
    return isinstance(option, type) and issubclass(option, kind)


def _kind_at(kind: Any, path: Path) -> Any:
    """The type of what stands at `path` in a document of a model; None where that can't be told."""
    for step in path:
        inner = None
        for option in _options(kind):
            arguments = get_args(option)
            if _is(option, BaseModel):
                fields = {info.alias or name: info for name, info in option.model_fields.items()}
                inner = fields[step].annotation if step in fields else None
            elif get_origin(option) is tuple and isinstance(step, int):
                inner = arguments[0] if arguments[-1] is ... else arguments[min(step, len(arguments) - 1)]
            elif get_origin(option) is dict:
                inner = arguments[1]
        kind = inner
    return kind


def _keys_of(kind: Any) -> list[str]:
    """The keys a table of that type may have."""
    models = [option for option in _options(kind) if _is(option, BaseModel)]
    return [info.alias or name for model in models for name, info in model.model_fields.items()]


def _words_of(kind: Any) -> list[str]:
    """The words a field of that type may say."""
    enums = [option for option in _options(kind) if _is(option, Enum)]
    return [str(word.value) for kind in enums for word in kind]
