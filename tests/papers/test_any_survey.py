"""Whatever people write in a survey, papers are set, and what they wrote is only ever words."""

from dataclasses import replace

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from papers.chest import chest, steps, survey
from papers.reading import pages, words
from witnessmark.daybook import DayBook
from witnessmark.papers import PAPERS, WHICH, chosen_papers, papers_of
from witnessmark.papers.glyphs import printable
from witnessmark.plan import Fact, Facts, PiecePlan
from witnessmark.survey import Condition, Fixing, Joint
from witnessmark.treatment import Reason

SHORT = st.text(max_size=200)  # survey texts are at most 200 letters


def written(text: str) -> PiecePlan:
    """A small plan with one text in every place where somebody may write."""
    one = survey().part[0].model_copy(update={"name": text, "sat": text, "up": text, "kept": text, "note": text,
                                              "maker_mark": text, "wood": text})  # fmt: skip
    piece = survey().piece.model_copy(update={"title": text, "owner": text, "note": text, "code": text})
    of = survey().model_copy(update={"part": (one,), "piece": piece})
    step = replace(steps()[4].step, trade_name=text, rule="by_hand", why=(Reason(text, ()),), faces=(text,))
    return chest(
        of=of, steps=(replace(steps()[4], step=step),), facts=Facts((Fact("k", text, text),), (), None),
        warnings=(text,), branches=(), workings=(),
    )  # fmt: skip


@settings(max_examples=20, suppress_health_check=[HealthCheck.too_slow])
@given(SHORT)
def test_any_words_can_be_printed(text):
    assert set(papers_of(written(text))) == set(PAPERS)


@pytest.mark.parametrize(
    "text",
    [
        '#panic("x")',
        "#set text(red)",
        '#read("look.typ")',
        "$ x^2 $ *bold* _under_ `raw` @ref <label> = heading",
        "\\u{41} \\#eval // not a comment /* nor this */",
        "{{ 7 * 7 }} </title><script>",
        '"quoted" \\" and back\\\\slashed',
    ],
)
def test_markup_in_a_survey_is_only_words(text):
    text_on_paper = words(papers_of(written(text))["plan.pdf"])
    assert " ".join(printable(text).split()) in text_on_paper


@pytest.mark.parametrize("text", ['#panic("x") $ * _ @ref <l> = h', "W" * 200, "a " * 100, "\u0301 漢 ∅"])
def test_whatever_people_write_single_papers_are_set_too(text):
    base = written(text)
    fixing = Fixing(code="S1", hole=text, size=text)
    joint = Joint(code="J1", parts=("TOP", "CS"), made=text, fixing=(fixing,), note=text)
    amiss = Condition(term="split", part="TOP", note=text)
    wishes = base.survey.wishes.model_copy(update={"note": text})
    of = base.survey.model_copy(update={"joint": (joint,), "condition": (amiss,), "wishes": wishes})
    made = chosen_papers([replace(base, survey=of)], DayBook(), [key for key in WHICH if key != "quotation"])
    assert len(made) == len(WHICH)
    assert len(pages(made["hang-tag.pdf"])) == 1


@pytest.mark.parametrize("text", ["W" * 200, "a " * 100, "Ångström " * 22, "-" * 200, "\u0301" * 100, " " * 50])
def test_words_without_an_end_still_make_papers(text):
    papers = papers_of(written(text))
    assert "Chest" in words(papers["plan.pdf"]) or text.strip()
