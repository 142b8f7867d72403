"""What stands in the drawer of a figure: its formula, what went in with units, where from, and how far to trust it."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from witnessmark.papers import Voice
from witnessmark.quantities import from_json
from witnessmark.sources import Standing, bibliography

_MOST = 6  # of a list of values that went in, so many are written out


@dataclass(frozen=True)
class WentIn:
    """One thing that went into a sum. `drawer` is the id of its own working, where it has one."""

    name: str
    value: str
    came_from: str
    drawer: str = ""


@dataclass(frozen=True)
class Drawer:
    """A figure opened up. `bands` is its range in brackets; empty where there is none."""

    value: str
    bands: str
    formula: str
    went_in: tuple[WentIn, ...]
    standing: str
    source: str


def drawer_of(workings: Mapping[str, Any], working_id: str, voice: Voice) -> Drawer | None:
    """The drawer of one working of a plan's table (`plan_as_json(plan)["workings"]`); None where it is not there."""
    entry = workings.get(working_id)
    if entry is None:
        return None
    value, bands = said_apart(entry["value"], voice)
    return Drawer(
        value,
        bands,
        voice.ours(entry["says"]),
        tuple(_went_in(name, ref, workings, voice) for name, ref in entry["inputs"].items()),
        Standing(entry["standing"]).words,
        _cited(entry.get("source", "")),
    )


def said_apart(shown: Any, voice: Voice) -> tuple[str, str]:
    """An amount of a JSON, its usual value, and its range in brackets: (“73 ml”, “(62–86 ml)”)."""
    return voice.bracketed(from_json(shown)) if isinstance(shown, dict) else (_said(shown, voice), "")


def _went_in(name: str, ref: Mapping[str, Any], workings: Mapping[str, Any], voice: Voice) -> WentIn:
    said = voice.ours(name.replace("_", " "))
    if "working" in ref:
        behind = workings.get(ref["working"], {})
        return WentIn(said, _said(behind.get("value"), voice), "worked out", ref["working"])
    value = _said(ref["shown"], voice)
    if "figure" in ref:
        standing = Standing(ref["standing"]).words
        cited = _cited(ref.get("source", ""))
        return WentIn(said, value, f"{standing}: {cited}" if cited else standing)
    return WentIn(said, value, ref.get("given") or "this sum")


def _said(shown: Any, voice: Voice) -> str:
    if shown is None:
        return "not known"
    if isinstance(shown, list):
        first = ", ".join(_said(item, voice) for item in shown[:_MOST])
        return f"{first} and {len(shown) - _MOST} more" if len(shown) > _MOST else first
    return voice.amount(from_json(shown)) if isinstance(shown, dict) else str(shown)


def _cited(keys: str) -> str:
    """The sources by name, as the bibliography has them."""
    known = bibliography()
    return "; ".join(known[key].citation for key in map(str.strip, keys.split(";")) if key in known)
