"""The bibliography: what each source key stands for, and whether we read it ourselves."""

from dataclasses import dataclass
from functools import cache

from .tables import table


@dataclass(frozen=True)
class Source:
    """One line of the bibliography. `read` is false where it was seen in part or cited after someone else."""

    key: str
    citation: str
    year: str
    kind: str
    place: str
    read: bool


@cache
def bibliography() -> dict[str, Source]:
    """Every source by its key."""
    return {
        row.key: Source(row.key, row["citation"], row["year"], row["kind"], row["place"], row["read"] == "yes")
        for row in table("sources", "bibliography.csv")
    }
