"""How old a piece is, on each paper: the words of its evidence, the drawing, and never a percentage on a ticket."""

from dataclasses import replace
from functools import cache

import pytest

import pieces
from papers.chest import chest, survey
from papers.reading import pages, words
from witnessmark.daybook import DayBook
from witnessmark.evidence import dating_of, ticket, told
from witnessmark.papers import chosen_papers
from witnessmark.papers.age import age_for_buyer, evidence_blocks
from witnessmark.papers.voice import Voice, capital
from witnessmark.plan import PiecePlan, plan_piece
from witnessmark.survey import Reading, ReadingAbout

WHICH = ("condition_report", "treatment_record", "listing", "hang_tag")


@cache
def demo() -> PiecePlan:
    return plan_piece(pieces.piece("chest"), pieces.shop(), pieces.daybook(), pieces.NOW)


@cache
def papers() -> dict[str, bytes]:
    return chosen_papers([demo()], pieces.daybook(), WHICH, pieces.photographs().get)


def voice_of(plan: PiecePlan) -> Voice:
    return Voice.of(plan.shop.shop, plan.now)


def aged(*features: str, made: str = "don't know", part: str | None = None) -> PiecePlan:
    """The hand-made chest with these features seen, and what somebody wrote of its age."""
    plain = chest(of=survey(extra=""))
    seen = tuple(Reading(about=ReadingAbout.DATE, feature=feature, part=part) for feature in features)
    piece = plain.survey.piece.model_copy(update={"made": made})
    return replace(plain, survey=plain.survey.model_copy(update={"reading": seen, "piece": piece}))


@pytest.mark.parametrize("paper", ["condition-report.pdf", "treatment-record.pdf", "hang-tag.pdf", "listing.pdf"])
def test_each_paper_says_the_age_in_the_words_of_the_ticket(paper):
    wording = ticket(dating_of(demo().survey))
    said = words(papers()[paper]).replace("– ", "–")  # a span may be broken over two lines
    assert wording in said or capital(wording) in said


@pytest.mark.parametrize("paper", ["hang-tag.pdf", "listing.pdf"])
def test_no_percentage_stands_on_a_ticket(paper):
    assert "%" not in words(papers()[paper])


def test_report_and_record_show_the_drawing_with_its_words():
    for paper in ("condition-report.pdf", "treatment-record.pdf"):
        page = next(page for page in pages(papers()[paper]) if "Each line is one thing looked for" in page)
        assert "All together" in page
    (kept,) = evidence_blocks(demo(), voice_of(demo()))
    (drawn,) = (one for one in kept["blocks"] if one["kind"] == "drawing")
    assert drawn["alt"] == voice_of(demo()).ours(told(dating_of(demo().survey)))
    assert "turned bun feet" in drawn["alt"]


def test_nothing_is_drawn_where_nobody_looked():
    plan = aged()
    assert evidence_blocks(plan, voice_of(plan)) == []
    assert age_for_buyer(plan, voice_of(plan)) == ""


def test_what_was_written_stands_as_a_judgement_where_the_evidence_is_loose():
    loose = aged("nail_wire_eu", made="about 1865")
    said = age_for_buyer(loose, voice_of(loose))
    assert said == "made about 1865, as we judge it; not closely dated by what has been seen"
    unseen = aged(made="about 1865")
    assert age_for_buyer(unseen, voice_of(unseen)) == "made about 1865"


def test_evidence_that_dates_it_goes_before_what_was_written():
    close = aged("lock_mark_wr", "knob_wood_mushroom", "dovetail_fine_hand_uk", made="about 1720")
    said = age_for_buyer(close, voice_of(close))
    assert said.startswith("made about 18")
    assert "1720" not in said


def test_more_clues_than_a_page_is_high_are_still_one_page():
    from witnessmark.evidence import features

    many = aged(*[key for key, one in features().items() if not one.takes_a_year][:60])
    found = chosen_papers([many], DayBook(), ["condition_report"])["condition-report.pdf"]
    assert sum("All together" in page for page in pages(found)) == 1


def test_an_american_shop_reads_its_own_words_in_the_drawing():
    plan = aged("sec_deal_uk")
    (kept,) = evidence_blocks(plan, replace(voice_of(plan), american=True))
    drawn = next(one["svg"] for one in kept["blocks"] if one["kind"] == "drawing")
    assert "red deal or pine case" in drawn
    assert "carcase" not in drawn
