"""Papers of a piece: asked for, on the way, set, kept with their plan, and told when the plan moves on."""

import pytest

from witnessmark.desk.papers import KINDS, MONEY
from witnessmark.papers import WHICH
from witnessmark.record import PLAN_PAPERS, PaperKept, PaperState


@pytest.fixture
def chest(demo_shop, settings, tmp_path):
    settings.DATA = tmp_path
    return demo_shop("chest")


def set_all():
    """A worker sets what is on the way."""
    from witnessmark.record.papers_kept import set_paper

    for paper in PaperKept.objects.filter(state=PaperState.WAITING):
        set_paper.call(paper.pk)


def test_every_paper_there_is_has_its_name():
    assert {key for key, _, _ in KINDS} == {*WHICH, PLAN_PAPERS}


def test_a_paper_is_asked_for_is_on_the_way_and_is_set(helper, chest):
    assert helper.post(f"/p/{chest}/papers/want/", {"which": ["care_card"]}).status_code == 302
    said = helper.get(f"/p/{chest}/papers/").content.decode()
    assert "1 paper on the way" in said
    assert 'hx-trigger="every 1s"' in said
    set_all()
    said = helper.get(f"/p/{chest}/papers/").content.decode()
    assert "on the way" not in said
    assert "hx-trigger" not in said
    paper = PaperKept.objects.get()
    answer = helper.get(f"/p/{chest}/papers/{paper.pk}/care-card.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer["Content-Disposition"] == 'inline; filename="C1-care-card.pdf"'
    assert answer["X-Content-Type-Options"] == "nosniff"


def test_asking_again_gives_the_same_till_the_plan_moves_on(helper, chest):
    helper.post(f"/p/{chest}/papers/want/", {"which": "care_card"})
    set_all()
    helper.post(f"/p/{chest}/papers/want/", {"which": "care_card"})
    assert PaperKept.objects.count() == 1
    helper.post(f"/p/{chest}/note/", {"note": "the key was in the till"})
    assert "older than the plan now" in helper.get(f"/p/{chest}/papers/").content.decode()
    helper.post(f"/p/{chest}/papers/want/", {"which": "care_card"})
    assert PaperKept.objects.count() == 2


def test_only_a_piece_of_the_page_is_sent_to_see_how_far_it_is(helper, chest):
    said = helper.get(f"/p/{chest}/papers/", headers={"HX-Request": "true"}).content.decode()
    assert said.startswith('<div id="papers"')
    assert "<html" not in said


def test_what_the_shop_reckons_with_is_for_owners(owner, helper, chest):
    assert helper.post(f"/p/{chest}/papers/want/", {"which": "quotation"}).status_code == 403
    owner.post(f"/p/{chest}/papers/want/", {"which": ["quotation", "care_card"]})
    set_all()
    quotation = PaperKept.objects.get(which="quotation")
    assert owner.get(f"/p/{chest}/papers/{quotation.pk}/quotation.pdf").status_code == 200
    assert helper.get(f"/p/{chest}/papers/{quotation.pk}/quotation.pdf").status_code == 403
    care = PaperKept.objects.get(which="care_card")
    assert owner.get(f"/p/{chest}/papers/{care.pk}/plan.json").json()["schema"] == 1
    assert helper.get(f"/p/{chest}/papers/{care.pk}/plan.json").status_code == 403
    for key in MONEY:
        assert f'value="{key}"' not in helper.get(f"/p/{chest}/papers/").content.decode()


def test_what_is_no_paper_is_refused_in_words(helper, chest):
    helper.post(f"/p/{chest}/papers/want/", {"which": "ransom_note"})
    assert "there is no paper “ransom_note”" in helper.get(f"/p/{chest}/papers/").content.decode()
    helper.post(f"/p/{chest}/papers/want/", {})
    assert "No paper was ticked" in helper.get(f"/p/{chest}/papers/").content.decode()


def test_a_file_that_is_none_of_a_paper_is_not_there(owner, chest):
    owner.post(f"/p/{chest}/papers/want/", {"which": "care_card"})
    set_all()
    paper = PaperKept.objects.get()
    assert owner.get(f"/p/{chest}/papers/{paper.pk}/secret").status_code == 404
    assert owner.get(f"/p/{chest}/papers/999/care-card.pdf").status_code == 404


def test_a_reader_reads_papers_and_asks_for_none(helper, reader, chest):
    helper.post(f"/p/{chest}/papers/want/", {"which": "care_card"})
    set_all()
    paper = PaperKept.objects.get()
    assert reader.get(f"/p/{chest}/papers/{paper.pk}/care-card.pdf").status_code == 200
    assert reader.post(f"/p/{chest}/papers/want/", {"which": "tags"}).status_code == 403


def test_the_week_of_the_shop_is_a_paper_over_all_that_is_here(helper, chest):
    answer = helper.get("/wall/week.pdf")
    assert answer.content.startswith(b"%PDF-")
    assert answer["Content-Disposition"] == 'inline; filename="week.pdf"'
