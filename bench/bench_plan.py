"""How the plan grows with the piece, and what its workings cost. Prints ratios; run `python bench/bench_plan.py`.

A 200-part plan against a 50-part one (at most 5 times), and a plan with its workings (each named, and exported as one
table) against the same plan without (at most 1.5 times). Runs are taken in turn, so that a slow minute hits both sides.
"""

import json
import statistics
import time
from collections.abc import Callable
from datetime import UTC, datetime
from unittest import mock

from witnessmark.daybook import DayBook
from witnessmark.plan import plan_as_json, plan_piece
from witnessmark.shop import plain_shop
from witnessmark.sources import Working
from witnessmark.survey import Survey, survey_from

NOW = datetime(2026, 11, 25, 8, tzinfo=UTC)
RUNS = 7


def survey_of(parts: int) -> Survey:
    """A bookcase of so many shelves: each a sized, showing part, a joint for each, a fault on every fifth."""
    lines = ['schema = 1\nid = "0190a5b2-0000-7000-8000-000000000001"\n[piece]\nkind = "bookcase"\nshow_wood = "oak"']
    lines.append('[finish]\nkind = "shellac"\n[wishes]\nkeep = "nothing"\nsheen = "gloss"')
    for number in range(parts):
        lines.append(
            f'[[part]]\ncode = "P{number}"\nname = "shelf {number}"\nwood = "oak"\nshape = "board"\n'
            f'size = "{800 + number} x 300 x 20 mm"\nshow = ["top", "front edge"]'
        )
        if number:
            state = "loose" if number % 5 == 0 else "tight"
            lines.append(
                f'[[joint]]\ncode = "J{number}"\nparts = ["P{number}", "P{number - 1}"]\nheld = ["glued"]\n'
                f'state = "{state}"\nacross_grain = "yes"'
            )
        if number % 5 == 0:
            lines.append(f'[[condition]]\nterm = "loss"\npart = "P{number}"')
    return survey_from("\n".join(lines), "bench")


def with_workings(survey: Survey) -> None:
    json.dumps(plan_as_json(plan_piece(survey, plain_shop(), DayBook(), NOW)))


def without_workings(survey: Survey) -> None:
    with (
        mock.patch.object(Working, "id", property(lambda self: str(id(self)))),
        mock.patch("witnessmark.plan.outside.table_of", return_value={}),
    ):
        json.dumps(plan_as_json(plan_piece(survey, plain_shop(), DayBook(), NOW)))


def seconds(run: Callable[[], None]) -> float:
    start = time.perf_counter()
    run()
    return time.perf_counter() - start


def ratio(what: str, one: Callable[[], None], other: Callable[[], None], most: float) -> bool:
    """The median ratio of `one` to `other`, run in turn."""
    one(), other()
    ratios = [seconds(one) / seconds(other) for _ in range(RUNS)]
    middle = statistics.median(ratios)
    print(f"{what}: {middle:.2f} times ({min(ratios):.2f} to {max(ratios):.2f}); at most {most}")
    return middle <= most


def main() -> int:
    small, large = survey_of(50), survey_of(200)
    kept = [
        ratio("a 200-part plan to a 50-part one", lambda: with_workings(large), lambda: with_workings(small), 5),
        ratio("workings on to workings off", lambda: with_workings(large), lambda: without_workings(large), 1.5),
    ]
    return 0 if all(kept) else 1


if __name__ == "__main__":
    raise SystemExit(main())
