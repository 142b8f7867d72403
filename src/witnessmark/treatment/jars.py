"""Mixes over the whole piece: one a show surface, with some kept back, never drawn dry in the middle of a coat.

All shellac of a piece comes from one mix, so that its colour is one; sealing coats are that mix let down. An old jar
of the same cut serves for sealing once a drop of it has dried hard on glass. Hot glue is soaked ahead as well.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from witnessmark.finish import flakes_for, keeps_for, resin_density, solvent_in
from witnessmark.materials import UnknownName, fits, material, material_named
from witnessmark.quantities import Cut, Density, Mass, Volume, high, say, up_to_mark, usual
from witnessmark.shop import Shelf, Shop
from witnessmark.sources import Formula, Input, Working, formula, given, rule, work

from .step import Step

SHELLAC_CUTS = {
    "shellac_wash_coat": "wash_cut",
    "shellac_french_polish": "rubber_cut",
    "shellac_2lb_brushed": "rubber_cut",
}
GLUE = "hide_glue_hot"


@formula("mix = thin liquid × resin in a litre of it ÷ resin in a litre of the mix")
def mix_in(thin: Volume, thin_cut: Cut, mix_cut: Cut, resin_density: Density) -> Volume:
    """How much of a mix goes into so much thinner liquid let down from it."""

    def resin_a_litre(cut: Cut) -> float:
        return cut.grams_per_litre / (1 + cut.grams_per_litre / resin_density.kilograms_per_cubic_metre)

    return thin * (resin_a_litre(thin_cut) / resin_a_litre(mix_cut))


@formula("drawn = so far + one more use")
def drawn_with(so_far: Volume, more: Volume) -> Volume:
    """What all uses up to this one draw from a jar."""
    return so_far + more


@formula("make = all uses + the share kept back")
def to_make(drawn: Volume, kept_back: float, least: Volume) -> Volume:
    """What to mix: every use, and some kept back for making good; never less than is worth a jar."""
    return max(drawn * (1 + kept_back), least)


@formula("glue = so far + one more use")
def glue_with(so_far: Mass, more: Mass) -> Mass:
    """What all uses up to this one take of a pot of glue."""
    return so_far + more


@formula("glue = all uses + the share kept back")
def glue_to_make(drawn: Mass, kept_back: float) -> Mass:
    """Ready glue for every use, and some kept back."""
    return drawn * (1 + kept_back)


@formula("dry = ready glue × its dry share")
def dry_glue(ready: Mass, dry_share: float) -> Mass:
    """Dry glue to soak for so much ready glue."""
    return ready * dry_share


@dataclass(frozen=True)
class Jar:
    """One jar to mix, or one off the shelf.

    `uses` are (step id, working) pairs in order of use. `make` is on a mark of the jug and at the high end of what
    the uses may take; `exact` is the sum. `resin` and `solvent` are what goes in: flakes and spirit, or dry glue and
    water. `shelf` names the jar it comes from when it need not be mixed.
    """

    id: str
    material: str
    name: str
    uses: tuple[tuple[str, Working[Any]], ...]
    exact: Working[Any]
    make: Any
    resin: Working[Any] | None
    solvent: Working[Any] | None
    cut: Cut | None
    keeps_days: float
    shelf: str | None = None
    note: str = ""
    to_test: str = ""  # an old jar that would serve, once a drop of it has dried hard on glass


def jars_for(steps: Sequence[Step], shop: Shop, today: date) -> tuple[Jar, ...]:
    """The jars a plan's steps draw on, each big enough for all its uses."""
    jars: list[Jar] = []
    shellac = [(step, need) for step in steps for need in step.needs if need.material in SHELLAC_CUTS]
    sealing = [(step, need) for step, need in shellac if need.material == "shellac_wash_coat"]
    old, untried = _old_jar(shop, today)
    if old and sealing and (jar := _from_shelf(old, sealing)):
        jars.append(jar)
        shellac = [pair for pair in shellac if pair not in sealing]
    if shellac:
        to_test = (untried.jar or untried.material) if untried and sealing else ""
        jars.append(_shellac_jar([(step.id, need.material, need.amount) for step, need in shellac], to_test))
    glue = [(step.id, need.amount) for step in steps for need in step.needs if need.material == GLUE]
    if glue:
        jars.append(_glue_jar(glue))
    return tuple(jars)


def is_on(shelf: Shelf, material_key: str) -> bool:
    """Whether what stands on this shelf is the material, or one of its family. A name nobody knows is neither."""
    try:
        return fits(material_key, material_named(shelf.material).key)
    except UnknownName:
        return False


def _old_jar(shop: Shop, today: date) -> tuple[Shelf | None, Shelf | None]:
    """A mixed jar of shellac fit for sealing, and else one that nobody has tried.

    Old shellac is trusted only after a drop on glass has dried hard overnight, and one past its day never without.
    """
    untried = None
    for shelf in shop.cupboard:
        if shelf.cut is None or shelf.volume is None or not shelf.volume.known or not is_on(shelf, "shellac"):
            continue
        if shelf.dried_hard is True:
            return shelf, None
        if shelf.dried_hard is None:
            untried = untried or shelf
    return None, untried


def _let_down(amount: Working[Any], from_cut: Input) -> Working[Any]:
    return work(
        mix_in,
        thin=amount,
        thin_cut=rule("treatment", "wash_cut"),
        mix_cut=from_cut,
        resin_density=resin_density(),
    )


def _from_shelf(old: Shelf, sealing: Sequence[Any]) -> Jar | None:
    assert old.cut is not None
    assert old.volume is not None
    cut = given(f"cupboard, jar {old.jar}", old.cut.value)
    uses = tuple((step.id, _let_down(need.amount, cut)) for step, need in sealing)
    total = _together(drawn_with, uses)
    if high(total.value) > old.volume.value:
        return None
    enough = up_to_mark(high(total.value))
    name = f"old shellac, jar {old.jar}"
    return Jar("jar.old", "shellac", name, uses, total, enough, None, None, old.cut.value, _keeps_days(), shelf=old.jar)


def _keeps_days() -> float:
    """Days mixed shellac is good for: sources give three months to about twelve; the drop on glass decides."""
    return float(usual(keeps_for().value).minutes / 1440)


def _together(adding: Formula[Any], uses: Sequence[tuple[str, Working[Any]]]) -> Working[Any]:
    """All uses added up one by one, so that the sum refers to each."""
    total = uses[0][1]
    for _, use in uses[1:]:
        total = work(adding, so_far=total, more=use)
    return total


def _make(uses: Sequence[tuple[str, Working[Any]]]) -> Working[Any]:
    kept, least = rule("treatment", "kept_back"), rule("treatment", "least_mix")
    return work(to_make, drawn=_together(drawn_with, uses), kept_back=kept, least=least)


def _shellac_jar(uses: Sequence[tuple[str, str, Working[Any]]], to_test: str) -> Jar:
    cut = rule("treatment", "rubber_cut")
    drawn = tuple(
        (step, _let_down(amount, cut) if SHELLAC_CUTS[kind] == "wash_cut" else amount) for step, kind, amount in uses
    )
    exact = _make(drawn)
    make = up_to_mark(high(exact.value))
    solvent = work(solvent_in, volume=given("make, on the jug's mark", make), cut=cut, resin_density=resin_density())
    flakes = work(flakes_for, solvent=solvent, cut=cut)
    return Jar("jar.shellac", "shellac", "shellac, " + say(cut.value), drawn, exact, make, flakes, solvent, cut.value,
               _keeps_days(), note=_glass(to_test), to_test=to_test)  # fmt: skip


def _glass(to_test: str) -> str:
    return f"jar {to_test}: put a drop on glass; if it is hard tomorrow it will do for sealing" if to_test else ""


def pots_for(jar: Jar, batches: Sequence[Collection[str]]) -> tuple[Jar, ...]:
    """A jar that does not keep, mixed anew for each batch of steps: “jar.glue”, “jar.glue.2” …"""
    return tuple(
        replace(
            _glue_jar([use for use in jar.uses if use[0] in steps]), id=jar.id if number == 1 else f"{jar.id}.{number}"
        )
        for number, steps in enumerate(batches, 1)
    )


def _glue_jar(uses: Sequence[tuple[str, Working[Any]]]) -> Jar:
    exact = work(glue_to_make, drawn=_together(glue_with, uses), kept_back=rule("treatment", "kept_back"))
    make = up_to_mark(high(exact.value))
    dry = work(dry_glue, ready=given("make", make), dry_share=rule("treatment", "glue_dry_share"))
    return Jar("jar.glue", GLUE, material(GLUE).name, tuple(uses), exact, make, dry, None, None,
               rule("treatment", "glue_keeps").value.minutes / 1440)  # fmt: skip
