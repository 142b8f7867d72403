"""A whole plan of the mahogany chest, made by hand, so that papers are tested on a plan whose every word is known.

`chest()` is the plan as a shop would have it; its arguments bend it: other words, other units, other parts.
"""

from collections.abc import Sequence
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from witnessmark.money import Cost
from witnessmark.plan import (
    Branch,
    Buy,
    Fact,
    Facts,
    MissingFact,
    Mix,
    PiecePlan,
    PlannedStep,
    Use,
    WayCosted,
)  # fmt: skip
from witnessmark.quantities import Area, Currency, Cut, Mass, Money, Range, Span, Temperature, Volume
from witnessmark.safety import Caution, Level
from witnessmark.schedule import Minutes, Slot
from witnessmark.shop import Shop, shop_from
from witnessmark.sources import Figure, Standing, Working, formula, given, work
from witnessmark.survey import Survey, survey_from
from witnessmark.treatment import NO_WAIT, Basis, Cure, Need, Reason, Step, Undo, Wait, WayOffered

ID = "01935d8e-7c00-7abc-8def-0123456789ab"
NOW = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)

SHOP = """
[shop]
name = "The Long Shed"
zone = "Europe/London"
currency = "GBP"
gallon = "imperial"
units = "{units}"
words = "{words}"
web = "{web}"

[[person]]
name = "Ellen"
hours = {{ "mon-fri" = "8:00-12:30, 13:15-17:30" }}
"""

_PARTS = (
    ("TOP", "top", "board", "1120 x 530 x 22 mm", "on the carcase, screwed from below", ""),
    ("CS", "carcase", "frame", "", "", ""),
    ("SL", "left side", "board", "900 x 500 x 20 mm", "carcase, left", "CS"),
    ("SR", "right side", "board", "900 x 500 x 20 mm", "carcase, right", "CS"),
    ("BK", "backboards", "board", "900 x 180 x 9 mm", "back of the carcase, nailed", "CS"),
    *(
        (f"D{n}", f"{place} drawer", "frame", "", f"carcase, {place}", "CS")
        for n, place in enumerate(("upper left", "upper right", "second", "third", "bottom"), 1)
    ),
    *((f"D{n}F", "drawer front", "board", "1000 x 180 x 20 mm", f"front of D{n}", f"D{n}") for n in range(1, 6)),
    *((f"D{n}B", "drawer bottom", "panel", "980 x 450 x 7 mm", f"under D{n}", f"D{n}") for n in range(1, 6)),
    *((f"R{n}", "runner", "board", "450 x 30 x 12 mm", f"carcase, under D{n}", "CS") for n in range(1, 6)),
    ("PL", "plinth", "frame", "", "beneath the carcase", ""),
    ("PLF", "plinth front moulding", "moulding", "1100 x 60 x 20 mm", "plinth, front, mitred", "PL"),
    ("F", "turned foot", "turned", "", "plinth corners", "PL"),
    ("KN", "turned knob", "turned", "", "drawer fronts", ""),
)


def survey(title: str = "Victorian mahogany chest of drawers", code: str = "41", extra: str = "") -> Survey:
    text = f"""
id = "{ID}"
[piece]
kind = "chest"
title = "{title}"
code = "{code}"
owner = "Mrs Ashdown"
came = "customer's"
came_on = 2026-11-03
came_from = "cold house"
promised = 2027-01-15
size = "1120 x 530 x 1080 mm"
show_wood = "mahogany"
"""
    for part, name, shape, size, sat, of in _PARTS:
        text += f'[[part]]\ncode = "{part}"\nname = "{name}"\nshape = "{shape}"\nwood = "mahogany"\nsat = "{sat}"\n'
        text += f'size = "{size}"\n' if size else ""
        text += f'of = "{of}"\n' if of else ""
        text += "count = 4\n" if part == "F" else "count = 8\n" if part == "KN" else ""
        text += 'up = "pencil triangle points up"\n' if part in {"D1", "D2"} else ""
        text += 'kept = "on sticks by the trestle"\n' if part == "TOP" else ""
    return survey_from(text + extra, "chest.toml")


def shop(words: str = "UK", units: str = "metric", web: str = "http://bench.local:8000") -> Shop:
    return shop_from(SHOP.format(words=words, units=units, web=web), "shop.toml")


@formula("volume = coats × area ÷ (coverage × transfer)")
def volume_for(coats: float, area: Area, coverage: float, transfer: float) -> Volume:
    return Volume(coats * area.square_metres / (coverage * transfer))


@formula("show area = Σ faces")
def faces(sizes: tuple[Area, ...]) -> Area:
    return Area(sum(size.square_metres for size in sizes))


AREA = work(faces, sizes=given("survey, show faces", (Area(0.59), Area(0.9), Area(0.93), Area(0.21))))
COVERAGE = Figure("coatings.csv: shellac", Range(9.0, 11.0, 13.0), Standing.COMMON_PRACTICE, "trade_common_practice")
TRANSFER = Figure("transfer", 0.85, Standing.FROM_MEMORY, "own_convention")


def _takes(coats: int) -> Working[Any]:
    return work(volume_for, coats=given("steps.csv", float(coats)), area=AREA, coverage=COVERAGE, transfer=TRANSFER)


FLAMES = Caution("spirit_flames", Level.STOP, "no flame and no spark while spirit is open; fan on",
                 "Ask the fire authority how much may be kept.", "trade_common_practice")  # fmt: skip
LIFT = Caution("lift", Level.MIND, "two people lift the carcase", "", "trade_common_practice")
DUST = Caution("lead_dust", Level.STOP, "old paint under the plinth: no dry sanding until it is tested for lead",
               "Ask a licensed firm before any lead work.", "trade_common_practice")  # fmt: skip

_FILM = Wait(Span.hours(4), Span.hours(24), Span.hours(72), Cure.CUT_BACK, Temperature(15), "trade_common_practice")
_GLUE = Wait(Span.hours(12), Span.hours(24), None, Cure.HANDLE, Temperature(10), "trade_common_practice")

_WORK: tuple[tuple[str, str, dict[str, Any]], ...] = (
    ("photograph", "photograph and record as found", {}),
    ("dust_off", "dust off with a soft brush", {"tools": ("soft brush", "low suction")}),
    ("spot_tests", "test the finish in a hidden spot", {"tools": ("swabs", "meths", "white spirit")}),
    ("clean", "clean with a wrung swab", {"area": AREA}),
    ("hardware_off", "take off the handles and plates", {"count": 8, "parts": ("KN",)}),
    *((f"off_{n}", f"take out drawer {n}", {"parts": (f"D{n}",)}) for n in range(1, 6)),
    ("free_fixing", "free the fixing that blocks the wood", {"count": 2, "parts": ("TOP",)}),
    ("open_joints", "open the loose joints only", {"count": 6, "parts": ("D1", "D3", "PL"), "undo": Undo.PARTLY}),
    ("strip", "strip off the glue lines", {"area": AREA, "undo": Undo.NO, "cautions": (FLAMES, DUST)}),
    ("wash_down", "wash down and dry out", {"area": AREA, "undo": Undo.NO}),
    ("joint_clean", "clean the joints to bare wood", {"count": 6, "undo": Undo.PARTLY}),
    ("dry_fit", "dry fit and check the diagonals", {"count": 6, "tools": ("cramps", "squaring rod")}),
    ("glue_up", "glue up by stages", {"count": 6, "wait": _GLUE, "cautions": (LIFT,)}),
    *(
        (f"runner_{n}", f"shoe the worn runner of drawer {n}", {"parts": (f"R{n}",), "wait": _GLUE})
        for n in range(1, 6)
    ),
    ("close_split", "close the split in the top", {"parts": ("TOP",), "wait": _GLUE}),
    ("patch", "let in patches at the plinth", {"count": 3, "parts": ("PLF",), "wait": _GLUE}),
    ("level", "level the repairs", {"count": 5}),
    ("stain", "colour the new wood to the old", {"count": 5, "undo": Undo.PARTLY}),
    ("seal", "seal with a thin coat", {"area": AREA, "needs": ("wash", 1), "wait": _FILM}),
    *((f"coat_{n}", f"brush coat {n}", {"area": AREA, "needs": ("mix", 1), "wait": _FILM}) for n in range(1, 6)),
    ("body_up", "body up with the rubber", {"area": AREA, "sessions": 6, "needs": ("mix", 1), "wait": _FILM}),
    ("flat", "flat down", {"area": AREA, "undo": Undo.NO}),
    ("adjust", "adjust the colour in the film", {"area": AREA, "undo": Undo.PARTLY}),
    ("finish_off", "finish off with the rubber", {"area": AREA, "sessions": 4, "needs": ("mix", 1), "wait": _FILM}),
    ("cut_back", "cut back with fine wool", {"area": AREA}),
    ("wax", "wax and burnish", {"area": AREA}),
    ("fit_drawers", "fit the drawers and wax the runners", {"count": 5}),
    ("refit", "refit the handles, each screw in its own hole", {"count": 8, "parts": ("KN",)}),
    ("last", "last photographs", {}),
)


def steps(work_to_do: Sequence[tuple[str, str, dict[str, Any]]] = _WORK) -> tuple[PlannedStep, ...]:
    planned, at = [], NOW.replace(hour=9)
    for n, (rule, name, more) in enumerate(work_to_do):
        more = dict(more)
        needs = more.pop("needs", None)
        if needs:
            takes = _takes(needs[1])
            material = "shellac_wash_coat" if needs[0] == "wash" else "shellac_french_polish"
            more["needs"] = (Need(material, "shellac, 1 lb cut" if needs[0] == "wash" else "shellac, 2 lb cut", takes),)
        basis = Basis.AREA if "area" in more else Basis.COUNT if "count" in more else Basis.PIECE
        parts = more.pop(
            "parts", ("TOP", "SL", "SR", "D1F", "D2F", "D3F", "D4F", "D5F", "PLF") if "area" in more else ()
        )
        step = Step(
            id=f"{rule}.chest", rule=rule, trade_name=name, labour=rule, basis=basis, parts=parts,
            between=_FILM if more.get("sessions", 1) > 1 else NO_WAIT,
            why=(Reason("It goes before what follows", ("finish.kind",)), Reason("Common practice of the bench.", ())),
            **more,
        )  # fmt: skip
        minutes = 20.0 + 7 * (n % 5)
        slots = []
        for session in range(1, step.sessions + 1):
            slots.append(Slot(at, at + timedelta(minutes=minutes), "Ellen", session, step.sessions))
            at += timedelta(hours=2)
            if at.hour >= 16:
                at = at.replace(hour=9) + timedelta(days=3 if at.weekday() == 4 else 1)
        logged = None
        if n < 2:
            logged = {"state": "done", "minutes": minutes, "who": ["Ellen"], "entries": [], "finished": NOW.isoformat()}
        planned.append(PlannedStep(step, Minutes(minutes, minutes * 1.3, minutes * 1.9), tuple(slots), logged))
    return tuple(planned)


def _way(key: str, name: str, allowed: bool, chosen: bool, undo: str) -> WayCosted:
    offered = WayOffered(
        key, name, "Take the old film off, repair, body up with the rubber, flatten, finish.", allowed,
        () if allowed else ("thin_veneer",), ("Daily use.",) if allowed else ("Veneer under 0.6 mm is not scraped.",),
        (), 3, undo, "fair: wipes clean, no heat or spirit", "stripper and spirit vapour",
    )  # fmt: skip
    if not allowed:
        return WayCosted(offered, chosen)
    return WayCosted(offered, chosen, Range(23.7, 23.7, 29.0), 31.2, _pounds(540, 612, 700))


def _pounds(low: int, usual: int, high: int) -> Range[Money]:
    return Range(*(Money(Decimal(sum_), Currency.GBP) for sum_ in (low, usual, high)))


def mixes() -> tuple[Mix, ...]:
    day = timedelta(days=1)
    uses = tuple(Use(f"coat_{n}.chest", Range(Volume(0.2), Volume(0.28), Volume(0.34))) for n in range(1, 6))
    return (
        Mix("jar.shellac", "shellac", "shellac, 2 lb cut (200 g/L)", Volume(2.0), Mass(345), Volume(1.72), Cut(199.7),
            NOW + 5 * day, NOW + 6 * day, (NOW + 5 * day + timedelta(hours=4), NOW + 6 * day), NOW + 180 * day,
            (Use("seal.chest", Volume(0.15)), *uses), Volume(0.2)),
        Mix("jar.glue", "hide_glue_hot", "hot hide glue", Mass(180), Mass(60), Mass(120), None,
            NOW + 2 * day, NOW + 3 * day, (), NOW + 9 * day, (Use("glue_up.chest", Mass(150)),)),
    )  # fmt: skip


def chest(of: Survey | None = None, at: Shop | None = None, **changed: Any) -> PiecePlan:
    veneer = MissingFact("piece.veneer_thickness", "veneer thickness", "whether it may be scraped",
                         "look at an edge or a keyhole with a lens and a rule", 5)  # fmt: skip
    plan = PiecePlan(
        survey=of or survey(),
        shop=at or shop(),
        now=NOW,
        facts=Facts(
            (Fact("piece.show_wood", "show wood", "mahogany"),
             Fact("finish.kind", "old finish", "shellac under later wax"),
             Fact("areas.total", "show surface", "2.63 m²")),
            (veneer, MissingFact("piece.weight", "weight", "how many people lift it", "bathroom scales", 10)),
            veneer,
        ),
        ways=(
            _way("clean_wax", "clean and wax", True, False, "can be undone"),
            _way("strip_rubber", "strip and French polish with a rubber", True, True, "can't be undone"),
            _way("varnish_barrier", "varnish over a barrier", False, False, "can't be undone"),
        ),
        branches=(Branch("spirit does not soften it: lacquer", (steps()[12].step, steps()[13].step)),),
        steps=steps(),
        mixes=mixes(),
        shopping=(
            Buy("shellac", "shellac flakes, blonde", Mass(345), Mass(0), "2 × 250 g", 2, _pounds(30, 36, 44)),
            Buy("ethanol_denatured", "meths", Volume(1.72), Volume(0.5), "1.5 l", 1, _pounds(9, 11, 14),
                Volume(1.5)),
            Buy("wax", "clear paste wax", Mass(120), Mass(250), "nothing: enough on the shelf", 0),
        ),
        cost=Cost(
            Money(Decimal(38), Currency.GBP), _pounds(540, 612, 700), _pounds(600, 680, 770), _pounds(700, 780, 880),
            None,
        ),
        cautions=(FLAMES, DUST, LIFT),
        rules=(),
        workings=(AREA, _takes(1)),
        total=Minutes(1422, 1740, 2040),
        warnings=("turned feet: no size, taken as 0.02 m² each",),
    )  # fmt: skip
    return replace(plan, **changed)
