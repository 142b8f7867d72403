"""What goes in and out of the API: its own few shapes, and the published schemas of the documents."""

import hashlib
import json
from collections.abc import Mapping
from datetime import date, datetime
from functools import cache
from typing import Any

from ninja import Schema

from witnessmark.daybook import daybook_schema
from witnessmark.plan import bench_schema, plan_schema
from witnessmark.record import Revision
from witnessmark.shop import shop_schema
from witnessmark.survey import survey_schema

Tables = dict[str, Any]
_PUBLISHED = {
    "Survey": survey_schema, "Shop": shop_schema, "Entry": daybook_schema, "Plan": plan_schema, "Bench": bench_schema,
}  # fmt: skip


class FaultShape(Schema):
    """One thing to mend; the same shape as on the command line. `line` is null: JSON that came over the wire."""

    where: str
    key: str
    found: str
    expected: str
    line: int | None = None
    nearest: str | None = None


class Refusal(Schema):
    """What was not done, in `refused`; or all that is to be mended, in `faults`."""

    refused: str | None = None
    faults: list[FaultShape] | None = None


class BothShape(Schema):
    """One key that two people changed, as each left it; null where it was taken out."""

    theirs: Any = None
    mine: Any = None


class Conflict(Schema):
    """What stands (`etag`, `theirs`), what was sent (`mine`), and the keys that both changed, by their path."""

    refused: str
    etag: str
    theirs: Tables | None = None
    mine: Tables | None = None
    both: dict[str, BothShape]


class Accepted(Schema):
    """Ids of the entries that were taken in now, and of those known already, in the order they were sent."""

    accepted: list[str]
    known: list[str]


class PhotographShape(Schema):
    """A photograph that is kept. Pixels as it is shown upright; `taken` as its camera says."""

    sha256: str
    media: str
    bytes: int
    width: int
    height: int
    taken: datetime | None = None


class PieceShape(Schema):
    """A piece as the lists show it."""

    id: str
    code: str
    title: str
    kind: str
    owner: str
    job: str
    stage: str
    since: datetime | None
    waits_on: str
    promised: date | None
    paid: bool
    minutes: float
    picture: str
    revision: int


class Pieces(Schema):
    """A page of pieces; `next` asks for the one after it, null on the last."""

    pieces: list[PieceShape]
    next: str | None


def etag_of(revision: Revision) -> str:
    """The name of a state of a document: its number, and a digest of what it says."""
    said = json.dumps(revision.body, sort_keys=True, ensure_ascii=False)
    return f'"{revision.number}-{hashlib.sha256(said.encode()).hexdigest()[:16]}"'


def number_in(etag: str) -> int | None:
    """The number of the state an ETag names; None where it is none of ours. A proxy may have made it a weak one."""
    number = etag.strip().removeprefix("W/").strip('"').partition("-")[0]
    return int(number) if number.isascii() and number.isdecimal() and len(number) < 10 else None


def components() -> dict[str, Any]:
    """The published schemas as components of the description, every one with its parts beside it."""
    found: dict[str, Any] = {}
    for name in _PUBLISHED:
        found |= _component(name)
    return found


@cache
def _component(name: str) -> dict[str, Any]:
    schema = dict(_PUBLISHED[name]())
    schema.pop("$schema", None)
    schema.pop("$id", None)
    parts = schema.pop("$defs", {})
    return {name: _pointing(schema, name), **{f"{name}.{part}": _pointing(one, name) for part, one in parts.items()}}


def _pointing(schema: Any, name: str) -> Any:
    """The schema with its references pointing among the components."""
    if isinstance(schema, Mapping):
        return {
            key: value.replace("#/$defs/", f"#/components/schemas/{name}.") if key == "$ref" else _pointing(value, name)
            for key, value in schema.items()
        }
    return [_pointing(one, name) for one in schema] if isinstance(schema, list) else schema


def body_of(schema: Tables) -> dict[str, Any]:
    """For `openapi_extra`: a JSON body of this schema."""
    return {"requestBody": {"required": True, "content": {"application/json": {"schema": schema}}}}


def answer_of(schema: Tables) -> dict[str, Any]:
    """For `openapi_extra`: an answer of this schema."""
    return {"responses": {200: {"description": "OK", "content": {"application/json": {"schema": schema}}}}}


def ref(name: str) -> Tables:
    return {"$ref": f"#/components/schemas/{name}"}
