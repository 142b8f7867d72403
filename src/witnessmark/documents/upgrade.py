"""Schema versions upgrade, never refuse: an older document is taken up step by step to the one we speak."""

from collections.abc import Callable, Mapping
from typing import Any

Tables = dict[str, Any]
Step = Callable[[Tables], Tables]


class TooNew(ValueError):
    """A document of a schema this program does not know yet."""


def upgraded(tables: Tables, schema: int, steps: Mapping[int, Step]) -> Tables:
    """The tables as schema `schema` has them; `steps[n]` takes version n to n + 1.

    A document that doesn't say its schema is of the first. What says something else than a number is left
    as it is, for the check of its fields. Raises TooNew.
    """
    version = tables.get("schema", 1)
    if not isinstance(version, int) or isinstance(version, bool) or version < 1:
        return tables
    if version > schema:
        raise TooNew(f"schema {schema} or older: a newer witnessmark wrote this; install that one to read it")
    for older in range(version, schema):
        tables = {**steps[older](tables), "schema": older + 1}
    return tables
