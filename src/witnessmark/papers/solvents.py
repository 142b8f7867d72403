"""What a label must say of a solvent: what it can do, the signal word, and plain orders."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.sources import Row, table

LABEL_PREVAILS = (
    "The label and the safety data sheet of the can in your hand prevail over this sheet, and so do local rules."
)


@dataclass(frozen=True)
class Worded:
    """What a solvent can do, in words with their codes; the signal word; and plain orders, each once."""

    signal: str
    says: tuple[str, ...]
    orders: tuple[str, ...]


def worded(solvent: Row) -> Worded:
    """The words of a row of `solvents.csv`, by its hazard statements."""
    return worded_by(solvent.keys_in("ghs_h_codes"))


def hazard_words(codes: Sequence[str]) -> tuple[str, ...]:
    """What hazard statements say, in words with their codes."""
    return worded_by(codes).says


def worded_by(codes: Sequence[str]) -> Worded:
    """The words of these hazard statements."""
    words = {row.key: row for row in table("papers", "hazard_words.csv", key="code")}
    told = [words[code] for code in codes]
    signals = {row["signal"] for row in told}
    return Worded(
        next((signal for signal in ("Danger", "Warning") if signal in signals), ""),
        tuple(f"{row['says'][:-1]} ({row.key})." for row in told),
        tuple(dict.fromkeys(row["order"] for row in told)),
    )
