"""How quickly a date is judged: the whole answer against a plain vectorised sum of the same.

    python bench/bench_dating.py

The plain sum is of the same posterior, each clue left out in turn, and the expected information of every feature.
Ours weighs ten stories besides, and words it all; it should take at most three times as long.
"""

import time

import numpy as np

from witnessmark.evidence import Clue, date, features
from witnessmark.evidence.clues import weight_of
from witnessmark.evidence.years import commonness, making_years
from witnessmark.sources import rule

YEARS = making_years()
SHARE = float(rule("evidence", "met_in_its_time").value)


def _plain(clues: list[Clue]) -> float:
    """The same posterior, each clue left out in turn, and the expected information of every other feature."""
    rows = np.log([weight_of(clue, YEARS).made for clue in clues])
    whole = rows.sum(axis=0)
    chances = np.exp(whole - whole.max())
    chances /= chances.sum()
    left = np.exp(whole - rows)
    left /= left.sum(axis=1, keepdims=True)
    there = SHARE * np.array([commonness(one, YEARS.line) for one in features().values()]) * 0.9 + 0.01
    tables = np.stack([there, 1 - there], axis=1)
    joint = tables * chances
    return float((joint * np.log2(tables / joint.sum(axis=2, keepdims=True))).sum())


def speed(times: int = 20) -> tuple[float, float]:
    """Seconds of our answer and of the plain sum, each the best of several."""
    clues = [
        Clue(key)
        for key in (
            "dovetail_fine_hand_uk",
            "cockbead_drawer",
            "screw_lathe_blunt",
            "saw_circular",
            "plate_oval_stamped",
            "lock_mark_gr_early",
            "veneer_sawn_circular",
            "nail_cut_uk",
        )
    ]
    best = [float("inf"), float("inf")]
    for _ in range(times):
        for at, run in enumerate((lambda: date(clues, (), "UK"), lambda: _plain(clues))):
            start = time.perf_counter()
            run()
            best[at] = min(best[at], time.perf_counter() - start)
    return best[0], best[1]


if __name__ == "__main__":
    ours, plain = speed()
    print(f"one answer {ours * 1000:.1f} ms, plain sum {plain * 1000:.1f} ms, ratio {ours / plain:.1f}")
