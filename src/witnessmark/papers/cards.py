"""Mixing cards as data: what to weigh and pour, when, and the jar drawn to its size."""

from typing import Any

from witnessmark.plan import Mix, PiecePlan
from witnessmark.quantities import usual
from witnessmark.sources import Row, table, weakest

from .heads import PREVAILS, family, head, jar_names, title_of
from .jars import drawn
from .sums import standings_of
from .voice import Voice, capital, shortened


def mixing_card_page(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `mixing_card.typ` prints: one jar a card."""
    jars = jar_names(plan)
    numbers = {planned.step.id: number for number, planned in enumerate(plan.steps, 1)}
    return {
        **head(plan, voice, "Mixing card"),
        "words": {"mixing": "Mixing"},
        "piece": shortened(title_of(plan), 60),
        "none": "Nothing is to be mixed for this piece.",
        "prevails": PREVAILS,
        "mixes": [_card(plan, mix, jars[mix.id], numbers, voice) for mix in plan.mixes],
    }


def poured(mix: Mix, voice: Voice) -> list[dict[str, str]]:
    """What goes into the jar, each as `{"amount", "of"}`: the solid, then the liquid."""
    row = _row_of(mix)
    if mix.resin is None:
        return [{"amount": voice.amount(mix.make), "of": "as it is, from the shelf" if mix.from_shelf else ""}]
    solid = {"amount": voice.amount(mix.resin), "of": voice.ours(row["solid"])}
    if mix.solvent is None:  # weighed, not poured: what is not solid of it is water
        water = usual(mix.make) - usual(mix.resin)
        return [solid, {"amount": voice.amount(water), "of": voice.ours(row["liquid"])}]
    return [solid, {"amount": voice.amount(mix.solvent), "of": voice.ours(row["liquid"])}]


def cut_of(mix: Mix, voice: Voice) -> str:
    """The cut with its g/L, unless the jar's name says it already."""
    cut = voice.amount(mix.cut)
    return "" if cut in mix.name else cut


def _row_of(mix: Mix) -> Row:
    rows = {row.key: row for row in table("papers", "pours.csv", key="material")}
    return next(rows[key] for key in (mix.material, family(mix.material), "any") if key in rows)


def _card(plan: PiecePlan, mix: Mix, jar: str, numbers: dict[str, int], voice: Voice) -> dict[str, Any]:
    row = _row_of(mix)
    stirs = [voice.moment(at) for at in mix.stir_at]
    if len(stirs) > 3:
        stirs = [*stirs[:2], f"and {len(stirs) - 2} times more"]
    moments = {
        "Mix": [voice.moment(mix.mix_at)],
        "Ready": [voice.moment(mix.ready_at)],
        "Stir": stirs,
        "Best before": [voice.day(mix.best_before)] if mix.best_before else [],
    }
    standings = standings_of(plan, mix)
    return {
        "jar": jar,
        "name": shortened(capital(voice.ours(mix.name)), 60),
        "pour": poured(mix, voice),
        "cut": voice.amount(mix.cut),
        "makes": f"makes {voice.amount(mix.make)}" if mix.resin is not None else "",
        "moments": [{"name": name, "words": words} for name, words in moments.items() if any(words)],
        "kept": "" if mix.kept_back is None else f"{voice.amount(mix.kept_back)} is kept back for making good.",
        "drop": "A drop on glass dried hard overnight" if row["drop_test"] == "yes" else "",
        "standing": f"Amounts: {weakest(standings).words}; the sum is in the plan." if standings else "",
        "hazard_level": row["level"],
        "hazard": voice.ours(row["hazard"]),
        "drawn": drawn(mix, jar, numbers, voice),
    }
