"""How long a cold `witnessmark mix` takes, as a ratio to a cold Python that only loads a little of its own library.

A ratio, since computers differ. Runs alternate, so that a busy moment falls on both; medians, so that one slow run
does not count. The aim is at most 4. Run it as `python bench/bench_mix.py [RUNS]`.
"""

import os
import statistics
import subprocess
import sys
import tempfile
import time

AIM = 4.0
MIX = [sys.executable, "-m", "witnessmark.cli", "mix", "--cut", "2 lb", "--make", "600 ml"]
BARE = [sys.executable, "-c", "import argparse, json, tomllib"]


def seconds(command: list[str], compiled: str) -> float:
    """Wall time of one cold run, compiled files kept in `compiled`. Raises CalledProcessError where it fails."""
    surroundings = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    started = time.perf_counter()
    subprocess.run(command, check=True, capture_output=True, env=surroundings | {"PYTHONPYCACHEPREFIX": compiled})
    return time.perf_counter() - started


def main(runs: int) -> int:
    """Prints the medians and their ratio; 1 where it is over the aim."""
    with tempfile.TemporaryDirectory() as compiled:
        for command in (MIX, BARE):
            seconds(command, compiled)  # once unmeasured: both then find their files compiled and on the disk
        pairs = [(seconds(MIX, compiled), seconds(BARE, compiled)) for _ in range(runs)]
    mix, bare = (statistics.median(times) for times in zip(*pairs, strict=True))
    print(f"mix {mix * 1000:.0f} ms, bare {bare * 1000:.0f} ms, ratio {mix / bare:.2f} (aim: at most {AIM:g})")
    return 0 if mix / bare <= AIM else 1


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 15))
