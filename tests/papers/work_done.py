"""The hand-made chest with a day book of its own, so that every word of its single papers is known."""

import json
from dataclasses import replace
from functools import cache

from papers.chest import ID, chest, shop, survey
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.papers import WHICH, chosen_papers
from witnessmark.plan import PiecePlan, PlannedStep
from witnessmark.shop import Shop
from witnessmark.survey import Survey

SEEN = """
[finish]
kind = "french polish"
state = "dry and marked on the top"
waxed_over = "yes"
[wishes]
keep = "old surface"
use = "daily"
spend_up_to = "£500"
sells_for = "£760"
note = "Leave the ring marks if you can."
[[joint]]
code = "J1"
parts = ["TOP", "CS"]
made = "screwed from below"
held = ["screwed"]
state = "loose"
  [[joint.fixing]]
  code = "S1"
  kind = "screw"
  hole = "left, back"
  size = "1 1/4 in no. 8"
  ends = "back"
  [[joint.fixing]]
  code = "S2"
  kind = "screw"
  hole = "right, back"
  ends = "not going back"
  why = "a later screw, it split the rail"
  [[joint.fixing]]
  code = "S3"
  kind = "screw"
  hole = "left, front"
  ends = "replaced"
  by = "an old screw of the same pitch"
  [[joint.fixing]]
  code = "S4"
  kind = "glue block"
  hole = "right, front"
[[condition]]
term = "split"
part = "TOP"
severity = "moderate"
length = "460 mm"
note = "From the right end, clean."
[[condition]]
term = "ring mark"
part = "TOP"
severity = "slight"
count = 2
[[condition]]
term = "missing"
part = "KN"
severity = "moderate"
note = "One of the eight."
[[test]]
test = "alcohol"
state = "softens_sticky"
part = "TOP"
on = 2026-11-17
who = "Ellen"
[[reading]]
about = "date"
feature = "foot_bun"
part = "F"
[[reading]]
about = "date"
feature = "nail_wire_eu"
part = "BK"
later = "yes"
[[decision]]
about = "skip"
step = "wax"
who = "Mrs Ashdown"
on = 2026-11-18
why = "she waxes it herself"
"""

_STEP = {"id": "photograph.chest", "trade_name": "photograph and record as found", "parts": []}
_BOOK = (
    {"what": "worked", "happened": "2026-11-24T09:00:00Z", "piece": ID, "step": _STEP, "minutes": "20 min"},
    {"what": "done", "happened": "2026-11-24T09:20:00Z", "piece": ID, "step": _STEP},
    {"what": "sent", "happened": "2026-11-24T10:00:00Z", "piece": ID, "part": "KN", "to": "the turner",
     "note": "one knob to match"},
    {"what": "note", "happened": "2026-11-24T11:00:00Z", "piece": ID, "part": "PL", "note": "an old wedge, sound"},
    {"what": "used", "happened": "2026-11-25T09:00:00Z", "piece": ID, "part": "TOP",
     "amounts": [{"material": "boiled linseed oil", "volume": "30 ml", "jar": "L"}]},
    {"what": "worked", "happened": "2026-11-25T10:00:00Z", "piece": ID, "minutes": "1 h 30 min"},
)  # fmt: skip


@cache
def book() -> DayBook:
    """Four entries of yesterday, two of today."""
    lines = [
        json.dumps({"id": f"01a1e4e8-6d40-7b0a-af04-ad9379c4cd{n:02}", "who": "Ellen", **entry})
        for n, entry in enumerate(_BOOK, 10)
    ]
    return daybook_from("\n".join(lines), "book.jsonl", shop().context)


def seen(extra: str = SEEN) -> Survey:
    return survey(extra=extra)


def known_steps() -> tuple[PlannedStep, ...]:
    """The hand-made work under rules that have words for a customer; what takes a mix is a film."""
    ours = {"photograph": "record", "stain": "colour_bare", "adjust": "colour_film", "flat": "flatten",
            "refit": "hardware_back", "last": "photograph_after", "fit_drawers": "runner"}  # fmt: skip
    families = {"off": "hardware_off", "runner": "runner", "coat": "brush_coats"}
    found = []
    for one in chest().steps:
        rule = ours.get(one.step.rule) or families.get(one.step.rule.split("_")[0], one.step.rule)
        if rule != "cut_back":
            found.append(replace(one, step=replace(one.step, rule=rule, film=bool(one.step.needs))))
    return tuple(found)


def plan(at: Shop | None = None, **changed: object) -> PiecePlan:
    return chest(of=seen(), at=at, **{"steps": known_steps(), **changed})


@cache
def single() -> dict[str, bytes]:
    """Every single paper of it but the quotation, whose second way asks the rules."""
    return chosen_papers([plan()], book(), [key for key in WHICH if key != "quotation"])
