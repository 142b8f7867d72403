"""How well dates are judged: prints the tables of docs/accuracy.md that speak of them.

    python bench/accuracy_dates.py [PIECES]

Museum pieces: the catalogued years against the program’s, beside an even spread over all years and a plain
intersection of the trapezoids. Calibration: 2,000 pieces invented by the stories that the program knows (replaced
fittings, marriages, timber used again, later work in an earlier style) and read with mistakes; the 90 % ranges
should hold the year of making in 90 ± 2 %.
"""

import csv
import math
import random
import sys
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np

from witnessmark.evidence import Clue, date, features
from witnessmark.evidence.clues import counted, weight_of
from witnessmark.evidence.dating import weigh
from witnessmark.evidence.features import Feature, Nature
from witnessmark.evidence.stories import stories
from witnessmark.evidence.styles import fashion, revival, styles
from witnessmark.evidence.years import commonness, making_years, on_to_now, shortest_span
from witnessmark.odds import How
from witnessmark.sources import rule

YEARS = making_years()
NOW = on_to_now(YEARS)
LOOKED_FOR = 12
SHARE = float(rule("evidence", "met_in_its_time").value)
GAP = int(rule("evidence", "copy_gap").value)
MARRIAGE_GAP = int(rule("evidence", "marriage_gap").value)


@dataclass
class Piece:
    """An invented piece: its true year and story, and what was read on it."""

    year: int
    story: str
    clues: list[Clue] = field(default_factory=list)
    styles: tuple[str, ...] = ()


def _year_by(chances, dice: random.Random) -> int:
    return dice.choices(list(YEARS.line), weights=chances)[0]


def _a_story(dice: random.Random) -> str:
    priors = {key: float(cells["prior"]) for key, cells in stories().items()}
    return dice.choices(list(priors), weights=list(priors.values()))[0]


def _part_year(one: Feature, piece: Piece, made: int, copied: int, stuff: int, altered: int, dice: random.Random):
    """The year of the part that would carry a feature: the story's, but for chance replacements."""
    places = set(stories()[piece.story].keys_in("places"))
    if one.part in places:
        return altered
    if piece.story == "later_style" and one.group.copied:
        return copied
    if piece.story == "made_up" and one.group.nature is Nature.STUFF:
        return stuff
    if piece.story == "made_up" and one.group.copied:
        return copied
    chance, older = dice.random(), min(one.group.older, 1 - one.replaced)
    if chance < one.replaced:
        return dice.randint(made, NOW.last)
    if chance < one.replaced + older:
        return dice.randint(YEARS.first, made)
    return made


def a_piece(dice: random.Random, with_style: bool) -> Piece:
    """A piece by chance, read by somebody who errs as often as a reading is allowed to."""
    story = _a_story(dice)
    named = (dice.choice(sorted(styles())),) if with_style else ()
    prior = revival(named, YEARS) if story == "later_style" else fashion(named, YEARS)
    if story == "made_up" and dice.random() < 0.5:
        prior = revival(named, YEARS)
    made = _year_by(prior, dice)
    other = made
    two = story == "marriage" or dice.random() < 0.3
    if story == "marriage":
        while abs(other - made) < MARRIAGE_GAP:
            other = dice.randint(YEARS.first, YEARS.last)
    piece = Piece(min(made, other), story, styles=named)
    early = max(YEARS.first, made - GAP)
    copied, stuff = dice.randint(YEARS.first, early), dice.randint(YEARS.first, early)
    if story == "made_up" and dice.random() < 0.5:
        copied = made
    altered = dice.randint(made, NOW.last)
    by_group: dict[str, list[Feature]] = {}
    for one in features().values():
        if not one.takes_a_year:
            by_group.setdefault(one.group.key, []).append(one)
    for group in dice.sample(sorted(by_group), LOOKED_FOR):
        one = dice.choice(by_group[group])
        common = one.floor + (1 - one.floor) * commonness(one, NOW.line)
        halves = (made, other) if story == "marriage" else (made,)
        parts = [_part_year(one, piece, year, copied, stuff, altered, dice) for year in halves]
        heights = [float(common[NOW.at(year)]) for year in parts] * (3 - len(parts))
        best = max(heights)
        if dice.random() < How.SEEN.reliability:
            seen = dice.random() < SHARE * best
        else:
            seen = dice.random() < SHARE * float(common.mean())
        half = ""
        if seen and two:
            half = dice.choices(["lower", "upper"], weights=[h + 1e-9 for h in heights])[0]
        how = How.SEEN if seen else How.NOT_SEEN
        piece.clues.append(Clue(one.key, how, half=half, reliability=How.SEEN.reliability))
    return piece


def held(pieces: list[Piece], share: float = 0.9) -> tuple[float, float]:
    """The share of pieces whose year lies in its range, and the median width of the ranges in years."""
    hits, widths = 0, []
    for piece in pieces:
        weights, _ = counted([weight_of(clue, YEARS) for clue in piece.clues], fashion(piece.styles, YEARS))
        _, _, chances = weigh(weights, piece.styles, (), YEARS)
        begins, ends = shortest_span(chances, share, YEARS)
        hits += begins <= piece.year <= ends
        widths.append(ends - begins)
    return hits / len(pieces), float(np.median(widths))


def calibration(number: int = 2000, seed: int = 7) -> list[tuple[str, int, float, float]]:
    """Rows of (which pieces, how many, share held, median width)."""
    dice = random.Random(seed)
    rows = []
    for words, with_style in (("no style named", False), ("style named", True)):
        pieces = [a_piece(dice, with_style) for _ in range(number // 2)]
        rows.append((words, len(pieces), *held(pieces)))
    return rows


# --- museum pieces ---

CASES = Path(__file__).parents[1] / "tests" / "evidence" / "museum_cases.csv"
FLOOR = 0.01  # the share of an even spread in the plain intersection, or one wrong clue would score minus infinity


@dataclass
class Case:
    """A piece a museum has dated: its clues and styles as we read them in the record."""

    key: str
    region: str
    styles: list[str]
    clues: list[Clue]
    begins: int
    ends: int


def museum_cases() -> list[Case]:
    """Every case of the table."""
    cases = []
    with CASES.open(encoding="utf-8", newline="") as handle:
        for row in csv.DictReader(handle):
            clues = []
            for text in filter(None, row["clues"].split(";")):
                key, _, year = text.partition("=")
                clues.append(Clue(key, year=int(year) if year else None))
            cases.append(Case(row["key"], row["region"], [key for key in row["styles"].split(";") if key], clues,
                              int(row["from_year"]), int(row["to_year"])))  # fmt: skip
    return cases


def score(chances, case: Case) -> float:
    """The logarithm of the chance given to the catalogued years."""
    inside = chances[YEARS.at(case.begins) : YEARS.at(case.ends) + 1].sum()
    return math.log(max(float(inside), 1e-9))


def intersection(clues: list[Clue]):
    """An even spread over the years that every trapezoid allows."""
    allowed = np.ones(len(YEARS.line))
    for clue in clues:
        feature = features()[clue.feature]
        allowed *= (YEARS.line == clue.year) if clue.year else (commonness(feature, YEARS.line) > 0)
    even = np.full(len(YEARS.line), 1 / len(YEARS.line))
    return (1 - FLOOR) * allowed / allowed.sum() + FLOOR * even if allowed.any() else even


def museum_rows() -> list[tuple[str, int, float, float, float, float, float]]:
    """Rows of (which cases, how many, our score, uniform, intersection, median width, share that overlap)."""
    rows = []
    even = np.full(len(YEARS.line), 1 / len(YEARS.line))
    everything = museum_cases()
    keyed = [case for case in everything if case.clues]
    for words, cases, with_style in (
        ("clues alone", keyed, False),
        ("clues and style", keyed, True),
        ("clues and style, and those with a style only", [case for case in everything if case.styles or case.clues],
         True),
    ):  # fmt: skip
        dated = [date(case.clues, case.styles if with_style else (), case.region) for case in cases]
        rows.append((
            words, len(cases),
            float(np.mean([score(one.chances, case) for one, case in zip(dated, cases, strict=True)])),
            float(np.mean([score(even, case) for case in cases])),
            float(np.mean([score(intersection(case.clues), case) for case in cases])),
            float(np.median([one.range90[1] - one.range90[0] for one in dated])),
            float(np.mean([one.range90[0] <= case.ends and one.range90[1] >= case.begins
                           for one, case in zip(dated, cases, strict=True)])),
        ))  # fmt: skip
    return rows


def museum_lines() -> list[str]:
    """The rows as lines of the table."""
    return [
        f"| {words} | {count} | {ours:.2f} | {uniform:.2f} | {plain:.2f} | {width:.0f} | {overlap:.0%} |"
        for words, count, ours, uniform, plain, width, overlap in museum_rows()
    ]


if __name__ == "__main__":
    print("## Dates: museum pieces\n")
    print("Mean logarithm of the chance given to the catalogued years: the higher the better. The styles were read in")
    print("the same records, so the rows with a style are a check of consistency, not proof.\n")
    print("| read | pieces | ours | even spread | intersection | median width of 90 %, years | 90 % overlaps |")
    print("|---|---|---|---|---|---|---|")
    print("\n".join(museum_lines()))
    print("\n## Dates: invented pieces\n")
    print("| read | pieces | 90 % ranges held the year | median width, years |\n|---|---|---|---|")
    for words, count, share, width in calibration(int(sys.argv[1]) if len(sys.argv) > 1 else 2000):
        print(f"| {words} | {count} | {share:.1%} | {width:.0f} |")
