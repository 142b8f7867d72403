"""The quotation: what we found, two ways to go about it, the price with what would change it, and who may say yes.

For the customer: no word of the trade that a customer would not use.
"""

from collections.abc import Callable, Sequence
from datetime import timedelta
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from witnessmark.daybook import DayBook
from witnessmark.money import Taxed, vat_rate
from witnessmark.plan import PiecePlan, WayCosted, plan_piece
from witnessmark.quantities import Money, high, usual
from witnessmark.sources import Row, rule, table
from witnessmark.survey import About, Decision, Joint, JointState

from . import blocks
from .heads import days_to_say, is_done
from .letters import letter
from .seen import damages, photographs, written_size
from .voice import Voice, capital, sentence, shortened


def quotation(
    plan: PiecePlan, other: PiecePlan | None, voice: Voice, photograph: Callable[[str], bytes | None]
) -> dict[str, Any]:
    """Everything `letter.typ` prints for it. `other`: the same piece planned the other way, if one is open to it."""
    o, owner = voice.ours, plan.survey.piece.owner
    pictures = photographs(plan, voice, photograph, at_most=2)
    for picture in pictures:
        picture["lines"] = []
    both = [one for one in (plan, other) if one is not None]
    body: list[blocks.Block] = [
        blocks.facts(
            [
                (o("For"), owner),
                (o("It stands until"), voice.date(_stands_until(plan, voice), long=True)),
                (o("Size"), written_size(plan, voice)),
                (o("Wished for by"), voice.date(plan.survey.piece.promised) if plan.survey.piece.promised else "–"),
            ]
        ),
        blocks.heading(o("What we found")),
        *_found(plan, voice),
        *([blocks.pictures(pictures)] if pictures else []),
        blocks.heading(o("Two ways to go about it") if other else o("How we would go about it")),
        *[block for one in both for block in _way(one, both, voice)],
        *([] if other else [blocks.para(o("No other way suits this piece, as far as we can see now."), "fine")]),
        blocks.heading(o("About the price")),
        *_price(plan, voice),
        blocks.heading(o("What would change it")),
        blocks.points(_changes(plan, voice)),
        blocks.heading(o("When it would be ready")),
        *_when(both, voice),
        blocks.kept_together(
            blocks.heading(o("Your yes")),
            *_yes(both, voice),
            blocks.signatures([o("The owner, or who may decide for the owner"), o("For the shop")]),
        ),
    ]
    return letter(plan, voice, "Quotation", body)


def the_other_way(plan: PiecePlan, daybook: DayBook) -> PiecePlan | None:
    """The piece planned a second way: the most favoured that is open to it, and the nearest in cost of such.

    None where no other way is open to it.
    """
    chosen = next((way for way in plan.ways if way.chosen), None)
    open_to_it = [
        way
        for way in plan.ways
        if way.offered.allowed and not way.chosen and way.cost is not None and _row(way.offered.key)["offered"]
    ]
    if chosen is None or not open_to_it:
        return None
    other = max(open_to_it, key=lambda way: (way.offered.points, -abs(_costs(way) - _costs(chosen))))
    decision = Decision(
        about=About.WAY,
        choose=other.offered.key,
        who=plan.shop.shop.name,
        on=plan.now.date(),
        why="offered beside the first",
    )
    survey = plan.survey.model_copy(update={"decision": (*plan.survey.decision, decision)})
    return plan_piece(survey, plan.shop, daybook, plan.now)


def _costs(way: WayCosted) -> Decimal:
    amount: Decimal = usual(way.cost).amount if way.cost is not None else Decimal(0)
    return amount


def _row(way: str) -> Row:
    rows = {row.key: row for row in table("papers", "customer_ways.csv", key="way")}
    return rows[way]


def chosen_row(plan: PiecePlan) -> Row | None:
    """What a customer is told of the way taken."""
    return next((_row(way.offered.key) for way in plan.ways if way.chosen), None)


def work_for_customer(plan: PiecePlan, voice: Voice, done: bool | None = None, past: bool = False) -> list[str]:
    """The work in a customer's words, each once, in its order; only what is done, or is not, where `done` says so.

    `past`: as something that was done. A step without words of its own goes by its trade name.
    """
    words = {row.key: row["done" if past else "says"] for row in table("papers", "customer_work.csv", key="rule")}
    said = []
    for planned in plan.steps:
        step = planned.step
        if step.rule in {"mix", "soak", "stir"} or (done is not None and is_done(planned) is not done):
            continue
        said.append(
            capital(step.trade_name)
            if step.rule == "by_hand"
            else voice.ours(words.get(step.rule, capital(step.trade_name)))
        )
    return [line for line in dict.fromkeys(said) if line]


def _found(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """What is amiss, part by part, without codes."""
    o, parts = voice.ours, plan.survey.parts_by_code()
    by_part: dict[str, list[str]] = {}
    for damage in damages(plan.survey, voice):
        part = parts.get(damage.seen.part or "")
        extent = f" ({damage.extent})" if damage.extent else ""
        by_part.setdefault(part.name if part else o("all over"), []).append(f"{damage.what.lower()}{extent}")
    loose = [joint for joint in plan.survey.joint if joint.state in {JointState.LOOSE, JointState.OPEN}]
    items = [f"{capital(part)}: {', '.join(what)}." for part, what in by_part.items()]
    if loose:
        items.append(o(_loose(loose)))
    return [blocks.points(items)] if items else [blocks.para(o("We have found nothing broken so far."))]


def _loose(loose: Sequence[Joint]) -> str:
    return "One joint is loose." if len(loose) == 1 else f"{len(loose)} joints are loose."


def _way(plan: PiecePlan, both: Sequence[PiecePlan], voice: Voice) -> list[blocks.Block]:
    o, row = voice.ours, chosen_row(plan)
    if row is None:
        return []
    price, wide = voice.bracketed(plan.cost.quote_range or plan.cost.quote)
    likely, safe = (voice.day(day) if day else "–" for day in days_to_say(plan))
    hours = f"{voice.hours(plan.total.p50)} to {voice.hours(plan.total.p80)}" if plan.total else ""
    first = plan is both[0]
    named = f"{'First' if first else 'Second'} way: {row['name'][0].lower()}{row['name'][1:]}"
    return [
        blocks.kept_together(
            blocks.heading(o(named if len(both) > 1 else row["name"]), 3),
            blocks.para(o(row["does"])),
            blocks.fronts(
                [
                    (o("Price"), price, wide, o(_vat_words(plan))),
                    (o("Our work still to come"), hours, "", ""),
                    (o("Likely ready"), likely, "", o(f"count on {safe}" if safe != likely else "if you say yes now")),
                ]
            ),
            blocks.facts([(o("Afterwards"), o(row["afterwards"])), (o("Can it be undone?"), o(row["undone"]))], 1),
        ),
        *(_work(plan, voice) if first else _other_work(plan, both[0], voice)),
    ]


def _work(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    return [blocks.para(voice.ours("What we would do:"), "strong"), blocks.points(work_for_customer(plan, voice), 2)]


def _other_work(plan: PiecePlan, first: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """What is other than in the first way; all of it where little is the same."""
    o, mine, theirs = voice.ours, work_for_customer(plan, voice), work_for_customer(first, voice)
    less, more = [one for one in theirs if one not in mine], [one for one in mine if one not in theirs]
    if len(more) > len(mine) / 2:
        return _work(plan, voice)
    said = [blocks.para(o("The work is as in the first way, but:"), "strong")]
    items = [f"{o('We would not')} {one[0].lower()}{one[1:]}" for one in less]
    items += [f"{o('We would')} {one[0].lower()}{one[1:]}" for one in more]
    return [*said, blocks.points(items)] if items else [blocks.para(o("The work is as in the first way."), "strong")]


_ORDINALS = ("first way", "second way")


def _vat_words(plan: PiecePlan) -> str:
    match plan.cost.taxed:
        case Taxed.WHOLE:
            return f"VAT of {vat_rate(plan.shop, plan.survey).value.percent:g} % is in it"
        case Taxed.MARGIN:
            return "no VAT to add: margin scheme"
    return "no sales tax is in it" if plan.shop.shop.currency.value == "USD" else "no VAT is charged"


def _price(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o, deposit = voice.ours, plan.shop.costs.deposit
    said = ["The price holds the work, the materials and what our shop costs to run."]
    if plan.survey.piece.came.value == "bought":
        said.append("It holds the piece itself as well.")
    said.append(
        "We reckon the hours so that they are enough four times in five. If we see that it will take more, we stop "
        "and ask you before we go on: you never owe more than you have said yes to."
    )
    if deposit is not None and deposit.known:
        share = Decimal(str(high(deposit.value).percent)) / 100
        quote = high(plan.cost.quote)
        down = Money((quote.amount * share).quantize(Decimal(1), ROUND_HALF_UP), quote.currency)
        said.append(f"With your yes we ask for a deposit of {voice.amount(down)} ({deposit.text} of the first way).")
    return [blocks.para(o(" ".join(said)))]


def _changes(plan: PiecePlan, voice: Voice) -> list[str]:
    """What is not known yet, in a customer's words, and what the price does not hold."""
    o, survey = voice.ours, plan.survey
    said = ["Damage that nobody can see until it is apart. We show it to you before we go on."]
    for swing in plan.cost.would_change:
        what, ends = _SWINGS.get(swing.what, capital(swing.what)), (voice.amount(swing.low), voice.amount(swing.high))
        said.append(f"{what}: by that alone it could come to {ends[0]}, or to {ends[1]}.")
    if plan.branches or survey.finish.kind.value == "don't know":
        said.append("What the old finish is. We test it first, in places that do not show.")
    said += [f"{capital(name)}: we do not know yet." for name in unknown_to_a_buyer(plan) if name != "the old finish"][
        :4
    ]
    if any(planned.step.rule in {"find_fitting", "lock", "seat", "leather", "mirror"} for planned in plan.steps):
        said.append(
            "What other trades charge, such as a locksmith, a metal caster or an upholsterer: we pass on their bill."
        )
    said.append("Anything you ask for on top.")
    said.append("If less turns out to be needed, you pay less.")
    return [o(sentence(shortened(words, 200))) for words in said]


_SWINGS = {
    "hours": "How long the work really takes",
    "materials": "What the materials cost",
    "what an hour costs": "What an hour of our shop costs",
}


def unknown_to_a_buyer(plan: PiecePlan) -> list[str]:
    """What is not known of the piece itself; what is only missing for our own reckoning is left out."""
    ours = ("trial", "area", "joints", "wishes.")
    return [fact.name for fact in plan.facts.missing if not fact.key.startswith(ours)]


def _when(both: Sequence[PiecePlan], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    said = "Finishes and glue take days to harden, and the piece has to wait in between: most of the time is waiting."
    likely, safe = days_to_say(both[0])
    if safe != likely:
        said += " The later of the two days is kept four times in five: please plan on that one."
    else:
        said += (
            " The days above are the first they can be: please don't plan on a day before we have told you a safe one."
        )
    promised = both[0].survey.piece.promised
    body = [blocks.para(o(said))]
    if promised and likely and voice.local(likely).date() > promised:
        late = f"The day wished for, {voice.date(promised)}, can't be kept the first way as things stand."
        body.append(blocks.para(o(late), "strong"))
    return body


def _yes(both: Sequence[PiecePlan], voice: Voice) -> list[blocks.Block]:
    o, limit = voice.ours, both[0].survey.wishes.spend_up_to
    ways = [o(f"The {_ORDINALS[number]}, for {voice.amount(one.cost.quote)}") for number, one in enumerate(both)]
    if len(both) == 1:
        ways = [o(f"Yes, for {voice.amount(both[0].cost.quote)}")]
    most = voice.amount(limit.value) if limit is not None and limit.known else ""
    body: list[blocks.Block] = [
        blocks.ticks([*ways, o("Not now: please give it back as it is")]),
        blocks.facts(
            [
                (o("Without asking again you may spend up to"), f"{most} ({o('as you told us')})" if most else ""),
                (o("Who else may say yes for me"), ""),
            ],
            1,
        ),
    ]
    if limit is not None and limit.known and high(both[0].cost.quote).amount > high(limit.value).amount:
        cheapest = min(high(one.cost.quote).amount for one in both)
        over = (
            ("Both ways" if len(both) > 1 else "This price") if cheapest > high(limit.value).amount else "The first way"
        )
        body.append(
            blocks.para(o(f"{over} would cost more than the {most} you named: we need your yes in writing."), "strong")
        )
    return body


def _stands_until(plan: PiecePlan, voice: Voice) -> Any:
    return voice.local(plan.now).date() + timedelta(days=float(rule("papers", "quote_stands").value.minutes) / 1440)
