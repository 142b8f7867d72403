"""Amounts in a document: kept as the person wrote them, understood once on reading.

`Written` holds both, so a document goes back out word for word, and equal documents are equal as written.
"""

from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, core_schema

from witnessmark.quantities import (
    UNKNOWN,
    Gallon,
    Money,
    NotUnderstood,
    Percent,
    Range,
    Temperature,
    Unknown,
    WhichGallon,
    high,
    is_unknown,
    low,
    read,
    read_money,
    read_size,
)

from .fields import UNKNOWN_WORDS, amiss


@dataclass(frozen=True)
class Written:
    """An amount with the words it was written in. `value` is an amount, a Range, a size, money or UNKNOWN."""

    text: str
    value: Any

    @property
    def known(self) -> bool:
        return not isinstance(self.value, Unknown)


@dataclass(frozen=True)
class written:
    """Marks a field as an amount: `Annotated[Written, written(Mass, "1.2 kg")]`.

    `kind` is a kind of amount, Money, or "size" (then `sides` says how many lengths there may be); `one` where a
    range makes no sense; `nought` where nothing at all is an answer too. Pounds cut, pints and bare sums of money
    are read by the validation context, `{"gallon": Gallon | None, "currency": Currency}`: a US gallon where the
    context has none, and a fault where it is None: nobody said.
    """

    kind: Any
    example: str
    one: bool = False
    nought: bool = False
    sides: tuple[int, ...] = (2, 3)

    def understand(self, text: str, context: dict[str, Any]) -> Any:
        """What the text says. Raises NotUnderstood."""
        if is_unknown(text):
            return UNKNOWN
        if self.kind == "size":
            return self._size(text)
        if self.kind is Money:
            money = read_money(text, context.get("currency"))
            if money.amount < 0:
                raise NotUnderstood(text, f"no less than nought, such as “{self.example}”")
            return money
        value = read(text, self.kind, context.get("gallon", Gallon.US))
        if self.one and isinstance(value, Range):
            raise NotUnderstood(text, f"one amount here, not a range, such as “{self.example}”")
        least, most = low(value).magnitude, high(value).magnitude
        if self.kind is not Temperature and (least < 0 or (least == 0 and not self.nought)):
            bound = "no less" if self.nought else "more"
            raise NotUnderstood(text, f"{bound} than nought, such as “{self.example}”")
        if self.kind is Percent and most > 100:
            raise NotUnderstood(text, "a percentage up to 100 %")
        return value

    def _size(self, text: str) -> Any:
        size = read_size(text)
        if len(size) not in self.sides:
            sides = " or ".join(str(number) for number in self.sides)
            raise NotUnderstood(text, f"{sides} lengths, such as “{self.example}”")
        if any(side.millimetres <= 0 for side in size):
            raise NotUnderstood(text, f"each length more than nought, such as “{self.example}”")
        return size

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def validate(value: Any, info: core_schema.ValidationInfo) -> Written:
            if isinstance(value, Written):
                return value
            if not isinstance(value, str):
                raise amiss(f"an amount in quotes with its unit, such as “{self.example}”")
            try:
                return Written(value, self.understand(value, info.context or {}))
            except WhichGallon as error:
                raise amiss(f"{error.expected} (the shop's document says it once: gallon)") from None
            except NotUnderstood as error:
                raise amiss(error.expected, error.nearest) from None

        text = core_schema.plain_serializer_function_ser_schema(
            lambda amount: amount.text, return_schema=core_schema.str_schema()
        )
        return core_schema.with_info_plain_validator_function(validate, serialization=text)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "examples": [self.example, UNKNOWN_WORDS]}
