"""Ranges and not knowing: where the truth is wide, it is kept wide."""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum
from typing import Any, Generic, Protocol, Self, TypeVar


class Unknown(Enum):
    """“Don't know yet”: an answer, not an absence. It widens, it never blocks."""

    UNKNOWN = "don't know"

    def __bool__(self) -> bool:
        return False


UNKNOWN = Unknown.UNKNOWN


class _Ordered(Protocol):
    def __le__(self, other: Any, /) -> bool: ...
    def __add__(self, other: Any, /) -> Self: ...
    def __mul__(self, other: Any, /) -> Self: ...


Q = TypeVar("Q", bound=_Ordered)


@dataclass(frozen=True, slots=True)
class Range(Generic[Q]):
    """Low, usual and high of one amount. Raises ValueError when they are not in that order."""

    low: Q
    usual: Q
    high: Q

    def __post_init__(self) -> None:
        if not (self.low <= self.usual and self.usual <= self.high):
            raise ValueError(f"a range runs low, usual, high; not {self.low}, {self.usual}, {self.high}")


def between(low: Any, high: Any) -> "Range[Any]":
    """The range of “4 to 6”: its usual is the middle, our convention where nobody says."""
    return Range(low, (low + high) * 0.5, high)


def mapped(value: "Any | Range[Any]", change: Callable[[Any], Any]) -> "Any | Range[Any]":
    """`change`, a rising function, over an amount or each end of a range."""
    if isinstance(value, Range):
        return Range(change(value.low), change(value.usual), change(value.high))
    return change(value)


def usual(value: "Any | Range[Any]") -> Any:
    """The usual of a range; the amount itself where it is not one."""
    return value.usual if isinstance(value, Range) else value


def low(value: "Any | Range[Any]") -> Any:
    """The low end of a range, or the amount itself."""
    return value.low if isinstance(value, Range) else value


def high(value: "Any | Range[Any]") -> Any:
    """The high end of a range, or the amount itself."""
    return value.high if isinstance(value, Range) else value
