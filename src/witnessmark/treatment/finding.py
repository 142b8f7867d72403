"""A finding: what every rule of the treatment looks at."""

from dataclasses import dataclass
from typing import Any

from witnessmark.sources import Working


@dataclass(frozen=True)
class Finding:
    """Something found: its key, how it is said, the facts it rests on, and where and how often.

    `material` is a key of materials.csv where the finding is about one: the old film, a listed wood.
    """

    key: str
    says: str
    cites: tuple[str, ...]
    parts: tuple[str, ...] = ()
    count: int = 1
    working: Working[Any] | None = None
    material: str = ""
