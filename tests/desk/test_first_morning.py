"""The first morning of an empty shop: who is at the bench, what is still to write, and where the desk leads."""

import re

from django.test import Client
from django.urls import reverse
from tests import pieces

from witnessmark.record import keep_shop, the_shop
from witnessmark.shop import plain_shop

PASSWORD = "linseed and shellac"
CODE = "ABCD-EFGH"


def opened(client: Client, settings) -> Client:
    settings.FIRST_CODE = CODE
    client.post(reverse("first_owner"), {"code": CODE, "name": "Ines", "password": PASSWORD})
    return client


def taken_in(client: Client, size: str = "900 x 450 x 1000 mm"):
    return client.post(reverse("new_piece"), {"piece.kind": "chest", "piece.owner": "Mrs Hay", "piece.size": size,
                                              "finish.kind": "shellac", "condition": ["dirt", "split"]})  # fmt: skip


def test_the_work_of_a_shop_nobody_wrote_down_is_for_its_first_owner(client, db, settings):
    opened(client, settings)
    assert [person.name for person in the_shop().person] == ["Ines"]
    assert taken_in(client).status_code == 302
    page = client.get(reverse("bench")).content.decode()
    assert "Nothing waits" not in page
    assert ">Begin<" in page


def test_the_first_owner_does_not_write_over_a_shop_that_is_there(client, db, settings):
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    opened(client, settings)
    assert the_shop() == pieces.shop()


def test_a_list_for_nobody_who_works_here_any_more_is_not_held_to(owner):
    keep_shop(plain_shop(), "Ines", pieces.NOW)
    taken_in(owner)
    assert "Nothing is down for Ines" in owner.get(reverse("bench")).content.decode()
    person = plain_shop().person[0].model_copy(update={"name": "Ines"})
    keep_shop(plain_shop().model_copy(update={"person": (person,)}), "Ines", pieces.NOW)
    assert ">Begin<" in owner.get(reverse("bench")).content.decode()


def test_the_empty_stock_says_what_to_do_first_and_shows_no_empty_stages(owner):
    page = owner.get(reverse("stock")).content.decode()
    assert "The first morning" in page
    assert 'class="stage"' not in page
    taken_in(owner)
    assert "The first morning" not in owner.get(reverse("stock")).content.decode()


def test_the_shop_leads_to_what_is_still_to_write_and_says_it_no_more_once_it_is(client, db, settings):
    opened(client, settings)
    page = client.get(reverse("shop")).content.decode()
    assert "Shop not given" not in re.search("<h1>.*?</h1>", page)[0]
    assert f'href="{reverse("shop_row", args=["person", "1"])}">Your hours' in page
    client.post(reverse("shop_row", args=["person", "1"]), {
        "number": "1", "name": "Ines", "role": "owner", "hours": "mon-thu 9:00-16:00",
    })  # fmt: skip
    assert ">Your hours<" not in client.get(reverse("shop")).content.decode()


def test_what_is_amiss_at_the_door_is_one_tap_from_its_field(owner):
    answer = taken_in(owner, size="900 x 450")
    assert answer.status_code == 422
    page = answer.content.decode()
    assert '<a href="#f-piece.size">' in page
    assert 'id="f-piece.size"' in page


def test_the_most_worth_finding_out_leads_to_the_form_itself(owner):
    page = owner.get(taken_in(owner)["Location"]).content.decode()
    assert "/survey/trial/new/" in page
    assert owner.get(re.search(r'href="([^"]+/survey/trial/new/)"', page)[1]).status_code == 200


def test_a_piece_that_is_out_is_found_without_a_day_to_promise(owner):
    piece = taken_in(owner)["Location"]
    assert "Safe day to say" in owner.get(reverse("find"), {"q": "Hay"}).content.decode()
    owner.post(f"{piece}stage/", {"to": "out", "note": ""})
    found = owner.get(reverse("find"), {"q": "Hay"}).content.decode()
    assert "Out since" in found
    assert "Safe day to say" not in found
    assert "safe to say" not in owner.get(piece).content.decode()
