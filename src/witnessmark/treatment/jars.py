"""Mixes over the whole piece: one a show surface, with some kept back, never drawn dry in the middle of a coat.

All shellac of a piece comes from one mix, so that its colour is one; sealing coats are that mix let down. An old jar
of the same cut serves for sealing once a drop of it has dried hard on glass. Hot glue is soaked ahead as well.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from witnessmark.finish import flakes_for, resin_density, solvent_in
from witnessmark.materials import UnknownName, fits, material, material_named
from witnessmark.quantities import Cut, Density, Mass, Range, Volume, high, say, up_to_mark, usual
from witnessmark.shop import Shelf, Shop
from witnessmark.sources import Input, Working, formula, given, rule, work

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


@formula("make = all uses + the share kept back")
def to_make(uses: tuple[Volume, ...], kept_back: float, least: Volume) -> Volume:
    """What to mix: every use, and some kept back for making good; never less than is worth a jar."""
    return max(Volume(sum(use.litres for use in uses) * (1 + kept_back)), least)


@formula("glue = all uses + the share kept back")
def glue_to_make(uses: tuple[Mass, ...], kept_back: float) -> Mass:
    """Ready glue for every use, and some kept back."""
    return Mass(sum(use.grams for use in uses) * (1 + kept_back))


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


def jars_for(steps: Sequence[Step], shop: Shop, today: date) -> tuple[Jar, ...]:
    """The jars a plan's steps draw on, each big enough for all its uses."""
    jars: list[Jar] = []
    shellac = [(step, need) for step in steps for need in step.needs if need.material in SHELLAC_CUTS]
    sealing = [(step, need) for step, need in shellac if need.material == "shellac_wash_coat"]
    old, note = _old_jar(shop, today)
    if old and sealing and (jar := _from_shelf(old, sealing)):
        jars.append(jar)
        shellac = [pair for pair in shellac if pair not in sealing]
    if shellac:
        jars.append(_shellac_jar([(step.id, need.material, need.amount) for step, need in shellac], note))
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


def _old_jar(shop: Shop, today: date) -> tuple[Shelf | None, str]:
    """A mixed jar of shellac fit for sealing: only after a drop on glass has dried hard overnight."""
    for shelf in shop.cupboard:
        if shelf.cut is None or shelf.volume is None or not is_on(shelf, "shellac"):
            continue
        if shelf.best_before and shelf.best_before < today and shelf.dried_hard is not True:
            continue
        if shelf.dried_hard is True:
            return shelf, ""
        if shelf.dried_hard is None:
            name = shelf.jar or shelf.material
            return None, f"jar {name}: put a drop on glass; if it is hard tomorrow it will do for sealing"
    return None, ""


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
    total = _make(uses)
    if high(total.value) > old.volume.value:
        return None
    enough = up_to_mark(high(total.value))
    return Jar("jar.old", "shellac", f"old shellac, jar {old.jar}", uses, total, enough, None, None, old.cut.value, rule("treatment", "shellac_keeps").value.low.minutes / 1440, shelf=old.jar)  # fmt: skip


def _make(uses: Sequence[tuple[str, Working[Any]]]) -> Working[Any]:
    volumes = [working.value for _, working in uses]
    lows = tuple(v.low if isinstance(v, Range) else v for v in volumes)
    highs = tuple(v.high if isinstance(v, Range) else v for v in volumes)
    both: Any = tuple(usual(v) for v in volumes)
    kept, least = rule("treatment", "kept_back"), rule("treatment", "least_mix")
    ends = [to_make(end, kept.value, least.value) for end in (lows, both, highs)]
    working = work(to_make, uses=given("the steps that use it", both), kept_back=kept, least=least)
    return Working(working.formula, working.inputs, Range(*ends) if ends[0] != ends[2] else ends[1])


def _shellac_jar(uses: Sequence[tuple[str, str, Working[Any]]], note: str) -> Jar:
    cut = rule("treatment", "rubber_cut")
    drawn = tuple(
        (step, _let_down(amount, cut) if SHELLAC_CUTS[kind] == "wash_cut" else amount) for step, kind, amount in uses
    )
    exact = _make(drawn)
    make = up_to_mark(high(exact.value))
    solvent = work(solvent_in, volume=given("make, on the jug's mark", make), cut=cut, resin_density=resin_density())
    flakes = work(flakes_for, solvent=solvent, cut=cut)
    return Jar("jar.shellac", "shellac", "shellac, " + say(cut.value), drawn, exact, make, flakes, solvent, cut.value,
               rule("treatment", "shellac_keeps").value.low.minutes / 1440, note=note)  # fmt: skip


def _glue_jar(uses: Sequence[tuple[str, Working[Any]]]) -> Jar:
    masses = tuple(usual(working.value) for _, working in uses)
    kept = rule("treatment", "kept_back")
    exact = work(glue_to_make, uses=given("the steps that use it", masses), kept_back=kept)
    make = up_to_mark(Mass(sum(high(working.value).grams for _, working in uses) * (1 + kept.value)))
    dry = work(dry_glue, ready=given("make", make), dry_share=rule("treatment", "glue_dry_share"))
    return Jar("jar.glue", GLUE, material(GLUE).name, tuple(uses), exact, make, dry, None, None,
               rule("treatment", "glue_keeps").value.minutes / 1440)  # fmt: skip
