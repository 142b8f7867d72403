"""How well woods and old finishes are told: prints the tables of docs/accuracy.md that speak of them.

Run it as `python bench/accuracy_wood_finish.py [SPECIMENS]`: how many specimens of each wood and finish are drawn.
Specimens are drawn from the tables themselves, so this tests the method, not the woods.
"""

import statistics
import sys
from pathlib import Path
from random import Random

sys.path.insert(0, str(Path(__file__).resolve().parents[1] / "tests"))

from trials import (
    Specimen,
    Walk,
    best_next,
    finish_walks,
    half_hidden,
    in_order,
    misread,
    wood_in_first,
    wood_in_first_by_place,
    wood_walks,
)
from witnessmark.finish import by_finish, finish_question, old_finishes
from witnessmark.materials import material
from witnessmark.wood import wood_question, woods_told_apart


def whole(shown: Specimen, hand: Random) -> Specimen:
    return shown


def one_in_ten_wrong(shown: Specimen, hand: Random) -> Specimen:
    return misread(shown, wood_question(), 0.1, hand)


def woods(times: int) -> None:
    """Each wood among the first three."""
    print(f"""## Which wood

{len(woods_told_apart())} woods, {times} specimens of each, drawn from the tables themselves: this tests the method, not
the woods. Any specimen shows each state as often as the tables say; a typical one shows the usual state of every
feature. Right: its own wood is among the first three.
""")
    print("| what is seen | any specimen | a typical specimen | any specimen, region and place in the piece known "
          "| asked |\n|---|---|---|---|---|")  # fmt: skip
    for says, change, asked in (
        ("every feature listed for the wood", whole, 0.95),
        ("half of them, at random", half_hidden, 0.80),
        ("every one, one in ten read wrong", one_in_ten_wrong, 0.70),
    ):
        drawn = wood_in_first(3, change, times)
        usual = wood_in_first(3, change, times, typical=True)
        placed = wood_in_first_by_place(change, times)
        cells = " | ".join(_against(found, asked) for found in (drawn, usual, placed))
        print(f"| {says} | {cells} | {asked:.0%} |")


def _against(found: float, asked: float) -> str:
    return f"{found:.1%}" if found >= asked else f"{found:.1%}, short"


def looks(times: int) -> None:
    """The next best look against a fixed order, over the same specimens."""
    print(f"""
The looks it takes until some wood reaches 90 %, over {times} specimens of each wood; of most woods the tables tell no
more than the group, so that no look brings them there.
""")
    best = list(wood_walks(best_next, times))
    order = list(wood_walks(in_order(wood_question()), times))
    print("| | reach 90 % | looks, where both reach it | minutes | right |\n|---|---|---|---|---|")
    both = [(one, other) for one, other in zip(best, order, strict=True) if one.reached and other.reached]
    for says, walks, shared in (
        ("the next best look", best, [one for one, _ in both]),
        ("a fixed order, mildest first", order, [other for _, other in both]),
    ):
        there = [one for one in walks if one.reached]
        right = sum(next(iter(one.found.probabilities)) == one.key for one in there) / len(there)
        print(
            f"| {says} | {len(there) / len(walks):.0%} | {statistics.mean(len(one.looks) for one in shared):.1f} "
            f"| {statistics.mean(one.minutes for one in shared):.0f} | {right:.0%} |"
        )


def finishes(times: int) -> None:
    """Each old finish, in how many tests and with what harm."""
    print(f"""
## Which old finish

{len(old_finishes())} finishes, {times} specimens of each, bare of wax, tested one after the other until the finish may
be named or no test is worth its harm.
""")
    best = list(finish_walks(best_next, times))
    order = list(finish_walks(in_order(finish_question(), 5), times))
    print("| old finish | named | right, named or not | tests | worst harm of 5 | tests in the fixed order "
          "| worst harm in it |\n|---|---|---|---|---|---|---|")  # fmt: skip
    for key in old_finishes():
        _row(material(key).name, [one for one in best if one.key == key], [one for one in order if one.key == key])
    _row("all", best, order)


def _row(name: str, best: list[Walk], order: list[Walk]) -> None:
    right = sum(next(iter(by_finish(one.found))) == one.key for one in best) / len(best)
    print(
        f"| {name} | {sum(one.reached for one in best) / len(best):.0%} | {right:.0%} "
        f"| {statistics.mean(len(one.looks) for one in best):.1f} | {statistics.mean(one.harm for one in best):.1f} "
        f"| {statistics.mean(len(one.looks) for one in order):.1f} "
        f"| {statistics.mean(one.harm for one in order):.1f} |"
    )


if __name__ == "__main__":
    each = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    woods(each)
    looks(max(1, each // 5))
    finishes(each)
