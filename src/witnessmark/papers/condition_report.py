"""The condition report: what the piece is, how it was found, on pictures and in words, and what the record wants."""

from collections.abc import Callable
from typing import Any

from witnessmark.daybook import DayBook
from witnessmark.finish import spot_tests
from witnessmark.plan import PiecePlan
from witnessmark.safety import hazards_in
from witnessmark.sources import bibliography
from witnessmark.survey import JointState, Seen, condition_named

from . import blocks
from .age import evidence_blocks
from .checklist import LOOKING, checklist_blocks, lines_of
from .letters import letter
from .seen import (
    Damage,
    accessories,
    damages,
    feature_words,
    finish_seen,
    missing_pictures,
    photographs,
    place_of,
    what_it_is,
)
from .sums import citation
from .voice import Voice, capital, sentence, shortened

_GLOSSARY = ("art_conservation_glossary", "auction_condition_glossary")
_CHECKLISTS = ("object_id_1999", "en_16095_2012", "aic_guidelines_practice")


def condition_report(
    plan: PiecePlan, daybook: DayBook, voice: Voice, photograph: Callable[[str], bytes | None]
) -> dict[str, Any]:
    """Everything `letter.typ` prints for it."""
    o, survey = voice.ours, plan.survey
    pictures = photographs(plan, voice, photograph)
    found = damages(survey, voice)
    lines = lines_of(plan, daybook, len(pictures), LOOKING)
    body: list[blocks.Block] = [
        blocks.para(
            o(
                "Made to say what this piece is and how it was found, before anything is done to it. "
                "What was seen stands apart from what is thought of it."
            ),
            "lead",
        ),
        blocks.heading(o("What it is")),
        blocks.facts([(o(name), said) for name, said in what_it_is(plan, voice)], 1),
        *([blocks.para(shortened(survey.piece.note, 900))] if survey.piece.note else []),
        blocks.heading(o("How it came")),
        blocks.facts(_came(plan, voice)),
        blocks.heading(o("At a glance")),
        *_at_a_glance(found, plan, voice),
        *_hazards(plan, voice),
        blocks.heading(o("Condition as found")),
        *_condition(found, voice),
    ]
    if pictures:
        body += [
            blocks.heading(o("Photographs")),
            blocks.para(o("Numbers are those of the list above. Ring on the print where each is."), "fine"),
            blocks.pictures(pictures),
        ]
    absent = missing_pictures(plan, photograph)
    if absent:
        names = "; ".join(taken.caption or taken.file or taken.sha256[:12] for taken in absent)
        body.append(blocks.para(f"{o('Not on this paper, though the survey names them:')} {names}.", "fine"))
    body += [
        *_observed(plan, voice),
        *_joints(plan, voice),
        blocks.heading(o("Parts that come off or belong to it")),
        _belongings(plan, voice),
        blocks.heading(o("What is thought of it")),
        *_thought(plan, voice),
        *evidence_blocks(plan, voice, 3),
        blocks.heading(o("What was not looked at")),
        *_limits(plan, voice),
        blocks.heading(o("Is this record complete?")),
        *checklist_blocks(lines, voice),
        blocks.kept_together(
            blocks.heading(o("Signed")),
            blocks.signatures([o("Looked over and written by"), o("Seen by the owner, or for the owner")]),
        ),
        *_words_and_sources(found, plan, voice),
    ]
    return letter(plan, voice, "Condition report", body, contents=True)


def _came(plan: PiecePlan, voice: Voice) -> list[tuple[str, str]]:
    piece, o = plan.survey.piece, voice.ours
    came = {"bought": "bought for stock", "customer's": "brought by its owner", "shop's own": "the shop's own"}
    return [
        (o("How"), o(came.get(piece.came.value, ""))),
        (o("From"), "" if piece.came_from.value == "don't know" else o(f"a {piece.came_from.value}")),
        (o("Came in"), voice.date(piece.came_on) if piece.came_on else ""),
        (o("Looked over by"), ", ".join(dict.fromkeys(test.who for test in plan.survey.test if test.who))),
    ]


def _at_a_glance(found: tuple[Damage, ...], plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    counts = {word: sum(damage.severity == word for damage in found) for word in ("major", "moderate", "slight", "")}
    worst = [f"{damage.what.lower()} on {damage.where}" for damage in found if damage.severity == "major"]
    loose = [joint for joint in plan.survey.joint if joint.state in {JointState.LOOSE, JointState.OPEN}]
    unjudged = f", {counts['']} not judged" if counts[""] else ""
    said = [
        f"{len(found)} kinds of damage were written down: {counts['major']} major, {counts['moderate']} moderate, "
        f"{counts['slight']} slight{unjudged}."
        if found
        else "No damage is written down. That is not a promise that there is none."
    ]
    if worst:
        said.append(f"Whether it can stand and be used is in doubt until this is seen to: {'; '.join(worst)}.")
    elif loose:
        counted = f"{len(loose)} of its joints are" if len(loose) > 1 else "One of its joints is"
        said.append(f"{counted} loose or open: lift it by its lowest rails, not by its top.")
    elif found:
        said.append("Nothing found puts its standing in doubt.")
    return [blocks.para(o(words)) for words in said]


def _hazards(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    hazards = hazards_in(plan.survey, "US" if voice.american else "UK")
    if not hazards:
        return []
    return [
        blocks.slip(
            [("Mind", voice.ours(sentence(hazard.says))) for hazard in hazards],
            voice.ours("Local codes and licensed practice prevail."),
        )
    ]


def _condition(found: tuple[Damage, ...], voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    if not found:
        return [blocks.para(o("Nothing is written down yet."))]
    cells = [
        [
            str(damage.number),
            [blocks.strong(damage.what), blocks.fine(damage.note)],
            capital(damage.where),
            damage.extent or "–",
            [capital(damage.severity) or o("not judged"), *([blocks.fine(damage.means)] if damage.means else [])],
        ]
        for damage in found
    ]
    heads = ("", o("What"), o("Where"), o("How much"), o("How bad"))
    return [blocks.table((-6, 1.9, 1.4, -26, 1), heads, cells)]


def _observed(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """Tests, features, air and wood, as they were read; nothing made of them yet."""
    o, survey = voice.ours, plan.survey
    said: list[blocks.Block] = []
    if survey.test:
        names = {one.key: one.name for one in spot_tests()}
        cells = [
            [
                o(capital(names.get(test.test, _plain(test.test)))),
                o(_plain(test.state)),
                test.part or "–",
                voice.date(test.on) if test.on else o("not dated"),
                test.who or "–",
            ]
            for test in survey.test
        ]
        said += [
            blocks.heading(o("Tests of the old finish"), 3),
            blocks.table(
                (1.4, 1.6, -20, -26, -22), (o("Test"), o("What it did"), o("Part"), o("Day"), o("Who")), cells
            ),
        ]
    if survey.reading:
        words = {Seen.SEEN: "seen", Seen.NOT_SEEN: "looked for and not seen", Seen.UNSURE: "unsure"}
        cells = [
            [
                o(capital(feature_words(reading))),
                o(words[reading.seen]),
                reading.part or "–",
                o("later work") if reading.later.value == "yes" else "",
            ]
            for reading in survey.reading
        ]
        said += [
            blocks.heading(o("Features looked for"), 3),
            blocks.table((2, 1.2, -20, -26), (o("Feature"), o("Found"), o("Part"), ""), cells),
        ]
    cells = [
        [
            voice.moment(one.at),
            voice.amount(one.temperature.value) if one.temperature else "–",
            voice.amount(one.rh.value) if one.rh else "–",
            "–",
            "–",
        ]
        for one in survey.air
    ] + [
        [
            voice.moment(one.at),
            "–",
            "–",
            f"{voice.amount(one.mc.value)} {one.part or ''}".strip() if one.mc else "–",
            f"{voice.amount(one.weight.value)} {one.part or ''}".strip() if one.weight else "–",
        ]
        for one in survey.moisture
    ]
    if cells:
        heads = (o("When"), o("Air"), o("Humidity"), o("Moisture of the wood"), o("Weight of a loose part"))
        said += [blocks.heading(o("Air and moisture"), 3), blocks.table((1.2, 0.7, 0.7, 1, 1.1), heads, cells)]
    return [blocks.heading(o("What looking and testing showed")), *said] if said else []


def _joints(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o, survey = voice.ours, plan.survey
    if not survey.joint:
        return []
    shut = sum(joint.state is JointState.TIGHT for joint in survey.joint)
    cells = [
        [
            joint.code,
            place_of(survey, joint.parts[0]) + " to " + ", ".join(joint.parts[1:]),
            [joint.made if joint.made != "don't know" else "–", blocks.fine(joint.note)],
            o(joint.state.value),
        ]
        for joint in survey.joint
        if joint.state is not JointState.TIGHT
    ]
    said: list[blocks.Block] = [
        blocks.heading(o("Joints")),
        blocks.para(
            o(f"Of {len(survey.joint)} written down, {shut or 'none'} {'is' if shut < 2 else 'are'} tight. The others:")
            if cells
            else o(f"All {len(survey.joint)} that are written down are tight, and stay shut.")
        ),
    ]
    if cells:
        said.append(blocks.table((-12, 1.4, 1.6, -24), (o("Joint"), o("Between"), o("Made"), o("State")), cells))
    return said


def _belongings(plan: PiecePlan, voice: Voice) -> blocks.Block:
    found = accessories(plan.survey)
    return (
        blocks.points(found) if found else blocks.para(voice.ours("None is written down: count keys and loose bits."))
    )


def _thought(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    """What is made of it: the finish, and what should be done."""
    o, survey = voice.ours, plan.survey
    finish = finish_seen(plan, voice)
    said = [blocks.para(f"{o('The finish:')} {finish or o('not known yet; the tests will say.')}")]
    if survey.finish.note:
        said.append(blocks.para(shortened(survey.finish.note, 600)))
    way = next((one.offered for one in plan.ways if one.chosen), None)
    if way is not None:
        why = " ".join(sentence(reason) for reason in way.why)
        said.append(blocks.para(o(f"What we advise: {way.name}. {sentence(way.gist)} {why}".strip())))
    orders = {
        condition_named(seen.term).term: condition_named(seen.term).urgency.partition(";")[0]
        for seen in survey.condition
        if len(condition_named(seen.term).urgency.split()) > 2  # a word or two is a grade, not an order
    }
    if orders:
        said += [
            blocks.para(o("First, and meanwhile:"), "strong"),
            blocks.points(o(f"{capital(term)}: {order}.") for term, order in orders.items()),
        ]
    return said


def _limits(plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    items = [
        o(f"{capital(fact.name)}: not known. It would settle {fact.settles.rstrip('.')}.")
        for fact in plan.facts.missing
    ]
    unsized = [part.code for part in plan.survey.part if part.size is None or not part.size.known]
    if unsized:
        items.append(o(f"Not measured: {', '.join(unsized)}."))
    shut = [joint.code for joint in plan.survey.joint if joint.state in {JointState.TIGHT, JointState.DONT_OPEN}]
    if shut:
        items.append(o(f"Inside the joints that stayed shut ({len(shut)} of them) nobody has looked."))
    items.append(o("Looked at in the shop, by eye and hand; nothing was sampled unless a test above says so."))
    return [blocks.points(items)]


def _words_and_sources(found: tuple[Damage, ...], plan: PiecePlan, voice: Voice) -> list[blocks.Block]:
    o = voice.ours
    terms = {condition_named(damage.seen.term) for damage in found}
    said: list[blocks.Block] = []
    if terms:
        cells = [
            [blocks.strong(o(capital(term.term))), o(sentence(term.definition))]
            for term in sorted(terms, key=lambda term: term.term)
        ]
        said += [blocks.heading(o("What the words mean")), blocks.table((1, 3), (o("Word"), o("Meaning")), cells)]
    known = bibliography()
    cited = [citation(known[key]) for key in (*_CHECKLISTS, *_GLOSSARY) if key in known]
    return [*said, blocks.heading(o("What this relies on")), blocks.sources(cited)]


def _plain(key: str) -> str:
    """A key of a table in words: `wax_scrape_spirits` as `wax scrape spirits`."""
    return key.replace("_", " ")
