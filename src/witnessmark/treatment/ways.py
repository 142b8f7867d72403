"""The ways to go about it: which are allowed, which are forbidden and by which rule, which the wishes favour.

Two tables forbid: `way_rules.csv`, and finish's compatibility.csv for every layer a way lays over another.
"""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass

from witnessmark.finish import LayerRule, Verdict, over
from witnessmark.materials import material
from witnessmark.sources import Row, table
from witnessmark.survey import About, Survey, key_of

from .finding import Finding

FORBIDS, FAVOURS, AGAINST = "forbid", "favour", "against"


@dataclass(frozen=True)
class RuleSaid:
    """One rule looked at: whether it fired, what overruled it, and why."""

    rule: str
    fired: bool
    why: str
    overruled_by: str | None = None


@dataclass(frozen=True)
class WayOffered:
    """One way, before it is timed and costed. `adds` is what it gives the piece, in words."""

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
    adds: str = ""


@dataclass(frozen=True)
class _Fired:
    """A rule that speaks of a way: for it, against it, or not at all."""

    rule: str
    verdict: str
    points: int
    why: str
    cites: tuple[str, ...]


def ways_for(
    findings: Sequence[Finding], skipped: Collection[str] = ()
) -> tuple[tuple[WayOffered, ...], tuple[RuleSaid, ...]]:
    """Every way of `ways.csv` weighed by its rules, mildest first, and what each rule said.

    `skipped`: rules of steps that somebody decided to leave out; a layer that needed them is then not allowed.
    """
    by_key: dict[str, Finding] = {}
    for finding in findings:
        by_key.setdefault(finding.key, finding)
    if "waxed_over" in by_key and "dewax" in skipped:
        by_key["wax_left_on"] = Finding("wax_left_on", "its wax is to stay on", by_key["waxed_over"].cites)
    heard: dict[str, RuleSaid] = {}
    fired: dict[str, list[_Fired]] = {}
    for entry in table("treatment", "way_rules.csv"):
        held = [by_key[key] for key in entry.keys_in("when") if key in by_key]
        why = "; ".join(f.says for f in held) or "nothing found that calls for it"
        name = f"way_rules.csv: {entry.key}"
        heard[name] = RuleSaid(name, bool(held), why)
        if held:
            points = int(entry.number("points") or 0) * (-1 if entry["verdict"] == AGAINST else 1)
            cites = tuple(dict.fromkeys(cite for finding in held for cite in finding.cites))
            for named in entry.keys_in("ways"):
                fired.setdefault(named, []).append(_Fired(name, entry["verdict"], points, entry["why"], cites))
    offered = []
    for way in table("treatment", "ways.csv"):
        mine = fired.get(way.key, [])
        for upper, lower, rule, cites in _layers(way, by_key, skipped):
            key = f"compatibility.csv: {rule.key}"
            says = f"{material(upper).name} over {material(lower).name}: {_said(rule)}"
            forbids = rule.verdict is Verdict.FORBID
            heard[key] = RuleSaid(key, forbids or heard.get(key, RuleSaid("", False, "")).fired, says)
            if forbids:
                mine = [*mine, _Fired(key, FORBIDS, 0, f"{says[0].upper()}{says[1:]}.", cites)]
        offered.append(_offered(way, mine))
    return tuple(offered), tuple(heard.values())


def _offered(way: Row, mine: Sequence[_Fired]) -> WayOffered:
    forbidding = [rule for rule in mine if rule.verdict == FORBIDS]
    return WayOffered(
        way.key, way["name"], way["gist"], not forbidding,
        tuple(rule.rule for rule in forbidding),
        tuple(rule.why for rule in (forbidding or mine)),
        tuple(dict.fromkeys(cite for rule in mine for cite in rule.cites)),
        sum(rule.points for rule in mine),
        way["reversible"], way["resistance"], way["hazard"], way["adds"],
    )  # fmt: skip


def _said(rule: LayerRule) -> str:
    return "; ".join(dict.fromkeys(text for text in (rule.verdict.value, rule.reason, rule.condition) if text))


def _layers(
    way: Row, by_key: dict[str, Finding], skipped: Collection[str]
) -> Iterator[tuple[str, str, LayerRule, tuple[str, ...]]]:
    """Each layer of a way over the one beneath, with each rule that says most, and the facts beneath."""
    beneath: list[tuple[str, str, tuple[str, ...]]] = []  # material, its state, the facts
    takes_off = way["takes_off"]
    if "old_finish" in by_key and takes_off != "film":
        film = by_key["old_finish"]
        if not (film.material == "wax" and takes_off):
            beneath = [(film.material, "clean_dry", film.cites)]
    # Wax must come off by a step of its own, before a stripper as well: only then does anything hold.
    if "waxed_over" in by_key and (not takes_off or "wax_left_on" in by_key):
        beneath = [("wax", "any", by_key["waxed_over"].cites)]
    for upper in way.keys_in("lays_keys"):
        for lower, state, cites in beneath:
            for rule in over(upper, lower, state).strictest:
                yield upper, lower, rule, cites
        beneath = [(upper, "cured", ())]


def chosen_way(survey: Survey, ways: Sequence[WayOffered]) -> tuple[WayOffered, str]:
    """The way taken and why: the restorer's own decision, else the most favoured, mildest first on a tie."""
    decided = [decision for decision in survey.decision if decision.about is About.WAY]
    if decided:
        last = decided[-1]
        named = next((way for way in ways if key_of(last.choose) in {key_of(way.key), key_of(way.name)}), None)
        if named:
            return named, f"{last.who} chose it: {last.why}"
    best = max((way for way in ways if way.allowed), key=lambda way: way.points)
    return best, " ".join(best.why) or "It is the mildest way that nothing speaks against."


def way_words() -> tuple[str, ...]:
    """The names and keys a `[[decision]]` about the way may choose."""
    return tuple(word for way in table("treatment", "ways.csv") for word in (way["name"], way.key))
