"""A page with one of everything the desk is built of, for tests and for looking at. Every figure on it is invented."""

from datetime import date, datetime
from pathlib import Path
from typing import Any

from django.template import engines

import pieces
from witnessmark.desk.drawings import Bar, Board, Hole, MapPart, Promise, Row
from witnessmark.evidence import dating_of, picture
from witnessmark.plan import plan_as_json, plan_piece

NOW = datetime(2026, 11, 10, 10, 40, tzinfo=pieces.shop().shop.zone_info)

BOARDS = (
    Board("In", "inked", "done 3 Sep", "#in"),
    Board("Looked over", "inked", "done 9 Sep", "#over"),
    Board("Quoted", "inked", "agreed 21 Sep", "#quoted"),
    Board("Apart", "now", "3 of 12 parts off", "#apart"),
    Board("On the bench", "tocome", "from Thu 12 Nov", "#bench"),
    Board("Together", "tocome", "from Mon 23 Nov"),
    Board("Out", "tocome", "promised Fri 27 Nov"),
)
CHEST = (
    MapPart("D1", "short drawer, left", "off", 1),
    MapPart("D2", "short drawer, right", "off", 2),
    MapPart("D3", "first long drawer", "off", 3),
    MapPart("D4", "second long drawer", "next", 4, "right runner worn: lift"),
    MapPart("D5", "bottom drawer of all", "on", 5),
    MapPart("PLINTH", "plinth", "on", 6),
    MapPart("TOP", "top", "on", 9),
    MapPart("FOOT-L", "foot, left", "on"),
    MapPart("FOOT-R", "foot, right", "on"),
    MapPart("BACK", "back boards, upright", "on", 7, "nails: draw from behind"),
    MapPart("LOCK", "locks", "off", 8),
)
CHAIR = tuple(
    MapPart(part.code, part.name, "next" if part.code == "ARM-L" else "on", at)
    for at, part in enumerate(pieces.chair().part, 1)
)


def at(day: int, hour: float, month: int = 11) -> datetime:
    return NOW.replace(month=month, day=day, hour=int(hour), minute=round(hour % 1 * 60))


WALL = {
    "rows": (
        Row(
            "Writing slope",
            "43",
            "walnut",
            (
                Bar("done", at(9, 9), at(9, 10), "H", "coat 1"),
                Bar("wait", at(9, 10), at(9, 14)),
                Bar("done", at(9, 14), at(9, 15), "H", "2"),
                Bar("wait", at(9, 15), at(10, 10.7)),
                Bar("tocome", at(10, 10.7), at(10, 11.5), "H", "3"),
                Bar("wait", at(10, 11.5), at(12, 9)),
                Bar("tocome", at(12, 9), at(12, 12), "H", "rub, 5"),
                Bar("wait", at(12, 12), at(17, 9)),
                Bar("tocome", at(17, 9), at(17, 13), "O", "polish"),
            ),
            Promise(at(19, 17), 91, False, (at(17, 13), at(18, 16), at(20, 12))),
        ),
        Row(
            "Windsor chair with a long name",
            "42",
            "ash and elm",
            (
                Bar("done", at(9, 9), at(9, 12), "O", "legs"),
                Bar("tocome", at(11, 9), at(11, 11), "O", "spindle"),
                Bar("tocome", at(13, 9), at(13, 13), "H", "colour"),
            ),
            Promise(at(18, 17), 78, True, (at(17, 13), at(19, 16), at(24, 12))),
        ),
        Row(
            "Dresser",
            "39",
            "pine, old lead paint",
            (
                Bar("done", at(10, 9.75), at(10, 10.5), "O", "wet"),
                Bar("wait", at(10, 10.5), at(10, 11.4)),
                Bar("tocome", at(10, 11.4), at(10, 13), "O", "lift"),
                Bar("tocome", at(24, 9), at(24, 14), "O", "limewash"),
            ),
            Promise(at(18, 17, 12), 64, True),
        ),
        Row(
            "Jars",
            "",
            "mix, stir, ready",
            (
                Bar("mix", at(10, 8.2), at(10, 8.5)),
                Bar("wait", at(10, 8.5), at(11, 9)),
                Bar("stir", at(10, 15), at(10, 15.1)),
                Bar("fit", at(11, 9), at(19, 9), word="jar 10, chair"),
            ),
        ),
    ),
    "now": NOW,
    "first": date(2026, 11, 9),
    "last": date(2026, 12, 13),
}
JARS = (
    {
        "jar": {"name": "Jar 7", "content": 210, "capacity": 300, "takes": 73, "low": 62, "high": 86},
        "of": "Blonde flakes, 2 lb cut",
        "mark": "face",
        "words": "Enough",
        "next": "slope, coat 3, today",
    },
    {
        "jar": {"name": "Jar 9", "content": 160, "capacity": 300, "takes": 190, "low": 170, "high": 215},
        "of": "Garnet flakes, 2 lb cut",
        "mark": "short",
        "words": "Short by 30 ml",
        "next": "chest, coat 1, Thu",
    },
    {
        "jar": {
            "name": "Jar 10",
            "content": 400,
            "capacity": 500,
            "takes": 120,
            "low": 100,
            "high": 138,
            "dissolving": True,
        },
        "of": "Blonde flakes, 1 lb cut",
        "mark": "wait",
        "words": "Dissolving till tomorrow 09:00",
        "next": "chair, Mon 16",
    },
    {
        "jar": {"name": "Jar 2", "content": 60, "capacity": 125},
        "of": "Clear paste wax",
        "mark": "open",
        "words": "Not called for",
        "next": "",
    },
    {
        "jar": {"name": "Jar 12", "content": 900, "capacity": 1000, "takes": 30},
        "of": "Alcohol, 99 %",
        "mark": "face",
        "words": "Enough",
        "next": "",
    },
)
PAGE = Path(__file__).parent / "desk/page_of_samples.html"


def sample_context() -> dict[str, Any]:
    workings = plan_as_json(plan_piece(pieces.chest(), pieces.shop(), pieces.daybook(), pieces.NOW))["workings"]
    ranged = next(key for key, one in workings.items() if isinstance(one["value"], dict) and "low" in one["value"])
    return {
        "place": "stock",
        "person": "Ines",
        "shop": pieces.shop(),
        "local_now": NOW,
        "now": NOW,
        "rows": BOARDS,
        "chest": CHEST,
        "chair": CHAIR,
        "part": {
            "code": "D4",
            "up": "pencil triangle on the back",
            "wide": 1000,
            "high": 230,
            "fixings": (Hole("N7", 0.2, 0.9), Hole("N8", 0.8, 0.9, True)),
        },
        "cautions": [
            {"level": "Stop", "says": "Old lead paint: no dry sanding, no heat.", "ask": "local rules on lead waste"},
            {"level": "Mind", "says": "Oily rags: lidded tin, under water."},
            "Two people from here on.",
        ],
        "known": ["Mahogany front", "12 parts, 34 fixings"],
        "missing": ["Weight of D5, guessed from its size"],
        "next": [{"says": "Look behind D5 for a label", "address": "#"}],
        "workings": workings,
        "evidence": evidence_of("chest"),
        "ids": [ranged, next(iter(workings))],
        "jars": JARS,
        "stages": [1, 4, 7],
        "waits": (("glue in clamps", at(10, 14.33), "3 h 40"), ("film hardens", at(11, 9), "22 h 20")),
        "faults": [{"key": "size", "found": "“900 by” is no size", "expected": "Write 900 x 450 x 20 mm."}],
        "fault": "“900 by” is no size. Write 900 x 450 x 20 mm.",
        "options": [("screw", "screw"), ("nail", "nail")],
        "weeks": WALL,
        "heads": ["Piece", "Begins", "Done"],
        "table": [["43", "Mon 9", "Tue 17"], ["42", "Mon 9", "Fri 13"]],
    }


def evidence_of(name: str) -> str:
    dating = dating_of(pieces.piece(name))
    return picture(dating)


def sample_page(**more: Any) -> str:
    return engines["django"].from_string(PAGE.read_text("utf-8")).render(sample_context() | more)
