"""The parts pages are made of, as they stand together on the page of samples."""

import re
from collections import Counter
from html.parser import HTMLParser
from typing import Any

import pytest
from django import forms
from django.contrib.messages.storage.base import Message
from django.template import TemplateSyntaxError, engines
from django.template.loader import render_to_string

import desk_samples
import pieces
from witnessmark.desk.drawer import drawer_of, said_apart
from witnessmark.desk.templatetags.bench_marks import PLACES
from witnessmark.papers import Voice
from witnessmark.shop import Vocabulary

WITHIN_LABEL = {"hidden", "radio", "checkbox"}
VOICE = Voice.of(pieces.shop().shop, desk_samples.NOW)


class Page(HTMLParser):
    """The tags of a page, flat: name and attributes."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str]]] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, {key: value or "" for key, value in attrs}))

    def all(self, *names: str) -> list[dict[str, str]]:
        return [attrs for tag, attrs in self.tags if tag in names]


@pytest.fixture(scope="module")
def page() -> str:
    return desk_samples.sample_page()


def made(template: str, **values: Any) -> str:
    given = {"shop": pieces.shop(), "local_now": desk_samples.NOW} | values
    return engines["django"].from_string("{% load bench_marks %}" + template).render(given)


def test_no_two_things_on_the_page_have_one_id(page):
    ids = [attrs["id"] for _, attrs in Page(page).tags if "id" in attrs]
    assert [key for key, many in Counter(ids).items() if many > 1] == []


def test_everything_that_is_pointed_at_is_on_the_page(page):
    read = Page(page)
    ids = {attrs["id"] for _, attrs in read.tags if "id" in attrs}
    for _, attrs in read.tags:
        for key in ("aria-labelledby", "aria-describedby", "for"):
            assert set(attrs.get(key, "").split()) <= ids, attrs
    assert {attrs["href"].removeprefix("#") for attrs in read.all("use")} <= ids


def test_every_field_has_its_label(page):
    read = Page(page)
    labelled = {attrs["for"] for attrs in read.all("label") if "for" in attrs}
    boxes = [box for box in read.all("input", "select", "textarea") if box.get("type") not in WITHIN_LABEL]
    assert boxes
    assert [box for box in boxes if box.get("id") not in labelled] == []


def test_the_rail_has_six_places_and_shows_where_one_is(page):
    nav = re.search(r'<nav class="places".*?</nav>', page, re.S)[0]
    assert re.findall(r">(\w+)</a>", nav) == [word for _, word in PLACES]
    assert re.findall(r'aria-current="page">(\w+)<', nav) == ["Stock"]


def test_the_page_begins_with_a_way_past_the_rail_and_names_its_language_and_paper(page):
    assert page.index('class="skip"') < page.index('class="rail"')
    assert '<html lang="en-GB">' in page
    assert '<html lang="en-US" data-paper="slate">' in desk_samples.sample_page(lang="en-US", paper="slate")


def test_a_page_for_an_american_shop_writes_day_and_time_as_they_do():
    settings = pieces.shop().shop.model_copy(update={"words": Vocabulary.US})
    shop = pieces.shop().model_copy(update={"shop": settings})
    assert "Tue Nov 10, <time" in desk_samples.sample_page(shop=shop)
    assert ">10:40 am</time>" in desk_samples.sample_page(shop=shop)


def test_the_scripts_carry_the_nonce_of_the_page():
    scripts = re.findall(r"<script[^>]*>", desk_samples.sample_page(csp_nonce="once-only"))
    assert scripts
    assert all('nonce="once-only"' in script for script in scripts)


# ---- the field ----


def test_what_was_typed_stays_and_its_fault_stands_beside_it():
    field = made('{% ask "size" "Size" value="900 by" fault="no size" hint="as measured" %}')
    read = Page(field)
    box = read.all("input")[0]
    assert box["value"] == "900 by"
    assert box["aria-invalid"] == "true"
    assert box["aria-describedby"] == "f-size-hint f-size-fault"
    assert 'id="f-size-fault"' in field


@pytest.mark.parametrize("kind", ["text", "area", "choice", "radio", "tick", "file", "date", "number", "password"])
def test_a_field_of_any_kind_carries_its_label_its_name_and_its_fault(kind):
    field = made(f'{{% ask "wood" "Wood" kind="{kind}" fault="not known" options=some value="oak" %}}',
                 some=[("oak", "oak"), ("elm", "elm")])  # fmt: skip
    assert "Wood" in field
    assert 'name="wood"' in field
    assert "not known" in field
    assert ("oak" in field) == (kind not in {"file", "password", "tick"})


def test_a_typed_quote_mark_cannot_break_out_of_its_field():
    field = made('{% ask "note" "Note" value=typed %}', typed='"><script>x</script>')
    assert Page(field).all("script") == []
    assert Page(field).all("input")[0]["value"] == '"><script>x</script>'


class Weighing(forms.Form):
    mass = forms.CharField(label="Mass", help_text="such as 60 g")


def test_a_django_form_is_shown_the_same_way():
    form = Weighing({"mass": ""})
    field = made("{% field form.mass %}", form=form)
    box = Page(field).all("input")[0]
    assert box["aria-invalid"] == "true"
    assert set(box["aria-describedby"].split()) <= {attrs.get("id") for _, attrs in Page(field).tags}
    assert "This field is required." in field


# ---- said, cautions, states ----


def test_what_was_done_has_its_undo_in_reach_as_a_post_with_a_token():
    said = render_to_string(
        "desk/parts/said.html", {"words": Message(25, "Jar 7 weighed", "/undo/7/"), "refused": "success"}
    )
    assert re.search(r'<form method="post" action="/undo/7/">.*Undo</button></form>', said, re.S)
    assert "Undo" not in render_to_string("desk/parts/said.html", {"words": Message(25, "Jar 7 weighed")})


def test_what_was_refused_says_so_in_a_word_not_by_colour_alone():
    assert "Refused:" in render_to_string("desk/parts/said.html", {"words": "Not kept", "refused": "error"})


def test_a_caution_is_never_folded_away_and_names_whom_to_ask(page):
    slip = re.search(r'<aside class="caution".*?</aside>', page, re.S)[0]
    assert "<details" not in slip
    assert "<b>Stop.</b> Old lead paint" in slip
    assert "Ask: local rules on lead waste." in slip
    assert page.index('class="caution"') < page.index("do-main")


def test_without_cautions_no_empty_slip_is_shown():
    assert render_to_string("desk/parts/caution.html", {"cautions": []}).strip() == ""


def test_a_state_is_a_mark_and_a_word():
    short = made('{% state "short" "Short by 30 ml" %}')
    assert "#m-short" in short
    assert "Short by 30 ml" in short
    with pytest.raises(TemplateSyntaxError, match="no pencil mark"):
        made('{% mark "star" %}')


# ---- the drawer ----


def test_a_drawer_holds_formula_inputs_with_units_where_from_and_standing():
    context = desk_samples.sample_context()
    flat = context["workings"]
    key = next(key for key, one in flat.items() if any("figure" in ref for ref in one["inputs"].values()))
    drawer = drawer_of(flat, key, VOICE)
    assert drawer is not None
    assert len(drawer.went_in) == len(flat[key]["inputs"])
    assert all(one.name and one.value and one.came_from for one in drawer.went_in)
    assert drawer.standing
    shown = made("{% working flat key 'Area' %}", flat=flat, key=key)
    assert drawer.value in shown
    assert "show the working" in shown


def test_every_working_of_a_plan_opens():
    flat = desk_samples.sample_context()["workings"]
    assert all(drawer_of(flat, key, VOICE) is not None for key in flat)


def test_a_figure_whose_working_is_gone_is_still_said_without_a_drawer():
    assert made("{% working flat 'gone' 'Area' said='0.5 m²' %}", flat={}).count("<details") == 0
    assert "0.5 m²" in made("{% working flat 'gone' 'Area' said='0.5 m²' %}", flat={})


def test_a_range_stands_in_brackets_and_a_plain_amount_does_not():
    assert said_apart({"value": 80, "unit": "ml", "low": 60, "high": 90}, VOICE) == ("80 ml", "(60–90 ml)")
    assert said_apart({"value": 80, "unit": "ml"}, VOICE) == ("80 ml", "")


def test_drawings_in_included_parts_get_keys_of_their_own():
    shown = made("{% for one in jars %}{% include 'desk/parts/jar.html' with jar=one.jar %}{% endfor %}{% jar first %}",
                 jars=desk_samples.JARS, first=desk_samples.JARS[0]["jar"])  # fmt: skip
    ids = re.findall(r'<title id="([^"]+)"', shown)
    assert len(ids) == len(set(ids)) == len(desk_samples.JARS) + 1


def test_a_map_in_a_list_says_the_state_of_each_part_in_a_word(page):
    listed = re.search(r'<ol class="offs">.*?</ol>', page, re.S)[0]
    assert listed.count("<b>off</b>") == 4
    assert listed.count("<b>next</b>") == 1
    assert listed.count("<li") == len(desk_samples.CHEST)
