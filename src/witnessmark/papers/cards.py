"""Mixing cards as data: what to weigh and pour, when, and the jar drawn to its size."""

from typing import Any

from witnessmark.plan import Mix, PiecePlan
from witnessmark.quantities import Mass, Volume, high, usual
from witnessmark.sources import Row, rule, table, weakest

from .heads import PREVAILS, family, head, jar_names, title_of
from .sums import standings_of
from .voice import Voice, capital

_CARDS = {"GB": ["210mm", "148mm"], "US": ["8.5in", "5.5in"]}  # half a sheet of the shop's paper, lying
_LABELS = 7  # as many as can stand beside a jar and still be read


def mixing_card_page(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `mixing_card.typ` prints: one jar a card."""
    jars = jar_names(plan)
    numbers = {planned.step.id: number for number, planned in enumerate(plan.steps, 1)}
    return {
        **head(plan, voice, "Mixing card"),
        "card": _CARDS[voice.region],
        "words": {"mixing": "Mixing"},
        "piece": title_of(plan),
        "none": "Nothing is to be mixed for this piece.",
        "prevails": PREVAILS,
        "mixes": [_card(plan, mix, jars[mix.id], numbers, voice) for mix in plan.mixes],
    }


def _pour_row(material: str) -> Row:
    rows = {row.key: row for row in table("papers", "pours.csv", key="material")}
    return next(rows[key] for key in (material, family(material), "any") if key in rows)


def _card(plan: PiecePlan, mix: Mix, jar: str, numbers: dict[str, int], voice: Voice) -> dict[str, Any]:
    row = _pour_row(mix.material)
    pour = []
    if mix.resin is not None:
        pour.append({"amount": voice.amount(mix.resin), "of": voice.ours(row["solid"])})
    if mix.solvent is not None:
        pour.append({"amount": voice.amount(mix.solvent), "of": voice.ours(row["liquid"])})
    if not pour:
        pour.append({"amount": voice.amount(mix.make), "of": "from the shelf" if mix.from_shelf else ""})
    stirs = [voice.moment(at) for at in mix.stir_at]
    moments = [
        ("Mix", voice.moment(mix.mix_at)),
        ("Ready", voice.moment(mix.ready_at)),
        ("Stir", "; ".join(stirs[:3]) + (f" and {len(stirs) - 3} more" if len(stirs) > 3 else "")),
        ("Best before", voice.day(mix.best_before) if mix.best_before else ""),
    ]
    standings = standings_of(plan, mix)
    return {
        "jar": jar,
        "name": capital(voice.ours(mix.name)),
        "pour": pour,
        "cut": voice.amount(mix.cut),
        "makes": f"makes {voice.amount(mix.make)}" if pour and mix.resin is not None else "",
        "moments": [{"name": name, "words": words} for name, words in moments if words],
        "kept": f"{voice.amount(mix.kept_back)} of it is kept back for making good."
        if mix.kept_back is not None
        else "",
        "drop": "A drop on glass dried hard overnight" if row["drop_test"] == "yes" else "",
        "standing": f"Amounts: {weakest(standings).words}; the sum is in the plan." if standings else "",
        "hazard_level": row["level"],
        "hazard": voice.ours(row["hazard"]),
        "drawn": _drawn(mix, jar, numbers, voice),
    }


def _litres(amount: Any) -> float:
    """How much of a jar it fills. Glue is weighed: a gram stands as a millilitre, near enough for a drawing."""
    match usual(amount):
        case Volume() as volume:
            return volume.litres
        case Mass() as mass:
            return mass.grams / 1000
    return 0.0


def jar_for(litres: float) -> float:
    """The capacity in litres of the smallest jar that much is mixed in; the largest where none is large enough."""
    sizes = sorted(float(row["capacity_ml"]) / 1000 for row in table("papers", "jars.csv", key="jar"))
    filled = float(rule("papers", "jar_filled").value)
    return next((size for size in sizes if litres <= size * filled), max(sizes[-1], litres / filled))


def _drawn(mix: Mix, jar: str, numbers: dict[str, int], voice: Voice) -> dict[str, Any]:
    """The jar as shares of its inside height: content, a band for each use from the top down, and words beside."""
    content = _litres(high(mix.make))
    capacity = jar_for(content)
    takes = [(numbers.get(use.step), use.volume) for use in mix.uses]
    bands, words, level = [], [], content
    for number, volume in takes:
        below = max(level - _litres(volume), 0.0)
        bands.append({"top": level / capacity, "bottom": below / capacity})
        words.append(
            (
                f"step {number}: {voice.amount(volume)}" if number else voice.amount(volume),
                (level + below) / 2 / capacity,
            )
        )
        level = below
    if len(words) > _LABELS:
        rest = len(words) - _LABELS + 1
        words = [*words[: _LABELS - 1], (f"and {rest} more", words[-1][1])]
    if takes and level > 0:
        words.append(("stays in the jar", level / 2 / capacity))
    return {
        "scale": min(max(capacity ** (1 / 3), 0.62), 1.22),  # a litre is drawn at 1; sides go as the cube root
        "content": content / capacity,
        "content_words": voice.amount(mix.make),
        "bands": bands,
        "labels": _apart(words, content / capacity),
        "alt": f"{jar}, drawn to its size: filled to {voice.amount(mix.make)}. "
        + (" ".join(f"{word}." for word, _ in words) if words else "No use of it is planned yet."),
    }


def _apart(words: list[tuple[str, float]], content: float) -> list[dict[str, Any]]:
    """Labels from the top down, each beside its band, none on another. `at` is a share from the inside's top."""
    least, above = 0.1, 1 - content
    placed: list[dict[str, Any]] = []
    for word, height in words:
        above = max(1 - height, above + least)
        placed.append({"words": word, "at": above})
    overflow = max((placed[-1]["at"] - 0.97) if placed else 0.0, 0.0)
    for later, label in zip(range(len(placed) - 1, -1, -1), reversed(placed), strict=True):
        label["at"] = min(label["at"], 0.97 - least * (len(placed) - 1 - later)) if overflow else label["at"]
    return placed
