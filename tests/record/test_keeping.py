"""What is kept stays kept: revisions, the day book, and the row of each piece."""

import pytest
from django.db import DatabaseError, connection, transaction

import pieces
from witnessmark.documents import Faulty, Refused, json_of
from witnessmark.plan import plan_as_json, plan_piece
from witnessmark.record import (
    BothChanged,
    DayBookEntry,
    NoSuchState,
    Revision,
    StockRow,
    brought_back,
    daybook_of,
    history_of,
    keep_shop,
    keep_survey,
    plan_of,
    post_entries,
    shop_checked,
    survey_checked,
    survey_of,
    the_shop,
)

pytestmark = pytest.mark.django_db


@pytest.fixture
def chest_kept():
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.chest(), "Ines", pieces.NOW)
    return pieces.chest().id


@pytest.mark.parametrize("name", pieces.PIECES)
def test_a_survey_comes_out_as_it_went_in(name):
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.piece(name), "Ines", pieces.NOW)
    assert survey_of(pieces.piece(name).id) == pieces.piece(name)
    assert the_shop() == pieces.shop()


@pytest.mark.parametrize("table", ["record_revision", "record_daybookentry"])
@pytest.mark.parametrize("act", ["UPDATE {} SET who = 'somebody else'", "DELETE FROM {}"])
def test_the_database_itself_refuses_to_change_or_remove_what_is_kept(chest_kept, table, act):
    post_entries([json_of(entry) for entry in pieces.daybook().entries], pieces.NOW)
    with pytest.raises(DatabaseError, match="never changed"), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(act.format(table))


def changed(survey, **piece):
    return survey.model_copy(update={"piece": survey.piece.model_copy(update=piece)})


def test_what_two_people_changed_in_different_keys_goes_together(chest_kept):
    keep_survey(changed(pieces.chest(), title="The tall one"), "Tobias", pieces.NOW, expected=1)
    kept = keep_survey(changed(pieces.chest(), marks="a lion"), "Ines", pieces.NOW, expected=1)
    assert (kept.number, kept.who) == (3, "Ines")
    assert survey_of(chest_kept) == changed(pieces.chest(), title="The tall one", marks="a lion")


def test_what_two_people_changed_in_the_same_key_is_shown_and_nothing_is_kept(chest_kept):
    keep_survey(changed(pieces.chest(), title="The tall one"), "Tobias", pieces.NOW, expected=1)
    with pytest.raises(BothChanged, match="Tobias has changed the same") as error:
        keep_survey(changed(pieces.chest(), title="The dear one"), "Ines", pieces.NOW, expected=1)
    assert error.value.both == {"piece.title": ("The tall one", "The dear one")}
    assert error.value.current.number == 2
    assert survey_of(chest_kept).piece.title == "The tall one"


def test_two_changes_that_do_not_go_together_are_refused(chest_kept):
    small = survey_checked(
        {"id": pieces.chair().id, "piece": {"kind": "chair"}, "part": [{"code": "A", "name": "arm"}]}
    )
    keep_survey(small, "Ines", pieces.NOW)
    keep_survey(small.model_copy(update={"part": ()}), "Tobias", pieces.NOW, expected=1)
    split = survey_checked({**json_of(small), "condition": [{"term": "split", "part": "A"}]})
    with pytest.raises(Faulty, match="what Tobias changed meanwhile"):
        keep_survey(split, "Ines", pieces.NOW, expected=1)
    with pytest.raises(Refused, match="no state 9"):
        keep_survey(split, "Ines", pieces.NOW, expected=9)


def test_two_people_change_the_shop(chest_kept):
    one, other = json_of(pieces.shop()), json_of(pieces.shop())
    one["room"][0]["rh"], other["shop"]["words"] = "51 %", "US"
    keep_shop(shop_checked(one), "Tobias", pieces.NOW, expected=1)
    keep_shop(shop_checked(other), "Ines", pieces.NOW, expected=1)
    assert (the_shop().room[0].rh.text, the_shop().shop.words.value) == ("51 %", "US")
    third = json_of(pieces.shop())
    third["room"][0]["rh"] = "49 %"
    with pytest.raises(BothChanged) as error:
        keep_shop(shop_checked(third), "Ines", pieces.NOW, expected=1)
    assert error.value.both == {f"room[{third['room'][0]['name']}].rh": ("51 %", "49 %")}


def test_any_state_can_be_brought_back_and_nothing_is_lost(chest_kept):
    keep_survey(changed(pieces.chest(), title="The tall one"), "Tobias", pieces.NOW, "it is tall")
    kept = brought_back(chest_kept, 1, "Ines", pieces.NOW)
    assert survey_of(chest_kept) == pieces.chest()
    assert StockRow.objects.get(piece=chest_kept).title == pieces.chest().piece.title
    told = [(one.number, one.who, one.why) for one in history_of(chest_kept)]
    assert told == [(3, "Ines", kept.why), (2, "Tobias", "it is tall"), (1, "Ines", "")]
    assert "Ines left it in state 1" in kept.why
    with pytest.raises(NoSuchState, match="no state 7"):
        brought_back(chest_kept, 7, "Ines", pieces.NOW)


def test_the_same_words_again_make_no_new_revision(chest_kept):
    keep_survey(pieces.chest(), "Tobias", pieces.NOW)
    assert Revision.objects.filter(document=chest_kept).count() == 1


def test_entries_sent_twice_count_once(chest_kept):
    lines = [json_of(entry) for entry in pieces.daybook().entries]
    first = post_entries(lines, pieces.NOW)
    again = post_entries(lines, pieces.NOW)
    assert len(first.accepted) == len(lines) == len(again.known)
    assert not again.accepted
    assert DayBookEntry.objects.count() == len(lines)


def test_one_bad_entry_keeps_all_of_them_out_and_says_which(chest_kept):
    lines = [json_of(entry) for entry in pieces.daybook().entries]
    lines[2]["what"] = "wrked"
    with pytest.raises(Faulty) as error:
        post_entries(lines, pieces.NOW)
    assert error.value.faults[0].where == "entry 3"
    assert DayBookEntry.objects.count() == 0


def test_an_id_stands_for_one_entry_only(chest_kept):
    line = json_of(pieces.daybook().entries[0])
    post_entries([line], pieces.NOW)
    with pytest.raises(Faulty, match="other words"):
        post_entries([{**line, "note": "something else"}], pieces.NOW)


def test_the_kept_plan_is_made_again_only_when_something_moved_on(chest_kept):
    first = plan_of(chest_kept, pieces.NOW)
    assert first.body
    assert first.safe_day
    assert plan_of(chest_kept, pieces.NOW).at == first.at
    entry = next(entry for entry in pieces.daybook().entries if entry.piece == chest_kept)
    post_entries([json_of(entry)], pieces.NOW)
    assert plan_of(chest_kept, pieces.NOW).made_from != first.made_from


def test_the_record_plans_as_the_whole_day_book_would(chest_kept):
    post_entries([json_of(entry) for entry in pieces.daybook().entries], pieces.NOW)
    whole = plan_as_json(plan_piece(pieces.chest(), pieces.shop(), pieces.daybook(), pieces.NOW))
    assert plan_of(chest_kept, pieces.NOW).body == whole
    kept = [entry.id for entry in daybook_of(chest_kept).entries]
    assert kept == [entry.id for entry in pieces.daybook().on_piece(chest_kept)]
    assert StockRow.objects.get(piece=chest_kept).minutes > 0
