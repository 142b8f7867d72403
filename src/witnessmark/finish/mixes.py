"""Mixes: flakes and solvent for a cut, thinning, the cut of an unknown jar, and how far a jar goes.

A cut counts resin against the *solvent poured*, not against the finished liquid. Everything here follows from
that and from the room the resin itself takes up; printed dilution charts, which often forget one or the
other, are not used.
"""

import math
from collections.abc import Callable
from typing import Any, TypeVar

from witnessmark.quantities import (
    Amount,
    Area,
    Coats,
    Coverage,
    Cut,
    Density,
    Film,
    Mass,
    Percent,
    Volume,
    say,
)
from witnessmark.sources import Figure, formula, row, rule

A = TypeVar("A", bound=Amount)


class BadCut(ValueError):
    """A cut that can't be mixed, or a thinning that would have to thicken. Says what to do instead."""


class BadAmount(ValueError):
    """An amount no jar, brush or scale can have: nothing, or less than nothing."""


class BadSample(ValueError):
    """A dried sample that tells no cut: no lighter dry than wet, or with more resin than a jar holds."""


def _mixable(cut: Cut) -> Cut:
    strongest: Cut = rule("finish", "strongest_cut").value
    if cut.grams_per_litre <= 0:
        raise BadCut(
            f"A cut of {cut.grams_per_litre:.3g} g/L can't be mixed. A cut is more than 0: "
            "give grams of flakes to the litre of solvent, such as 240 g/L, or pounds, such as 2 lb."
        )
    if cut > strongest:
        raise BadCut(
            f"A {say(cut)} can't be mixed: above {strongest.grams_per_litre:.0f} g/L flakes hardly dissolve. "
            "Check the unit: a 2 lb cut is 240 g/L on the US gallon."
        )
    return cut


def _some(what: str, amount: A) -> A:
    if amount.magnitude <= 0:
        raise BadAmount(f"{what}: {amount.shown:.6g} {amount.unit.value} won't do. Give more than nothing.")
    return amount


def _share(what: str, share: float) -> float:
    if not 0 < share <= 1:
        raise BadAmount(f"{what}: {share:.6g} won't do. It is a share, more than 0 and at most 1.")
    return share


def _property(key: str, kind: Callable[[float], Any]) -> Figure:
    cells = row("finish", "shellac_properties.csv", key)
    figure = cells.range_figure(("min", "typical", "max"), kind)
    assert figure is not None, f"{cells.table}, line {cells.line}: no figure"
    return figure


def resin_density() -> Figure:
    """How heavy the resin itself is: the least and most that are printed, and our working middle."""
    return _property("resin_specific_gravity_lac_resin", lambda gravity: Density(gravity * 1000))


# --- mixing ---


@formula("solvent = flakes ÷ cut")
def solvent_for(flakes: Mass, cut: Cut) -> Volume:
    """Solvent to pour on dry flakes to make `cut`. The jar ends fuller than this: see `volume_of`."""
    return Volume(_some("Flakes", flakes).grams / _mixable(cut).grams_per_litre)


@formula("flakes = solvent × cut")
def flakes_for(solvent: Volume, cut: Cut) -> Mass:
    """Dry flakes to put into this much solvent to make `cut`."""
    return Mass(_some("Solvent", solvent).litres * _mixable(cut).grams_per_litre)


@formula("volume = solvent + flakes ÷ resin density")
def volume_of(solvent: Volume, flakes: Mass, resin_density: Density) -> Volume:
    """What stands in the jar once the flakes are dissolved: the solvent and the room the resin takes.

    That volumes add is an approximation; the printed rule of a tenth of a gallon gained for each pound bears
    it out.
    """
    return solvent + Volume(flakes.grams / resin_density.kilograms_per_cubic_metre)


@formula("resin = liquid × cut ÷ (1 + cut ÷ resin density)")
def flakes_to_make(volume: Volume, cut: Cut, resin_density: Density) -> Mass:
    """Flakes to weigh out so that the finished liquid comes to `volume`; also the resin a jar of it holds."""
    share = 1 + _mixable(cut).grams_per_litre / resin_density.kilograms_per_cubic_metre
    return Mass(_some("Liquid", volume).litres * cut.grams_per_litre / share)


@formula("solvent = liquid ÷ (1 + cut ÷ resin density)")
def solvent_in(volume: Volume, cut: Cut, resin_density: Density) -> Volume:
    """The solvent in this much finished liquid."""
    return _some("Liquid", volume) / (1 + _mixable(cut).grams_per_litre / resin_density.kilograms_per_cubic_metre)


# --- thinning ---


@formula("add = liquid ÷ (1 + from ÷ resin density) × (from ÷ to − 1)")
def to_thin(have: Volume, from_cut: Cut, to_cut: Cut, resin_density: Density) -> Volume:
    """Solvent to add to the liquid in a jar, resin included, to bring it from one cut to a weaker.

    Not the simple dilution `have × (from ÷ to − 1)`, which takes the liquid in the jar for solvent and adds
    too much. Raises BadCut where `to_cut` is the stronger, saying how many flakes would make it so.
    """
    solvent = solvent_in(have, from_cut, resin_density)
    if _mixable(to_cut) > from_cut:
        flakes = Mass(solvent.litres * (to_cut.grams_per_litre - from_cut.grams_per_litre))
        raise BadCut(
            f"From {say(from_cut)} to {say(to_cut)} is not thinning. "
            f"To make it stronger add flakes: {say(flakes)} to the {say(have)} in the jar."
        )
    return solvent * (from_cut / to_cut - 1)


@formula("add = liquid × (from ÷ to − 1)")
def by_simple_dilution(have: Volume, from_cut: Cut, to_cut: Cut) -> Volume:
    """What many charts would add: they take the liquid in the jar for solvent. Shown beside `to_thin`."""
    return _some("Liquid", have) * (_mixable(from_cut) / _mixable(to_cut) - 1)


@formula("volume = liquid + added")
def thinned_volume(have: Volume, add: Volume) -> Volume:
    """What stands in the jar after thinning."""
    return have + add


@formula("cut = dry ÷ ((wet − dry) ÷ solvent density)")
def cut_from_sample(wet: Mass, dry: Mass, solvent_density: Density) -> Cut:
    """The cut of an unknown jar from a sample weighed wet, and again once it is dried hard.

    Holds where what dries is all resin and what leaves is all solvent of this density: a sample still soft
    keeps spirit and reads strong; dye, pigment or oil in the jar are weighed as resin. A drop that never
    hardens says that the jar is past use, whatever its cut.
    """
    if _some("Dry sample", dry) >= _some("Wet sample", wet):
        raise BadSample(
            f"The sample weighs {dry.grams:.6g} g dry and {wet.grams:.6g} g wet: it should lose weight. "
            "Check which is which, and take the dish off both."
        )
    cut = Cut(dry.grams / (wet - dry).grams * solvent_density.kilograms_per_cubic_metre)
    if cut > rule("finish", "strongest_cut").value:
        raise BadSample(
            f"That would be a {say(cut)}, more than a jar holds. "
            "Take the dish off both weights, dry the sample hard, and weigh again."
        )
    return cut


# --- brush ---


@formula("volume = coats × area ÷ coverage ÷ transfer")
def brush_volume(coats: Coats, area: Area, coverage: Coverage, transfer: float) -> Volume:
    """What to mix for so many brushed coats. `transfer` is the share that reaches the wood."""
    over = _some("Coats", coats).number * _some("Area", area).square_metres
    return Volume(over / _some("Coverage", coverage).square_metres_per_litre / _share("Transfer", transfer))


@formula("coats = liquid × coverage × transfer ÷ area")
def coats_from(have: Volume, area: Area, coverage: Coverage, transfer: float) -> Coats:
    """How many coats a jar will brush over an area; the part of a coat left over is a part, not a coat."""
    reach = _some("Liquid", have).litres * _some("Coverage", coverage).square_metres_per_litre
    return Coats(reach * _share("Transfer", transfer) / _some("Area", area).square_metres)


def whole_coats(coats: Coats) -> Coats:
    """The coats to count on: a jar that runs dry in the middle of one has not laid it."""
    return Coats(math.floor(round(coats.number, 9)))  # a mix made for eight is eight, not seven and a hair


@formula("short by = wanted − in the jar, or nothing")
def short_by(wanted: Volume, have: Volume) -> Volume:
    """What a jar lacks for a job; nothing where it is enough."""
    return max(wanted - have, Volume(0.0))


# --- coverage ---


@formula("volume = coats × area ÷ rate")
def volume_over(coats: Coats, area: Area, rate: Coverage) -> Volume:
    """What lies on the wood after so many coats at this rate; what stays in the brush is not in it."""
    over = _some("Coats", coats).number * _some("Area", area).square_metres
    return Volume(over / _some("Coverage", rate).square_metres_per_litre)


@formula("rate = solids ÷ film")
def film_rate(solids: Percent, film: Film) -> Coverage:
    """How far a litre goes to leave a dry film: a litre spread over a square metre lies a millimetre thick.

    `solids` is the share by *volume* that stays when dry, not the share by weight on most labels.
    """
    if not 0 < solids.percent <= 100:
        raise BadAmount(f"Solids: {solids.percent:.6g} % won't do. Volume solids lie above 0 and up to 100 %.")
    return Coverage(solids.percent / 100 * 1000 / _some("Film", film).micrometres)


# --- the rubber ---


@formula("sessions = to body up + after flattening")
def sessions_of(body_up: float, after_flattening: float) -> float:
    """Sessions with the rubber for a whole polish. Sessions, not coats: a little is charged at a time."""
    return body_up + after_flattening


@formula("volume = sessions × area × charge a square metre")
def rubber_volume(sessions: float, area: Area, per_session: Volume) -> Volume:
    """One mix for all sessions with the rubber. `per_session` is what a square metre takes at one session."""
    if sessions <= 0:
        raise BadAmount(f"Sessions: {sessions:.6g} won't do. Give one or more.")
    return _some("Charge", per_session) * (sessions * _some("Area", area).square_metres)


@formula("rate = a square metre ÷ its charge")
def rubber_rate(per_session: Volume) -> Coverage:
    """How far a litre goes at one session with the rubber."""
    return Coverage(1 / _some("Charge", per_session).litres)


def sessions_to_body_up() -> Figure:
    """Sessions before the surface is flattened."""
    return _property("french_polish_sessions_first_bodying", float)


def sessions_after_flattening() -> Figure:
    """Sessions after it."""
    return _property("french_polish_sessions_second_bodying_after_levelling", float)


def rubber_charge() -> Figure:
    """What a square metre takes at one session of a 2 lb mix, until the shop's own figure is known."""
    return _property("french_polish_use_2_lb_cut_charged_to_the_rubber_per_session", Volume.millilitres)


def brush_transfer() -> Figure:
    """The share of what is poured that a brush lays on the wood."""
    return rule("finish", "brush_transfer")
