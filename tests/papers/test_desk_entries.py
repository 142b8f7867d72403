"""Entries made at the desk, on paper: the treatment record tells the work, the end of day what was opened."""

import json

from papers.reading import words
from papers.work_done import ID, book, plan, shop
from witnessmark.daybook import DayBook, daybook_from
from witnessmark.papers import chosen_papers

_SAID = (
    {"what": "off", "part": "TOP", "note": "eight screws on its card"},
    {"what": "refit", "part": "TOP"},
    {"what": "coat", "step": {"id": "coat_1.show", "trade_name": "brush coat 1"}, "minutes": "20 min",
     "amounts": [{"material": "shellac", "volume": "35 ml", "jar": "S"}]},
    {"what": "paid", "sum": "£99", "note": "a deposit in notes"},
    {"what": "stage", "to": "quoted"},
    {"what": "acknowledged", "to": "lead_no_dust"},
    {"what": "signed", "photograph": "e" * 64, "to": "handing-in receipt"},
    {"what": "discarded", "piece": "", "amounts": [{"material": "old polish", "jar": "Z"}]},
)  # fmt: skip


def with_the_desk() -> DayBook:
    lines = [
        json.dumps({
            "id": f"01a1e4e8-6d40-7b0a-af04-ad9379c4ce{number:02}", "who": "Ellen",
            "happened": f"2026-11-25T10:{number}:00Z", "piece": ID, **entry,
        })
        for number, entry in enumerate(_SAID, 10)
    ]  # fmt: skip
    return DayBook.of([*book().entries, *daybook_from("\n".join(lines), "d", shop().context).entries])


def test_the_treatment_record_tells_what_came_off_and_what_was_laid_and_leaves_out_the_shop_s_own_business():
    said = words(chosen_papers([plan()], with_the_desk(), ["treatment_record"])["treatment-record.pdf"]).lower()
    for line in ("taken off", "eight screws on its card", "put back", "a coat laid: brush coat 1", "35 ml"):
        assert line in said
    for line in ("£99", "a deposit in notes", "quoted", "lead_no_dust", "handing-in receipt"):
        assert line not in said


def test_the_end_of_day_lids_what_was_opened_and_not_what_was_thrown_away():
    said = words(chosen_papers([plan()], with_the_desk(), ["end_of_day"])["end-of-day.pdf"])
    assert "Lid on, name on: jar S, shellac" in said
    assert "jar Z" not in said
