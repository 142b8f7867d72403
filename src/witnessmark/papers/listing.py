"""What to say of a piece to whoever may buy it: a listing to copy, and the words of its hang tag.

Honest words: reasons and ranges, what is old and what is not, what is not known. Nothing is claimed without what was
seen, and there are no percentages on a ticket.
"""

from typing import Any

from witnessmark.plan import PiecePlan
from witnessmark.safety import hazards_in
from witnessmark.survey import Ends, FixingKind, ReadingAbout, Seen, YesNo, condition_named

from . import blocks
from .age import age_by_evidence, age_for_buyer
from .care_card import fully_hard
from .heads import code_of, head, is_done, title_of
from .letters import letter
from .quotation import chosen_row, unknown_to_a_buyer, work_for_customer
from .seen import UNKNOWN, damages, feature_words, finish_seen, written_size
from .voice import Voice, capital, fitting, sentence, shortened

Told = list[tuple[str, list[str]]]


def listing(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o = voice.ours
    body: list[blocks.Block] = []
    before = before_it_is_listed(plan, voice)
    if before:
        body.append(blocks.slip(before))
    for name, lines in told(plan, voice):
        body.append(blocks.heading(name))
        body.append(blocks.points(lines) if len(lines) > 1 else blocks.para(lines[0]))
    body.append(blocks.para(o("The same words stand in listing.txt, to copy."), "fine"))
    return letter(plan, voice, "Listing", body)


def listing_text(plan: PiecePlan, voice: Voice) -> str:
    """The listing as plain text, to copy into an advertisement."""
    text = [title_of(plan)]
    for name, lines in told(plan, voice):
        text += ["", name, *(lines if len(lines) == 1 else [f"– {line}" for line in lines])]
    return "\n".join(text) + "\n"


def before_it_is_listed(plan: PiecePlan, voice: Voice) -> list[tuple[str, str]]:
    """What must be settled first, each with its level: work not done, and materials the law may keep from sale."""
    said: list[tuple[str, str]] = []
    open_steps = sum(not is_done(planned) for planned in plan.steps)
    if open_steps:
        said.append(("Mind", f"A draft: {open_steps} steps are not done yet. What is to come is said as such."))
    for hazard in hazards_in(plan.survey, "US" if voice.american else "UK"):
        said.append(
            ("Mind", f"{sentence(hazard.says)} {f'Ask first: {hazard.ask}.' if hazard.ask else 'Tell the buyer.'}")
        )
    named = [part.name for part in plan.survey.part if any(word in part.material.lower() for word in _REGULATED)]
    if named:
        named_so = ", ".join(named)
        said.insert(
            0, ("Stop", f"May be of a material the law keeps from sale ({named_so}): find out, and ask the authority.")
        )
    return [(level, voice.ours(line)) for level, line in said]


_REGULATED = ("ivory", "tortoiseshell", "turtle", "rosewood", "whale", "shagreen", "feather", "bone")


def told(plan: PiecePlan, voice: Voice) -> Told:
    """The listing, heading by heading."""
    o, survey = voice.ours, plan.survey
    sections: Told = [
        (o("What it is"), [_what(plan, voice)]),
        (o("How old, and why we say so"), _age(plan, voice)),
        (o("What is later, or not there"), _later(plan, voice)),
        (o("Condition when it came"), [capital(line) for line in _condition(plan, voice)]),
        (o("What we did"), work_done(plan, voice) or [o("Nothing yet.")]),
    ]
    to_come = work_for_customer(plan, voice, done=False)
    if to_come and any(is_done(planned) for planned in plan.steps):
        sections.append((o("Still being done"), to_come))
    elif to_come:
        sections.append((o("What we are going to do"), to_come))
    row = chosen_row(plan)
    finish = finish_seen(plan, voice)
    lines = [f"{o('Its finish when it came:')} {finish}"] if finish else [o("We do not know what its old finish is.")]
    if row is not None and row["offered"]:
        lines.append(o(row["afterwards"]))
    when = fully_hard(plan)
    if when is not None:
        lines.append(o(f"Fully hard by {voice.date(voice.local(when[1]).date())}; until then treat it gently."))
    sections.append((o("Finish"), lines))
    sections.append((o("Size and weight"), _sizes(plan, voice)))
    unsure = [o(f"{capital(name)}.") for name in unknown_to_a_buyer(plan)]
    if unsure:
        sections.append((o("What we do not know"), unsure))
    price = survey.wishes.sells_for
    if price is not None and price.known:
        sections.append((o("Price"), [voice.amount(price.value)]))
    return sections


def work_done(plan: PiecePlan, voice: Voice) -> list[str]:
    """What is done to the end: what is partly still to come is not said to be done."""
    to_come = work_for_customer(plan, voice, done=False, past=True)
    return [line for line in work_for_customer(plan, voice, done=True, past=True) if line not in to_come]


def _what(plan: PiecePlan, voice: Voice) -> str:
    piece, o = plan.survey.piece, voice.ours
    woods = [] if piece.show_wood == UNKNOWN else [piece.show_wood]
    inside = f", {o('with')} {piece.other_wood} {o('inside')}" if piece.other_wood != UNKNOWN else ""
    veneered = {YesNo.YES: ", " + o("veneered in part or whole"), YesNo.NO: ", " + o("solid, not veneered")}.get(
        piece.veneered, ""
    )
    wood = f" {capital(woods[0])}{inside}{veneered}." if woods else f" {o('We do not know the wood.')}"
    marks = f" {o('Marks:')} {sentence(piece.marks)}" if piece.marks else ""
    return f"{sentence(title_of(plan))}{wood}{marks}"


def _age(plan: PiecePlan, voice: Voice) -> list[str]:
    """The date that its evidence bears out and the one written, with what speaks for it; or that nobody knows."""
    piece, o = plan.survey.piece, voice.ours
    where = "" if piece.region.value == "any" else f", {piece.region.value}"
    seen = [
        one
        for one in plan.survey.reading
        if one.about is ReadingAbout.DATE and one.seen is Seen.SEEN and one.later is not YesNo.YES
    ]
    by_evidence = age_by_evidence(plan, voice)
    if piece.made == UNKNOWN and not by_evidence:
        return [o("We do not know when it was made, and say nothing of its age.")]
    said = [sentence(by_evidence)] if by_evidence else []
    if piece.made != UNKNOWN:
        judged = o("as we judge it by eye." if by_evidence else "as far as can be told from what is on it.")
        said.append(f"{o('Made')} {piece.made}{where}, {judged}")
    if seen:
        features = "; ".join(dict.fromkeys(feature_words(one) for one in seen))
        said.append(o(f"Seen on it: {features}."))
    elif not by_evidence:
        said.append(o("No maker's label or dated part was found; the date is by style and make."))
    return said


def _later(plan: PiecePlan, voice: Voice) -> list[str]:
    o, survey, parts = voice.ours, plan.survey, plan.survey.parts_by_code()
    said = []
    for one in survey.reading:
        if one.later is YesNo.YES:
            part = parts.get(one.part or "")
            said.append(
                f"{capital(part.name) if part else o('The piece')}: {o(feature_words(one))}, {o('later work')}."
            )
    for seen in survey.condition:
        term, part = condition_named(seen.term), parts.get(seen.part or "")
        if term.key in {"missing", "overpaint"} or "loss" in term.key or term.category == "history":
            note = f" {sentence(seen.note)}" if seen.note else ""
            said.append(f"{capital(part.name) if part else o('The piece')}: {o(term.term)}.{note}")
    new = {
        "make_missing": "what was missing is made new",
        "turn_missing": "what was missing is turned new",
        "carve": "what was missing is carved new",
        "rot_cut": "rotten wood is cut out and new let in",
        "gild": "gaps in the gilding are made good",
        "baize": "the baize is new",
        "woven_out": "the seat is woven anew",
        "seat_out": "the upholstery is new",
        "find_fitting": "a fitting is replaced by another",
        "patch": "new wood is let in where some was gone",
        "patch_veneer": "new veneer is let in where some was gone",
    }
    said += [
        o(
            f"{capital(new[one.step.rule])}{'' if is_done(one) else ' (to come)'}: "
            f"{', '.join(_names(plan, one.step.parts))}."
        )
        for one in plan.steps
        if one.step.rule in new
    ]
    for fixing in (fixing for joint in survey.joint for fixing in joint.fixing if fixing.ends is Ends.REPLACED):
        what = capital(o(fixing.kind.value)) if fixing.kind is not FixingKind.UNKNOWN else o("Fixing")
        said.append(f"{what}, {fixing.hole or fixing.code}: {o('replaced by')} {fixing.by.rstrip('.')}.")
    return said or [o("Nothing later was found. That is not a promise that there is nothing.")]


def _names(plan: PiecePlan, codes: tuple[str, ...]) -> list[str]:
    parts = plan.survey.parts_by_code()
    return [parts[code].name if code in parts else code for code in codes] or ["the piece"]


def _condition(plan: PiecePlan, voice: Voice) -> list[str]:
    parts = plan.survey.parts_by_code()
    lines = []
    for one in damages(plan.survey, voice):
        part = parts.get(one.seen.part or "")
        how = ", ".join(filter(None, (one.extent, one.severity)))
        lines.append(
            f"{part.name if part else voice.ours('the whole piece')}: {one.what.lower()}{f' ({how})' if how else ''}."
        )
    return lines or [voice.ours("Nothing amiss was written down.")]


def _sizes(plan: PiecePlan, voice: Voice) -> list[str]:
    o, piece = voice.ours, plan.survey.piece
    said = [written_size(plan, voice) or o("Not measured yet.")]
    if piece.weight is not None and piece.weight.known:
        said.append(f"{o('Weighs')} {voice.amount(piece.weight.value)}.")
    return said


# ---- the hang tag ----


def hang_tag(plan: PiecePlan, voice: Voice) -> dict[str, Any]:
    """Everything `hang_tag.typ` prints: a card to fold, its front with the price, its inside with the account."""
    o, survey = voice.ours, plan.survey
    price = survey.wishes.sells_for
    later = _later(plan, voice)
    row = chosen_row(plan)
    done = work_done(plan, voice)
    open_steps = [planned for planned in plan.steps if not is_done(planned)]
    woods = [wood for wood in (survey.piece.show_wood, survey.piece.other_wood) if wood != UNKNOWN]
    made = shortened(age_for_buyer(plan, voice), 240)
    kept = 7
    return {
        **head(plan, voice, "Hang tag"),
        "made": made,
        "made_size": fitting(made, (11.5, 60), (10, 130), (8.5, 0)),
        "code": code_of(plan),
        "title": shortened(title_of(plan), 90),
        "woods": ", ".join(woods),
        "size": written_size(plan, voice),
        "price": voice.amount(price.value) if price is not None and price.known else "",
        "address": shortened(plan.shop.shop.address, 60),
        "draft": o("The work is not finished: this tag is a draft.") if open_steps else "",
        "words": {
            "did": o("What we did"),
            "later": o("What is later, or not there"),
            "care": o("Living with it"),
            "price": o("Price"),
        },
        "did": [shortened(line, 110) for line in done[:kept]]
        + ([o(f"and {len(done) - kept} things more: ask for the record")] if len(done) > kept else [])
        or [o("Nothing yet.")],
        "later": [shortened(line, 110) for line in later[:5]] + ([o("more in the record")] if len(later) > 5 else []),
        "care": o(row["afterwards"]) if row is not None else "",
        "ask": o("Ask for the whole record: it goes with the piece."),
    }
