"""What the fields of the three documents are made of: words of a closed set, texts, days, ids.

“don't know” is an answer wherever a fact may be wanting: `Word`, `Day`, `Instant` take it.
"""

import re
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, datetime
from typing import Annotated, Any, TypeVar

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
)
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from witnessmark.quantities import is_unknown

UNKNOWN_WORDS = "don't know"


class Table(BaseModel):
    """What every table shares: no unknown keys, no silent conversions, nothing changed after reading."""

    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


def amiss(expected: str, near: str | None = None, key: str = "", found: str = "") -> PydanticCustomError:
    """A fault for a validator of a model to raise: what was expected, and the nearest right word.

    For a check of a whole table `key` names the field that is wrong, and `found` what stands there.
    """
    context = {"expected": expected, "nearest": near, "key": key, "found": found}
    return PydanticCustomError("fault", "{expected}", context)


@dataclass(frozen=True)
class spelt:
    """Marks a text that must match `pattern`; `expected` says so in words, `mend` offers the right spelling."""

    pattern: str
    expected: str
    mend: Callable[[str], str] | None = None

    def _check(self, text: str) -> str:
        if re.fullmatch(self.pattern, text):
            return text
        near = self.mend(text) if self.mend else None
        raise amiss(self.expected, near if near and re.fullmatch(self.pattern, near) else None)

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_after_validator_function(self._check, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {**handler(schema), "pattern": f"^{self.pattern}$"}


@dataclass(frozen=True)
class or_unknown:
    """Marks a field that may be “don't know”: it is then None. `iso` reads its text where it came as JSON."""

    iso: Callable[[str], Any] | None = None

    def _read(self, value: Any, info: core_schema.ValidationInfo) -> Any:
        if not isinstance(value, str):
            return value
        if is_unknown(value):
            return None
        if self.iso is not None and info.mode == "json":
            with suppress(ValueError):  # the field itself says what it expected
                return self.iso(value)
        return value

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.with_info_before_validator_function(self._read, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"anyOf": [handler(schema), {"const": UNKNOWN_WORDS}]}


def _in_our_words(value: Any) -> Any:
    return UNKNOWN_WORDS if isinstance(value, str) and is_unknown(value) else value


E = TypeVar("E")
Word = Annotated[E, Field(strict=False), BeforeValidator(_in_our_words)]
WordIfAny = Annotated[E | None, Field(strict=False), or_unknown()]
ShortText = Annotated[str, Field(max_length=200)]
LongText = Annotated[str, Field(max_length=5000)]
Day = Annotated[date | None, or_unknown(date.fromisoformat)]
_OUR_TIME = range(1900, 2200)  # another year is a clock that was never set; at the calendar's ends no zone is reckoned


def _of_our_time(at: datetime) -> datetime:
    if at.year not in _OUR_TIME:
        raise amiss(f"an instant from {_OUR_TIME[0]} to {_OUR_TIME[-1]}, such as 2026-11-25T08:00:00Z")
    return at


Instant = Annotated[AwareDatetime, AfterValidator(_of_our_time)]
InstantIfAny = Annotated[Instant | None, or_unknown(datetime.fromisoformat)]
_HEX = "[0-9a-f]"
Uuid7 = Annotated[
    str,
    spelt(
        f"{_HEX}{{8}}-{_HEX}{{4}}-7{_HEX}{{3}}-[89ab]{_HEX}{{3}}-{_HEX}{{12}}",
        "an id as `new` makes it (a UUIDv7 in small letters)",
        lambda text: text.strip().lower(),
    ),
]
Sha256 = Annotated[
    str,
    spelt(
        f"{_HEX}{{64}}",
        "the SHA-256 of the picture's file, 64 of 0-9 and a-f",
        lambda text: text.strip().lower(),
    ),
]
