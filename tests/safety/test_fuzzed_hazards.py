"""Fuzzed surveys never raise or hide a Stop: what is added that says nothing changes nothing, and doubt only adds."""

from hypothesis import given, settings
from hypothesis import strategies as st

from small_surveys import condition, survey_with
from witnessmark.safety import Level, Task, cautions_for, hazards_in
from witnessmark.sources import table

FINISHES = ["french polish", "oil paint", "milk paint", "wax", "nitrocellulose lacquer", "don't know", "none"]
MADE = ["1700", "1850", "about 1865", "1985", "1995", "2010", "don't know", "before 1995", "1960-2000"]
KINDS = ["chest", "chair", "box", "mirror", "bed"]
NOTES = ["", "asbestos board behind", "green baize", "a luminous dial", "smells of mothballs", "no asbestos at all"]
TERMS = ["mould", "frass", "overpaint", "desilvering", "split", "scratch"]
# Words that say nothing of any danger.
PLAIN = st.text(st.sampled_from("bdefhjkqvxyz "), max_size=30)


def piece(kind, made, finish, note=""):
    return f'[piece]\nkind = "{kind}"\nmade = "{made}"\nnote = "{note}"\n[finish]\nkind = "{finish}"\n'


def stops(survey, region="UK"):
    found = tuple(hazard.key for hazard in hazards_in(survey, region=region))
    task = Task("any", dust=True, heat=True, lifting=True, found=found)
    return {one.key for one in cautions_for(task, (), region, at_most=None) if one.level is Level.STOP}


SURVEYS = st.tuples(
    st.sampled_from(KINDS), st.sampled_from(MADE), st.sampled_from(FINISHES), st.sampled_from(NOTES),
    st.lists(st.sampled_from(TERMS), max_size=3, unique=True),
)  # fmt: skip


@settings(max_examples=60)
@given(SURVEYS, PLAIN, st.sampled_from(["UK", "US"]))
def test_a_part_that_says_nothing_neither_raises_nor_hides_a_stop(said, words, region):
    kind, made, finish, note, terms = said
    rest = [condition(term) for term in terms]
    plain = f'[[part]]\ncode = "X1"\nname = "rail {words}"\nnote = "{words}"\nshape = "board"\n'
    before = stops(survey_with(*rest, piece=piece(kind, made, finish, note)), region)
    assert stops(survey_with(*rest, plain, piece=piece(kind, made, finish, note)), region) == before


@settings(max_examples=60)
@given(SURVEYS, st.sampled_from(TERMS), st.sampled_from(["UK", "US"]))
def test_something_more_amiss_never_hides_a_stop(said, term, region):
    kind, made, finish, note, terms = said
    fewer = [condition(one) for one in terms]
    more = [condition(one) for one in dict.fromkeys([*terms, term])]
    whole = piece(kind, made, finish, note)
    assert stops(survey_with(*fewer, piece=whole), region) <= stops(survey_with(*more, piece=whole), region)


@settings(max_examples=60)
@given(SURVEYS, st.sampled_from(["UK", "US"]))
def test_an_unknown_date_hides_nothing_that_a_known_one_raises(said, region):
    kind, made, finish, note, terms = said
    rest = [condition(one) for one in terms]
    known = stops(survey_with(*rest, piece=piece(kind, made, finish, note)), region)
    assert known <= stops(survey_with(*rest, piece=piece(kind, "don't know", finish, note)), region)


def test_a_sound_new_piece_raises_no_stop():
    assert stops(survey_with(piece=piece("chair", "2010", "wax"))) == set()


def test_a_tin_mercury_mirror_stops():
    assert "mercury_mirror" in stops(survey_with(piece=piece("mirror", "1840", "gilding")))
    assert "mercury_mirror" not in stops(survey_with(piece=piece("mirror", "1925", "gilding")))


def test_a_finding_says_what_would_settle_it_and_its_oldest_text():
    (lead,) = [one for one in hazards_in(survey_with(piece=piece("chest", "1850", "oil paint"))) if "lead" in one.key]
    assert "laboratory" in lead.test
    assert "H03" in lead.rule
    dated = [row["as_of"] for row in table("safety", "hazards.csv") if row.key in {"H01", "H03"}]
    assert lead.as_of == min(dated)


def test_what_may_be_alive_is_set_apart():
    # Isolate live insects and moth at the door: common practice.
    for term in ("frass", "flight holes, active", "moth damage"):
        found = {one.key for one in hazards_in(survey_with(condition(term), piece=piece("chair", "1850", "wax")))}
        assert "live_insects" in found
    old = hazards_in(survey_with(condition("flight holes, old"), piece=piece("chair", "1850", "wax")))
    assert "live_insects" not in {one.key for one in old}
