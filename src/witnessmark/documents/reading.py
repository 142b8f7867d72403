"""Reading a document: TOML text in; a checked document out, or all its faults at once, each with its place."""

import tomllib
from typing import Any, TypeVar, get_args

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from .faults import Fault, Faulty, nearest
from .places import Places

D = TypeVar("D", bound=BaseModel)

_EXPECTED = {
    "bool_type": "true or false",
    "int_type": "a whole number",
    "float_type": "a number",
    "string_type": "text in quotes",
    "date_type": "a day, such as 2026-11-25, without quotes",
    "datetime_type": "an instant, such as 2026-11-25T08:00:00Z, without quotes",
    "list_type": "a list in square brackets",
    "tuple_type": "a list in square brackets",
    "dict_type": "a table",
    "model_type": "a table",
    "model_attributes_type": "a table",
    "missing": "this key, which is missing",
}


def key_text(path: tuple[Any, ...]) -> str:
    """A path as people say it: `part[3].size`, counted from 1."""
    text = ""
    for step in path:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else str(step)
    return text


def toml_from(text: str, where: str) -> dict[str, Any]:
    """The tables of a TOML text. Raises Faulty with the line where it is not TOML."""
    try:
        return tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        message = str(error)
        line = getattr(error, "lineno", None)
        if line is None and " line " in message:
            digits = message.split(" line ", 1)[1].split(",")[0]
            line = int(digits) if digits.isdigit() else None
        found = text.splitlines()[line - 1].strip() if line and line <= len(text.splitlines()) else ""
        reason = message.split(" (at ")[0]
        expected = f"TOML: {reason[0].lower()}{reason[1:]}; text goes in quotes, one “key = value” a line"
        raise Faulty([Fault(where, "", found, expected, line)]) from None


def _fields_at(model: Any, path: tuple[Any, ...]) -> list[str]:
    """The keys a table at `path` may have; empty where that can't be told."""
    for step in path:
        if isinstance(step, int):
            continue
        field = model.model_fields.get(step) if isinstance(model, type) and issubclass(model, BaseModel) else None
        if field is None:
            return []
        model = _model_in(field.annotation)
    return list(model.model_fields) if isinstance(model, type) and issubclass(model, BaseModel) else []


def _model_in(annotation: Any) -> Any:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    for part in get_args(annotation):
        if (found := _model_in(part)) is not None:
            return found
    return None


def _fault(error: ErrorDetails, where: str, places: Places, model: type[BaseModel]) -> Fault:
    path = tuple(step for step in error["loc"] if not (isinstance(step, str) and step.startswith("function-")))
    context = error.get("ctx", {})
    found = "" if error["type"] == "missing" else _found(error.get("input"))
    near: str | None = context.get("nearest")
    match error["type"]:
        case "extra_forbidden":
            choices = _fields_at(model, path[:-1])
            found, near = str(path[-1]), nearest(str(path[-1]), choices)
            known = ", ".join(choices)
            expected = f"one of the keys {known}" if choices else "no such key here"
        case "literal_error" | "enum":
            expected = f"one of {context['expected']}".replace("'", "").replace(" or ", ", ")
            choices = [word.strip() for word in expected.removeprefix("one of ").split(",")]
            near = nearest(str(error.get("input")), choices)
        case "amount" | "fault":
            expected = str(context["expected"])
        case kind:
            expected = _EXPECTED.get(kind) or error["msg"][0].lower() + error["msg"][1:]
    return Fault(where, key_text(path), found, expected.rstrip("."), places.line_of(path), near)


def _found(value: Any) -> str:
    if isinstance(value, dict):
        return "a table"
    if isinstance(value, list | tuple):
        return "a list"
    text = {True: "true", False: "false"}.get(value) if isinstance(value, bool) else str(value)
    return text if len(text := str(text)) <= 80 else text[:77] + "…"


def document_from(text: str, where: str, model: type[D], context: dict[str, Any] | None = None) -> D:
    """The document in a TOML text. Raises Faulty with every fault found; see `Fault`.

    `where` names the text in the faults; `context` reaches the fields (the gallon and the currency of the shop).
    """
    tables = toml_from(text, where)
    try:
        return model.model_validate(tables, context=context)
    except ValidationError as error:
        places = Places(text)
        faults = [_fault(detail, where, places, model) for detail in error.errors(include_url=False)]
        raise Faulty(sorted(faults, key=lambda fault: (fault.line or 0))) from None
