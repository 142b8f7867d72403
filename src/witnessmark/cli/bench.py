"""The bench calculators: mix, thin, cut, jar and cover."""

import functools
from typing import Any

import click

from witnessmark import finish
from witnessmark.materials import material, material_named
from witnessmark.quantities import (
    Area,
    Coats,
    Cut,
    Density,
    Film,
    Gallon,
    Mass,
    Percent,
    Volume,
    high,
    low,
    mapped,
    say,
    up_to_mark,
    usual,
)
from witnessmark.sources import Figure, Input, given, row, work

from .checks import Some, named, one_of, refuses, result, together
from .frame import Answer, answers, asked, gallon_option

_VAPOUR = (
    "Alcohol vapour catches fire: no flame or spark, air the room, keep the lid on. "
    "Local codes and the label of your solvent come first."
)

_REASONS = (
    finish.BadAmount, finish.BadCut, finish.BadSample, finish.NoCoverage, finish.UnknownCoating,
)  # fmt: skip


def _says_cut(cut: Cut) -> str:
    return say(cut, gallon=asked().gallon or Gallon.US)


def _brushing(cut: Cut) -> tuple[Figure, list[str]]:
    """The coverage to reckon a brushed shellac by, and a warning where it was taken at another cut."""
    laid = finish.brushed_shellac(cut)
    tried = finish.usual_cut(laid.key).value
    same = _says_cut(tried) == _says_cut(cut)
    warning = f"coverage is that of a {_says_cut(tried)}; a weaker cut goes further, a stronger less far"
    return finish.coverage_of(laid.key), [] if same else [warning]


# --- shellac ---


@click.command()
@click.option("--cut", type=Some(Cut), required=True, help="The cut wanted: “2 lb” or “240 g/L”.")
@click.option("--solvent", type=Some(Volume), help="Solvent at hand.")
@click.option("--flakes", type=Some(Mass), help="Flakes at hand.")
@click.option("--make", type=Some(Volume), help="Finished liquid wanted.")
@click.option("--area", type=Some(Area, ranged=True), help="Area to brush; with --coats.")
@click.option("--coats", type=Some(Coats, ranged=True), help="Coats over --area.")
@gallon_option
@answers
@refuses(*_REASONS)
def mix(cut: Cut, solvent: Any, flakes: Any, make: Any, area: Any, coats: Any) -> Answer:
    """Flakes and solvent for a cut, from whichever amount is known."""
    together({"--area": area, "--coats": coats})
    from_what = one_of({"--solvent": solvent, "--flakes": flakes, "--make": make, "--area": area})
    the_cut, density = given("--cut", cut), finish.resin_density()
    says: list[str] = []
    warnings: list[str] = []
    resin: Input
    poured: Input
    volume: Input
    if from_what in ("--solvent", "--flakes"):
        if from_what == "--solvent":
            poured = given("--solvent", solvent)
            resin = work(finish.flakes_for, solvent=poured, cut=the_cut)
        else:
            resin = given("--flakes", flakes)
            poured = work(finish.solvent_for, flakes=resin, cut=the_cut)
        volume = work(finish.volume_of, solvent=poured, flakes=resin, resin_density=density)
        says.append(f"It comes to {say(usual(volume.value))} in the jar: the resin takes room too.")
    else:
        if from_what == "--make":
            volume = given("--make", make)
        else:
            coverage, warnings = _brushing(cut)
            volume = work(
                finish.brush_volume, coats=given("--coats", coats), area=given("--area", area),
                coverage=coverage, transfer=finish.brush_transfer(),
            )  # fmt: skip
        resin = work(finish.flakes_to_make, volume=volume, cut=the_cut, resin_density=density)
        poured = work(finish.solvent_in, volume=volume, cut=the_cut, resin_density=density)
        says.append(f"That makes {say(usual(volume.value))}.")
        if from_what == "--area":
            safe, middle = up_to_mark(high(volume.value)), density.value.usual
            in_it = (finish.flakes_to_make(safe, cut, middle), finish.solvent_in(safe, cut, middle))
            says = [
                f"{say(coats)} over {say(area)}: {say(usual(volume.value))}; "
                f"make {say(safe)} to be safe: {say(in_it[0])} in {say(in_it[1])}."
            ]
    first = f"{say(usual(resin.value))} of flakes in {say(usual(poured.value))} of solvent: a {_says_cut(cut)}."
    return Answer(result(resin=resin, solvent=poured, volume=volume), [first, *says], [_VAPOUR], warnings)


@click.command()
@click.option("--from", "from_cut", type=Some(Cut), required=True, help="The cut in the jar.")
@click.option("--to", "to_cut", type=Some(Cut), required=True, help="The cut wanted.")
@click.option("--have", type=Some(Volume), required=True, help="The liquid in the jar, resin included.")
@gallon_option
@answers
@refuses(*_REASONS)
def thin(from_cut: Cut, to_cut: Cut, have: Volume) -> Answer:
    """Solvent to add to a jar to bring it to a weaker cut."""
    jar = {
        "have": given("--have", have),
        "from_cut": given("--from", from_cut),
        "to_cut": given("--to", to_cut),
    }
    add = work(finish.to_thin, **jar, resin_density=finish.resin_density())
    volume = work(finish.thinned_volume, have=jar["have"], add=add)
    chart = work(finish.by_simple_dilution, **jar)
    says = [
        f"Add {say(usual(add.value))} of solvent.",
        f"{say(have)} of {_says_cut(from_cut)} becomes {say(usual(volume.value))} of {_says_cut(to_cut)}.",
    ]
    differs = (
        f"charts of simple dilution add {say(chart.value)}: they take all the liquid in the jar for solvent, "
        "though a cut counts flakes against the solvent alone and part of the jar is resin"
    )
    return Answer({"add": add, "volume": volume}, says, [_VAPOUR], [differs], [chart])


@click.command()
@click.option("--wet", type=Some(Mass), required=True, help="The sample as it left the jar, without its dish.")
@click.option("--dry", type=Some(Mass), required=True, help="The same sample dried hard.")
@gallon_option
@answers
@refuses(*_REASONS)
def cut(wet: Mass, dry: Mass) -> Answer:
    """The cut of an unknown jar, from a sample weighed wet and dry."""
    # The density is safety's figure, standing once in the tree; the finish room is handed it.
    density = row("safety", "solvents.csv", "ethanol", "material_key").figure(
        "density_g_ml", lambda number: Density(number * 1000)
    )
    assert density is not None
    found = work(finish.cut_from_sample, wet=given("--wet", wet), dry=given("--dry", dry), solvent_density=density)
    limits = "holds for shellac in alcohol with nothing else in it, and a sample dried until it gets no lighter"
    soft = "a drop that stays soft overnight means that the jar is past use, whatever its cut"
    on = "imperial" if asked().gallon is Gallon.IMPERIAL else "US"
    return Answer({"cut": found}, [f"A {_says_cut(found.value)}, on the {on} gallon."], [], [limits, soft])


@click.command()
@click.option("--have", type=Some(Volume), required=True, help="The liquid in the jar, resin included.")
@click.option("--cut", type=Some(Cut), required=True, help="Its cut.")
@click.option("--area", type=Some(Area, ranged=True), required=True, help="The area to brush.")
@click.option("--coats", type=Some(Coats, ranged=True), help="Coats wanted.")
@gallon_option
@answers
@refuses(*_REASONS)
def jar(have: Volume, cut: Cut, area: Any, coats: Any) -> Answer:
    """How many brushed coats a jar will lay, and what it lacks for those wanted."""
    coverage, warnings = _brushing(cut)
    there, over, transfer = given("--have", have), given("--area", area), finish.brush_transfer()
    lays = work(finish.coats_from, have=there, area=over, coverage=coverage, transfer=transfer)
    says = [
        f"{say(have)} of {_says_cut(cut)} lays about {say(usual(lays.value))} over {say(area)} "
        f"({say(lays.value)}); count on {say(finish.whole_coats(low(lays.value)))}."
    ]
    short = None
    if coats is not None:
        wanted = work(
            finish.brush_volume,
            coats=given("--coats", coats),
            area=over,
            coverage=coverage,
            transfer=transfer,
        )
        short = work(finish.short_by, wanted=wanted, have=there)
        if high(short.value).litres <= 0:
            says.append(f"Enough for {say(coats)}.")
        else:
            says.append(
                f"For {say(coats)} it is short by {say(usual(short.value))}; "
                f"mix {say(up_to_mark(high(short.value)))} more to be safe, before you start."
            )
    return Answer({"coats": lays, "short_by": short}, says, [], warnings)


# --- any coating ---


def _coating(text: str) -> tuple[finish.Coating, list[str]]:
    """The coating a name stands for, and what was taken where the name stands for several."""
    look = functools.partial(material_named, kinds=("coating", "stain", "wax", "old_finish"))
    found = named(look, "--coating", text, "a coating by its usual name, such as “Danish oil”")
    warnings = []
    if found.is_group:
        warnings.append(f"{found.name} is a group: reckoned as {material(found.default).name}")
    laid = finish.coatings_for(found.default)
    covering = [one for one in laid if one.coverage] or list(laid)
    if covering[0].key != found.default:
        others = ", ".join(one.name for one in laid if one is not covering[0])
        but = f"; not as {others}" if others else ""
        warnings.append(f"{material(found.default).name} is reckoned as {covering[0].name}{but}")
    return covering[0], warnings


@click.command()
@click.option("--coating", help="A coating by any of its names.")
@click.option("--solids", type=Some(Percent), help="Solids by volume, in place of a coating; with --film.")
@click.option("--film", type=Some(Film, ranged=True), help="Dry film wanted: “300 um”; with --solids.")
@click.option("--area", type=Some(Area, ranged=True), help="The area to cover.")
@click.option("--coats", type=Some(Coats, ranged=True), help="Coats over it (1 unless said).")
@answers
@refuses(*_REASONS)
def cover(coating: str | None, solids: Any, film: Any, area: Any, coats: Any) -> Answer:
    """How far a coating goes, and how much of it an area takes."""
    together({"--solids": solids, "--film": film})
    if one_of({"--coating": coating, "--solids": solids}) == "--coating":
        laid, warnings = _coating(str(coating))
        if laid.key == finish.PADDED:
            return _padded(laid, area, coats, warnings)
        rate: Any = finish.coverage_of(laid.key)
        says = [f"{laid.name} goes {say(rate.value)} a coat."]
    else:
        rate = work(finish.film_rate, solids=given("--solids", solids), film=given("--film", film))
        says, warnings = [f"At {say(solids)} solids it goes {say(rate.value)} to dry {say(film)} thick."], []
    volume = None
    if area is not None:
        coats = coats or Coats(1)
        volume = work(finish.volume_over, coats=given("--coats", coats), area=given("--area", area), rate=rate)
        safe = say(up_to_mark(high(volume.value)))
        first = f"{say(coats)} over {say(area)}: {say(usual(volume.value))}"
        says.insert(0, f"{first}; have {safe} to be safe." if high(volume.value) != volume.value else f"{first}.")
        warnings.append("this lies on the wood; what stays in brush, gun, dish and rag comes on top")
    return Answer(result(volume=volume, rate=rate), says, [], warnings)


def _padded(laid: finish.Coating, area: Any, coats: Any, warnings: list[str]) -> Answer:
    """Work with the rubber: sessions in place of coats, and one mix for them all."""
    charge = finish.rubber_charge()
    rate = work(finish.rubber_rate, per_session=charge)
    says = [f"{laid.name} goes by sessions: {say(charge.value)} of a 2 lb cut a square metre at each."]
    volume = None
    if area is not None:
        sessions: Input = (
            given("--coats", mapped(coats, lambda count: count.number))
            if coats
            else work(
                finish.sessions_of,
                body_up=finish.sessions_to_body_up(),
                after_flattening=finish.sessions_after_flattening(),
            )
        )
        volume = work(finish.rubber_volume, sessions=sessions, area=given("--area", area), per_session=charge)
        says.insert(
            0,
            f"{say(sessions.value)} sessions over {say(area)}: {say(usual(volume.value))}; "
            f"make one mix of {say(up_to_mark(high(volume.value)))} to be safe.",
        )
    return Answer(result(volume=volume, rate=rate), says, [], warnings)


COMMANDS = {"mix": mix, "thin": thin, "cut": cut, "jar": jar, "cover": cover}
