"""Every address, found by walking the urls, tried by nobody, a reader, a helper and an owner, by every method."""

import re
from html.parser import HTMLParser
from itertools import product
from urllib.parse import urlsplit

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from django.urls import reverse

import photographs
from addresses import RANK, Address, addresses, arguments_of
from witnessmark.desk.clock import now
from witnessmark.desk.door import LOOKING
from witnessmark.record import PairedPhone, Person, Role

CHANGING = ("POST", "PUT", "PATCH", "DELETE")
# What anybody may see. A new open page must be put here by somebody who thought about it.
OPEN = {"enter", "leave", "first_owner", "up", "pair"}
# What only owners may change, or even see.
OWNERS_ONLY = {"look_through", "books", "books_csv", "shop_person", "shop_withdraw", "backup", "shop_table", "shop_row"}
OWNERS = {"accept_price"} | OWNERS_ONLY
# The description of the API says nothing of the shop; the API's root only holds its name.
OPEN_OF_THE_API = {"api-1:openapi-json", "api-1:api-root"}
OWNERS_OF_THE_API = {"api-1:put_shop"}
# What a reader may not even look at: pages that are for working, and one's own phones and password.
NOT_FOR_READERS = {"new_piece", "password", "phones", "phone_code", "withdraw_phone"} | OWNERS_ONLY
OF_THE_SHOP = ("chest", "mahogany", "Ines", "Tobias", "Windsor", "shellac")
METHODS = ("GET", "HEAD", *CHANGING)


@pytest.fixture
def shop(demo_shop, helper, settings, tmp_path):
    """The demo shop with a photograph of the chest; gives the arguments of addresses."""
    settings.DATA = tmp_path
    piece = demo_shop("chest")
    picture = SimpleUploadedFile("a.jpg", photographs.jpeg(), "image/jpeg")
    helper.post(reverse("more_photographs", args=[piece]), {"photograph": picture})
    return arguments_of(piece)


def asked(client: Client, method: str, address: Address, arguments: dict[str, str]):
    if address.is_api and method in CHANGING:
        return client.generic(method, address.at(arguments), "{}", content_type="application/json")
    return client.generic(method, address.at(arguments))


def test_what_is_open_and_what_is_the_owners_is_written_down_here():
    found = [address for address in addresses() if not address.is_api]
    assert {address.name for address in found if address.open} == OPEN
    assert {address.name for address in found if address.wants("POST") == Role.OWNER} == OWNERS
    assert {address.name for address in found if address.wants("GET") != Role.READER} == NOT_FOR_READERS
    assert len(found) > 50
    assert sum(address.is_api for address in addresses()) > 8


def test_nobody_is_shown_anything_but_the_door(shop):
    for address, method in product(addresses(), METHODS):
        response = asked(Client(), method, address, shop)
        if address.open:
            assert response.status_code in (200, 302, 405, 422), address
        elif address.name in OPEN_OF_THE_API:
            assert response.status_code in (200, 404), address
            continue  # its words are the program's own, and speak of chests
        elif address.is_api:
            assert response.status_code in (401, 405), address
        elif address.name == "stock" and method in LOOKING:
            assert response.status_code == 200, address
        else:
            assert (response.status_code, response["Location"].partition("?")[0]) == (302, reverse("enter")), address
        said = response.content.decode()
        assert not [word for word in OF_THE_SHOP if word.lower() in said.lower()], address


def test_a_browser_with_a_session_that_ended_is_nobody(owner, shop):
    Person.objects.update(is_active=False)
    assert owner.get(reverse("piece", args=[shop["piece"]])).status_code == 302
    assert owner.get("/api/v1/pieces").status_code == 401


def test_a_reader_changes_nothing_anywhere(reader, shop):
    for address, method in product(addresses(), CHANGING):
        # A reader has no paired phone to unlock; on which paper one reads is a cookie of one's own.
        if address.open or address.name in OPEN_OF_THE_API | {"lock", "paper_kind"}:
            continue
        response = asked(reader, method, address, shop)
        assert response.status_code in (403, 405), (address, response.status_code)


@pytest.mark.parametrize("role", list(Role))
def test_each_role_sees_what_its_marks_say(request, role, shop):
    client: Client = request.getfixturevalue(role.value)
    shown = set()
    for address in addresses():
        if address.open:
            continue
        response = asked(client, "GET", address, shop)
        if RANK[role] < RANK[address.wants("GET")]:
            assert response.status_code == 403, address
            continue
        assert response.status_code in (200, 302, 404, 405), (address, response.status_code)
        shown |= {address.name} if response.status_code == 200 else set()
    assert {"stock", "piece", "bench", "apart", "survey", "part", "marks", "photograph", "tags_pdf"} <= shown
    assert {"api-1:survey", "api-1:plan", "api-1:daybook", "api-1:bench", "api-1:pieces"} <= shown
    elsewhere = {address.name for address in addresses() if not address.open} - shown
    if role == Role.OWNER:
        only_posted = {name for name in elsewhere if only_to_post(client, name, shop)}
        # Those that lead on, or whose demo has nothing there; all else must really have been shown.
        assert elsewhere - only_posted <= {"lock", "bare_code", "api-1:api-root", "part_scanned", "part", "paper"}


def only_to_post(client: Client, name: str, arguments: dict[str, str]) -> bool:
    found = [address for address in addresses() if address.name == name]
    return all(asked(client, "GET", address, arguments).status_code == 405 for address in found)


def test_a_helper_is_kept_out_of_what_owners_decide_and_of_nothing_else(helper, shop):
    for address, method in product(addresses(), CHANGING):
        if address.open or address.name == "lock":
            continue
        response = asked(helper, method, address, shop)
        if address.name in OWNERS:
            assert response.status_code in (403, 405), address
        elif not address.is_api:
            assert response.status_code != 403, address
        assert response.status_code < 500, address


def test_the_api_keeps_a_helper_from_the_shops_own_document(helper, shop):
    put = {address.at(shop) for address in addresses() if address.name in OWNERS_OF_THE_API}
    assert len(put) == 1
    assert helper.put(put.pop(), "{}", content_type="application/json").status_code == 403


def test_nothing_an_owner_sends_empty_is_our_fault(owner, shop):
    for address, method in product(addresses(), CHANGING):
        if address.name != "leave":
            assert asked(owner, method, address, shop).status_code < 500, address


def test_every_address_but_the_apis_wants_its_csrf_token(shop):
    checked = Client(enforce_csrf_checks=True)
    checked.force_login(Person.objects.get(name="Tobias"), "django.contrib.auth.backends.ModelBackend")
    for address in addresses():
        response = asked(checked, "POST", address, shop)
        if address.name not in OPEN_OF_THE_API:
            assert response.status_code in (401, 403, 405), (address, response.status_code)


def test_somebody_elses_phone_is_not_for_a_helper_to_withdraw(owner, helper, shop):
    phone = PairedPhone.objects.create(person=Person.objects.get(name="Ines"), name="a", made=now(), seen=now())
    assert helper.post(reverse("withdraw_phone", args=[phone.pk])).status_code == 404
    assert owner.post(reverse("withdraw_phone", args=[phone.pk])).status_code == 302
    assert PairedPhone.objects.get().withdrawn


# ---- what every page holds ----


class Held(HTMLParser):
    """What a page runs, how it is dressed, and where it leads."""

    def __init__(self) -> None:
        super().__init__()
        self.amiss: list[str] = []
        self.scripts: list[dict[str, str | None]] = []
        self.tag = ""

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        self.tag = tag
        self.amiss += [f"{tag} {name}" for name in said if name == "style" or name.startswith(("on", "hx-on"))]
        for name in ("href", "src", "action", "formaction", "poster", "data", "srcset"):
            to = urlsplit(said.get(name) or "")
            if to.netloc or to.scheme not in ("", "tel", "mailto"):
                self.amiss.append(f"{tag} {name}={said[name]}")
        if tag == "script":
            self.scripts.append(said)
        if tag == "style":
            self.amiss.append("style")

    def handle_data(self, data):
        if self.tag == "script" and data.strip():
            self.amiss.append(f"script {data[:40]}")

    def handle_endtag(self, tag):
        self.tag = ""


def test_the_scan_of_a_page_finds_what_it_looks_for():
    held = Held()
    held.feed('<a href="//a.example/">x</a><p style="x" onclick="y"><script>z</script><a href="javascript:q">')
    assert len(held.amiss) == 5


def test_no_page_runs_or_fetches_anything_that_is_not_ours(owner, shop):
    pages = 0
    for address in addresses():
        response = asked(owner, "GET", address, shop)
        if not response.get("Content-Type", "").startswith("text/html"):
            continue
        pages += 1
        policy = response["Content-Security-Policy"]
        assert "unsafe" not in policy
        assert "default-src 'none'" in policy
        page = response.content.decode()
        held = Held()
        held.feed(page)
        assert held.amiss == [], address
        nonces = set(re.findall(r"'nonce-([^']+)'", policy))
        assert {script.get("nonce") for script in held.scripts if not script.get("src")} <= nonces
        assert {script["nonce"] for script in held.scripts if "nonce" in script} <= nonces, address
    assert pages > 25


def test_no_browser_keeps_a_page_and_none_is_framed(owner, shop):
    for address in addresses():
        response = asked(owner, "GET", address, shop)
        kept = response["Cache-Control"]
        if address.name in ("photograph", "api-1:photograph") and response.status_code == 200:
            assert kept.startswith("private")
        else:
            assert "no-store" in kept or "no-cache" in kept, (address, kept)
        assert response["X-Frame-Options"] == "DENY"
        assert response["X-Content-Type-Options"] == "nosniff"
        assert response["Referrer-Policy"] == "same-origin"
        assert response["Cross-Origin-Opener-Policy"] == "same-origin"
