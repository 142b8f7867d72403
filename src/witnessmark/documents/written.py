"""Amounts in a document: kept as the person wrote them, understood once on reading.

`Written` holds both, so a document goes back out word for word, and equal documents are equal as written.
"""

from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from witnessmark.quantities import (
    Currency,
    Gallon,
    NotUnderstood,
    Range,
    Unknown,
    is_unknown,
    read,
    read_money,
    read_size,
    UNKNOWN,
)


@dataclass(frozen=True)
class Written:
    """An amount with the words it was written in. `value` is an amount, a Range of it, a size, or UNKNOWN."""

    text: str
    value: Any

    @property
    def known(self) -> bool:
        return not isinstance(self.value, Unknown)


@dataclass(frozen=True)
class written:  # noqa: N801 - reads as a word in the models: `Annotated[Written, written(Mass)]`
    """Marks a field as an amount of `kind`; `one` where a range makes no sense; `"size"` and Money as well.

    The gallon comes from the validation context (`{"gallon": Gallon, "currency": Currency}`), US where it is silent.
    """

    kind: Any
    example: str
    one: bool = False

    def understand(self, text: str, context: dict[str, Any] | None) -> Any:
        gallon = (context or {}).get("gallon", Gallon.US)
        if is_unknown(text):
            return UNKNOWN
        if self.kind == "size":
            return read_size(text)
        if self.kind == "money":
            return read_money(text, (context or {}).get("currency"))
        value = read(text, self.kind, gallon)
        if self.one and isinstance(value, Range):
            raise NotUnderstood(text, f"one amount here, not a range, such as “{self.example}”")
        return value

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        def validate(value: Any, info: core_schema.ValidationInfo) -> Written:
            if isinstance(value, Written):
                return value
            if not isinstance(value, str):
                raise PydanticCustomError("amount", "{expected}", {
                    "expected": f"an amount in quotes with its unit, such as “{self.example}”", "nearest": None})  # fmt: skip
            try:
                return Written(value, self.understand(value, info.context))
            except NotUnderstood as error:
                raise PydanticCustomError(
                    "amount", "{expected}", {"expected": error.expected, "nearest": error.nearest}
                ) from None

        return core_schema.with_info_plain_validator_function(
            validate,
            serialization=core_schema.plain_serializer_function_ser_schema(lambda w: w.text, return_schema=core_schema.str_schema()),
        )

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return {"type": "string", "examples": [self.example, "don't know"]}


__all__ = ["Annotated", "Currency", "Written", "written"]
