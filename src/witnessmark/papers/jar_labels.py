"""Labels for the jars we fill: what is in the jar, what it can do, when it was mixed and by whom.

One a jar that the plan mixes; a jar off the shelf has its own already. They are pasted or tied to glass, never to old
finish.
"""

from typing import Any

from witnessmark.materials import material
from witnessmark.plan import Mix, PiecePlan
from witnessmark.quantities import Temperature
from witnessmark.safety import listed_solvents, solvents_in
from witnessmark.sources import Row, table

from . import blocks
from .heads import code_of, family, jar_names, title_of
from .letters import leaf
from .solvents import Worded, worded
from .voice import Voice, capital, sentence, shortened

_PREVAILS = "The maker’s label and safety data sheet of what went in prevail."


def jar_labels(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """The leaf of labels."""
    o, names = voice.ours, jar_names(plan)
    mixed = [mix for mix in plan.mixes if mix.from_shelf is None]
    if not mixed:
        return leaf(plan, voice, "Jar labels", [blocks.para(o("Nothing is to be mixed for this piece."))])
    how = "Cut out and fix to the jar when it is filled, not before. Whoever fills it writes the day and their name."
    return leaf(plan, voice, "Jar labels", [blocks.para(o(how))] + [_label(plan, m, names[m.id], voice) for m in mixed])


def _label(plan: PiecePlan, mix: Mix, jar: str, voice: Voice) -> blocks.Block:
    o = voice.ours
    piece = shortened(f"{code_of(plan)} {title_of(plan)}".strip(), 44)
    solvent = next((listed_solvents()[key] for key in solvents_in(mix.material)), None)
    told = _plain(mix) if solvent is None else worded(solvent)
    moments = [
        (o("To be mixed"), voice.moment(mix.mix_at)),
        (o("Ready"), voice.moment(mix.ready_at)),
        (o("Best before"), voice.day(mix.best_before) if mix.best_before else ""),
    ]
    return blocks.jar_label(
        jar=jar, name=shortened(capital(o(mix.name)), 60), piece=piece, signal=o(told.signal).upper(),
        says=[o(said) for said in told.says], orders=[o(order) for order in told.orders], holds=_holds(solvent, voice),
        moments=[(name, said) for name, said in moments if said],
        by_hand=[o("Mixed on"), o("Mixed by")], end=sentence(o(_PREVAILS)),
    )  # fmt: skip


def _plain(mix: Mix) -> Worded:
    """What a mix without a listed solvent can do, in the words of the mixing card."""
    rows = {row.key: row for row in table("papers", "pours.csv", key="material")}
    row = next(rows[key] for key in (mix.material, family(mix.material), "any") if key in rows)
    return Worded("", (row["hazard"],), ())


def _holds(solvent: Row | None, voice: Voice) -> str:
    if solvent is None:
        return ""
    flash = solvent["fire_flash_point_c"]
    burns = f", {voice.ours('flashes at')} {voice.amount(Temperature(float(flash)))}" if flash else ""
    # Shop spirit is denatured: the table speaks of the pure alcohol.
    more = voice.ours(" What it is denatured with may add to this.") if solvent.key == "ethanol" else ""
    return f"{voice.ours('Holds')} {voice.ours(material(solvent.key).name)} (CAS {solvent['cas']}){burns}.{more}"
