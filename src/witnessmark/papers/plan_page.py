"""The plan's pages as data: what is known, the ways, the work in order, mixes, shopping, cost, parts, and why."""

from collections.abc import Sequence
from typing import Any

from witnessmark.plan import Branch, PiecePlan, WayCosted
from witnessmark.quantities import Range
from witnessmark.safety import Caution
from witnessmark.sources import Standing, weakest
from witnessmark.survey import Part
from witnessmark.treatment import Undo, chosen_way

from .apart_rows import apart_rows
from .cards import cut_of, poured
from .heads import PREVAILS, code_of, days_to_say, head, jar_names, title_of
from .step_rows import step_row
from .sums import sources_of, standings_of, sums_of
from .voice import Voice, capital, fitting, listed, sentence, shortened

_WORDS = {
    "facts": "What is known",
    "warnings": "Taken as so until somebody knows better",
    "known": "Known", "missing": "Missing", "worth": "Most worth finding out",
    "nothing_yet": "Nothing yet.", "nothing_missing": "Nothing that would change the plan.", "cautions": "Cautions",
    "ways": "Ways to go about it", "way": "Way", "undoable": "Undoing it", "resistance": "Stands up to",
    "hazard": "Hazard", "hours": "Hours", "days": "Days", "cost": "Cost", "chosen_word": "chosen",
    "steps": "The work in order", "tools": "To hand", "branches": "If it turns out so", "mixes": "Mixes", "jar": "Jar",
    "make": "Make", "of_what": "Of what", "mix_at": "Mix", "ready_at": "Ready", "used_by": "For steps",
    "shopping": "To buy", "what": "What", "need": "Needed", "on_shelf": "On the shelf", "buy": "Buy", "price": "Price",
    "sum": "Sum", "meaning": "What it is", "parts": "Parts, and where they sat", "part": "Part", "name": "Name",
    "wood": "Wood", "measure": "Size", "sat": "Where it sat", "workings": "How the figures were reached",
    "result": "Result", "went_in": "What went in", "standing": "Standing", "sources": "What this relies on",
    "from": "from", "apart": "Taking apart, and together again", "comes_off": "Comes off", "which_way": "Which way",
    "opens": "Opens", "mind": "Mind", "shut": "Stays shut", "goes_back": "Goes back", "fixings": "Each to its own hole",
    "step": "Step", "goes_back_in": "Goes back in this order",
    "joints": "Joints", "time": "Takes", "open": "Glue open", "people": "People",
    "cramps": "Cramps", "adds": "Adds",
}  # fmt: skip


def plan_page(plan: PiecePlan, voice: Voice, picture: dict[str, Any] | None) -> dict[str, Any]:
    """Everything `plan.typ` prints."""
    piece = plan.survey.piece
    numbers = {planned.step.id: number for number, planned in enumerate(plan.steps, 1)}
    chosen, why = _choice(plan)
    steps = [step_row(plan, planned, voice, number) for number, planned in enumerate(plan.steps, 1)]
    sums = sums_of(plan, voice)
    return {
        **head(plan, voice, "Plan"),
        "made": f"Plan of {voice.moment(plan.now)}",
        "words": {key: voice.ours(text) for key, text in _WORDS.items()},
        "piece": {
            "code": code_of(plan),
            "title": title_of(plan),
            "title_size": fitting(title_of(plan), (24, 60), (18, 110), (14, 0)),
            "sub": _came(plan, voice),
            "note": shortened(piece.note, 900),
            "picture": picture,
        },
        "contents": len(steps) > 8,
        "glance": _glance(plan, voice),
        "facts": {
            "known": [
                {"name": voice.ours(capital(fact.name)), "said": shortened(fact.said, 200)} for fact in plan.facts.known
            ],
            "missing": [
                {"name": voice.ours(capital(fact.name)), "settles": voice.ours(sentence(fact.settles))}
                for fact in plan.facts.missing
            ],
            "worth": _worth(plan, voice),
        },
        "cautions": [_caution(plan, caution, numbers, voice) for caution in plan.cautions],
        "no_cautions": "Nothing found so far calls for one. That is not a promise that nothing is there.",
        "prevails": PREVAILS,
        "ways": [_way(way, voice) for way in plan.ways],
        "chosen": capital(voice.ours(chosen)) + "." if chosen else "",
        "chosen_why": voice.ours(sentence(why)),
        "ways_note": "In brackets: enough four times in five. A way with a cross is not open to this piece.",
        "steps": steps,
        "steps_note": voice.ours(
            "Minutes are as likely over as under; in brackets, enough four times in five. "
            "Days and hours are the shop's own. Left and right are as you face it."
        ),
        "no_steps": "No step is called for yet.",
        "apart": apart_rows(plan, voice),
        "branches": [
            {"condition": voice.ours(sentence(branch.condition)), "steps": voice.ours(_difference(plan, branch))}
            for branch in plan.branches
        ],
        "mixes": _mixes(plan, voice, numbers),
        "shopping": [_buy(line, voice) for line in plan.shopping],
        "no_shopping": "Nothing to buy: what is wanted stands on the shelf.",
        "cost": _cost(plan, voice),
        "cost_note": _standing_words([working.standing for working in plan.cost.workings]),
        "parts": _parts(plan.survey.part, voice),
        "parts_note": "Left and right are as you face it. Parts are named as they come off.",
        "now": [voice.ours(line) for line in _now(plan)],
        "warnings": [voice.ours(sentence(shortened(warning, 300))) for warning in plan.warnings],
        "workings": sums,
        "workings_note": "Each sum once, with what went into it. What those were worked from stands in plan.json.",
        "sources": sources_of(plan),
    }  # fmt: skip


# ---- the head ----


def _came(plan: PiecePlan, voice: Voice) -> str:
    piece = plan.survey.piece
    came = {"bought": "Bought", "customer's": "Customer's", "shop's own": "Shop's own"}.get(piece.came.value, "")
    said = [f"{came} piece" if came == "Customer's" else came] if came else []
    if piece.owner:
        said.append(f"for {piece.owner}")
    if piece.came_on:
        said.append(f"came in {voice.date(piece.came_on)}")
    if piece.came_from.value != "don't know":
        said.append(f"from a {piece.came_from.value}")
    text = sentence(", ".join(said)) if said else ""
    if piece.promised:
        text += f" Promised {voice.date(piece.promised)}."
    if piece.size is not None and piece.size.known:
        text += f" {piece.size.text}."
    return text.strip()


def _glance(plan: PiecePlan, voice: Voice) -> list[dict[str, str]]:
    fronts = []
    if plan.total is not None:
        total = plan.total
        fronts.append(_front("Bench hours", voice.hours(total.p50), f"({voice.hours(total.p80)})",
                             "in brackets: enough four times in five"))  # fmt: skip
    likely, safe = days_to_say(plan)
    if safe is not None and likely is not None:
        if safe == likely:
            fronts.append(_front("Last day at the bench", voice.day(safe), "", "the first it can be, as planned now"))
        else:
            fronts.append(
                _front("Safe day to say", voice.day(safe), "", f"four times in five; likely {voice.day(likely)}")
            )
    usual, wide = voice.bracketed(plan.cost.to_come)
    fronts.append(_front("Cost to come", usual, wide, _standing_words([w.standing for w in plan.cost.workings])))
    if plan.steps:
        oneway = sum(planned.step.undo is Undo.NO for planned in plan.steps)
        fronts.append(_front("Can't be undone", str(oneway), f"of {len(plan.steps)} steps", "double underlined below"))
    return fronts


def _now(plan: PiecePlan) -> list[str]:
    """What the next wet step asks of the air, and what is out with other people."""
    return [*([sentence(plan.air)] if plan.air else []), *(sentence(f"Out: {line}") for line in plan.away)]


def _front(label: str, figure: str, wide: str, note: str) -> dict[str, str]:
    return {"label": label, "figure": figure, "range": wide, "note": note}


def _standing_words(standings: Sequence[Standing]) -> str:
    """How far a figure can be leant on, by the weakest that went in; nothing where nothing is said."""
    return f"standing: {weakest(list(standings)).words}" if standings else ""


def _worth(plan: PiecePlan, voice: Voice) -> dict[str, str] | None:
    worth = plan.facts.worth
    if worth is None:
        return None
    return {
        "name": voice.ours(capital(worth.name)),
        "how": voice.ours(sentence(worth.how)),
        "settles": voice.ours(sentence(worth.settles)),
        "minutes": f"About {voice.minutes(worth.minutes)}." if worth.minutes else "",
    }


def _caution(plan: PiecePlan, caution: Caution, numbers: dict[str, int], voice: Voice) -> dict[str, str]:
    at = [numbers[p.step.id] for p in plan.steps if any(mine.key == caution.key for mine in p.step.cautions)]
    where = f"Step{'s' if len(at) > 1 else ''} {listed(at)}." if at and len(at) < len(plan.steps) else ""
    return {
        "level": caution.level.value,
        "says": voice.ours(sentence(caution.says)),
        "ask": voice.ours(_ask(caution.ask)),
        "where": where,
    }


def _ask(whom: str) -> str:
    """`Ask: local fire code.`; as it stands where it is a sentence of its own."""
    if not whom or whom.lower().startswith("ask"):
        return sentence(whom)
    return sentence(f"Ask: {whom if whom[1:2].isupper() else whom[0].lower() + whom[1:]}")


def _difference(plan: PiecePlan, branch: Branch) -> str:
    """What a branch adds to the work as planned, and what it leaves out."""
    planned = {step.step.rule: step.step.trade_name for step in plan.steps if step.step.rule != "by_hand"}
    supposed = {step.rule: step.trade_name for step in branch.steps}
    more = [name for rule, name in supposed.items() if rule not in planned]
    less = [name for rule, name in planned.items() if rule not in supposed]
    said = [f"Adds: {'; '.join(more)}."] if more else []
    said += [f"Leaves out: {'; '.join(less)}."] if less else []
    return " ".join(said) or "The work stays as it is."


# ---- ways ----


def _choice(plan: PiecePlan) -> tuple[str, str]:
    taken = [way.offered for way in plan.ways if way.chosen]
    if not taken:
        return "", ""
    named, why = chosen_way(plan.survey, [way.offered for way in plan.ways])
    return taken[0].name, why if named.key == taken[0].key else " ".join(taken[0].why)


def _way(way: WayCosted, voice: Voice) -> dict[str, Any]:
    offered = way.offered
    return {
        "name": voice.ours(offered.name),
        "gist": voice.ours(offered.gist),
        "adds": voice.ours(offered.adds),
        "chosen": way.chosen,
        "allowed": offered.allowed,
        "forbidden_by": voice.ours(sentence(" ".join(offered.why))) if not offered.allowed else "",
        "undo": offered.reversible,
        "oneway": offered.reversible == Undo.NO.value,
        "resistance": voice.ours(offered.resistance),
        "hazard": voice.ours(offered.hazard),
        "hours": _hours(way.hours, voice),
        "days": "–" if way.days is None else f"{way.days:.0f}",
        "cost": [part for part in voice.bracketed(way.cost) if part] or ["–"],
    }


def _hours(hours: Range[float] | None, voice: Voice) -> list[str]:
    """`24 h`, `(29 h)`: the usual, and what is enough four times in five."""
    return ["–"] if hours is None else [voice.hours(hours.usual * 60), f"({voice.hours(hours.high * 60)})"]


# ---- mixes, shopping, cost, parts ----


def _mixes(plan: PiecePlan, voice: Voice, numbers: dict[str, int]) -> list[dict[str, Any]]:
    jars = jar_names(plan)
    return [
        {
            "jar": jars[mix.id],
            "make": voice.amount(mix.make),
            "name": voice.ours(mix.name),
            "cut": cut_of(mix, voice),
            "poured": [f"{pour['amount']} {pour['of']}".strip() for pour in poured(mix, voice)],
            "standing": _standing_words(standings_of(plan, mix)),
            "mix_at": voice.moment(mix.mix_at),
            "ready_at": voice.moment(mix.ready_at),
            "best_before": f"best before {voice.day(mix.best_before)}" if mix.best_before else "",
            "uses": listed([numbers[use.step] for use in mix.uses if use.step in numbers]),
        }
        for mix in plan.mixes
    ]


def _buy(line: Any, voice: Voice) -> dict[str, str]:
    return {
        "name": voice.ours(capital(line.name)),
        "need": voice.amount(line.need),
        "on_shelf": voice.amount(line.on_shelf) or "none",
        "buy": line.buy if line.packs else "nothing",
        "price": voice.amount(line.price) or "–",
    }


def _cost(plan: PiecePlan, voice: Voice) -> list[dict[str, str]]:
    cost = plan.cost
    lines = [
        ("So far", cost.so_far, "Hours already worked and materials already used."),
        ("To come", cost.to_come, "Hours and materials still ahead."),
        ("Floor", cost.floor, "Below this it is done at a loss."),
        ("Price to quote", cost.quote, "What the work is offered at."),
        ("Stop at", cost.stop_at, "The most to give for the piece, counting all that is still to be done."),
    ]
    return [
        {"name": name, "sum": " ".join(part for part in voice.bracketed(money) if part), "says": says}
        for name, money, says in lines
        if money is not None
    ]


def _parts(parts: Sequence[Part], voice: Voice) -> list[dict[str, Any]]:
    """The parts as they hang together: each under what it is a part of."""
    known = {part.code for part in parts}
    under: dict[str | None, list[Part]] = {}
    for part in parts:
        under.setdefault(part.of if part.of in known and part.of != part.code else None, []).append(part)
    listed: list[dict[str, Any]] = []
    seen: set[str] = set()

    def walk(of: str | None, depth: int) -> None:
        for part in under.get(of, []):
            if part.code not in seen:
                seen.add(part.code)
                listed.append(_part(part, depth, voice))
                walk(part.code, depth + 1)

    walk(None, 0)
    for part in parts:  # a part said to be part of its own part stands by itself
        if part.code not in seen:
            seen.add(part.code)
            listed.append(_part(part, 0, voice))
            walk(part.code, 1)
    return listed


def _part(part: Part, depth: int, voice: Voice) -> dict[str, Any]:
    notes = [
        f"{part.count} alike" if part.count > 1 else "",
        f"maker's mark {part.maker_mark}" if part.maker_mark else "",
        shortened(part.note, 300),
    ]
    return {
        "code": part.code,
        "name": part.name,
        "depth": min(depth, 4),
        "note": ". ".join(note for note in notes if note),
        "wood": part.wood if part.wood != "don't know" else "–",
        "size": part.size.text if part.size is not None and part.size.known else "–",
        "sat": part.sat + (f"; up: {part.up}" if part.up else ""),
        "kept": f"Kept: {part.kept}" if part.kept else "",
    }
