"""Whether the odds are kept: jobs drawn from the spreads the working names, and how many stay within each promise.

Prints the share kept at 50, 80 and 95 % and the pinball loss at 80 % as a ratio to that of always promising the median.
Run it as `python bench/bench_calibration.py [JOBS]`; 1 where the 80 % is more than three points off.
"""

import sys

import numpy as np

from witnessmark.quantities import Area
from witnessmark.schedule import after_trial

USUAL, BETWEEN, PATCH, AREA = 25.0, 0.4, 0.25, 3.0
AIM = 0.03


def pinball(took: np.ndarray, promised: np.ndarray, odds: float) -> float:
    """The mean loss of a promise at these odds: late costs `odds`, early the rest."""
    late = took - promised
    return float(np.mean(np.maximum(odds * late, (odds - 1) * late)))


def main(jobs: int) -> int:
    """Pieces about the usual rate, a patch timed on each, the job then done."""
    luck = np.random.default_rng(1851)
    piece = np.log(USUAL) + luck.standard_normal(jobs) * BETWEEN
    patches = np.exp(piece + luck.standard_normal(jobs) * PATCH)
    took = AREA * np.exp(piece + luck.standard_normal(jobs) * PATCH)
    found = [
        after_trial([float(patch)], Area(AREA), usual=USUAL, spread=BETWEEN, patch_spread=PATCH).minutes
        for patch in patches
    ]
    promised = {name: np.array([getattr(one, name) for one in found]) for name in ("p50", "p80", "p95")}
    kept = {name: float(np.mean(took <= minutes)) for name, minutes in promised.items()}
    loss = pinball(took, promised["p80"], 0.8) / pinball(took, promised["p50"], 0.8)
    shares = ", ".join(f"{name[1:]} % held {share:.1%}" for name, share in kept.items())
    print(f"{jobs} jobs: {shares}; pinball loss at 80 % {loss:.2f} of the median's")
    return 0 if abs(kept["p80"] - 0.80) <= AIM else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 2000))
