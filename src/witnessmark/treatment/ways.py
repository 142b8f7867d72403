"""The ways to go about it: which are allowed, which are forbidden and by which rule, which the wishes favour."""

from collections.abc import Sequence
from dataclasses import dataclass

from witnessmark.documents import nearest
from witnessmark.sources import table
from witnessmark.survey import About, Survey

from .findings import Finding


@dataclass(frozen=True)
class RuleSaid:
    """One rule looked at: whether it fired, what overruled it, and why."""

    rule: str
    fired: bool
    why: str
    overruled_by: str | None = None


@dataclass(frozen=True)
class WayOffered:
    """One way, before it is timed and costed."""

    key: str
    name: str
    gist: str
    allowed: bool
    forbidden_by: tuple[str, ...]
    why: tuple[str, ...]
    cites: tuple[str, ...]
    points: int
    reversible: str
    resistance: str
    hazard: str


def ways_for(findings: Sequence[Finding]) -> tuple[tuple[WayOffered, ...], tuple[RuleSaid, ...]]:
    """Every way of `ways.csv` weighed by `way_rules.csv`, mildest first, and what each rule said."""
    by_key: dict[str, Finding] = {}
    for finding in findings:
        by_key.setdefault(finding.key, finding)
    heard: list[RuleSaid] = []
    fired: list[tuple[tuple[str, ...], str, int, str, str, tuple[str, ...]]] = []
    for entry in table("treatment", "way_rules.csv"):
        held = [by_key[key] for key in entry.keys_in("when") if key in by_key]
        heard.append(
            RuleSaid(entry.key, bool(held), "; ".join(f.says for f in held) or "nothing found that calls for it")
        )
        if held:
            points = int(entry.number("points") or 0) * (-1 if entry["verdict"] == "against" else 1)
            cites = tuple(dict.fromkeys(cite for finding in held for cite in finding.cites))
            fired.append((entry.keys_in("ways"), entry["verdict"], points, entry.key, entry["why"], cites))
    offered = []
    for way in table("treatment", "ways.csv"):
        mine = [rule for rule in fired if way.key in rule[0]]
        forbidding = [rule for rule in mine if rule[1] == "forbid"]
        offered.append(
            WayOffered(
                way.key, way["name"], way["gist"], not forbidding,
                tuple(rule[3] for rule in forbidding),
                tuple(rule[4] for rule in (forbidding or mine)),
                tuple(dict.fromkeys(cite for rule in mine for cite in rule[5])),
                sum(rule[2] for rule in mine),
                way["reversible"], way["resistance"], way["hazard"],
            )
        )  # fmt: skip
    return tuple(offered), tuple(heard)


def chosen_way(survey: Survey, ways: Sequence[WayOffered]) -> tuple[WayOffered, str]:
    """The way taken and why: the restorer's own decision, else the most favoured, mildest first on a tie."""
    decided = [decision for decision in survey.decision if decision.about is About.WAY]
    if decided:
        last = decided[-1]
        named = next((way for way in ways if last.choose.lower() in {way.key, way.name}), None)
        if named:
            return named, f"{last.who} chose it on {last.on.isoformat()}: {last.why}"
    best = max((way for way in ways if way.allowed), key=lambda way: way.points)
    return best, " ".join(best.why) or "It is the mildest way that nothing speaks against."


def way_words() -> tuple[str, ...]:
    """The names and keys a `[[decision]]` about the way may choose."""
    return tuple(word for way in table("treatment", "ways.csv") for word in (way["name"], way.key))


def way_nearest(text: str) -> str | None:
    """The nearest right way for a mistyped one."""
    return nearest(text, way_words())
