"""The door: who comes in, how often one may guess, what a stolen or old session is good for."""

import os
import subprocess
import sys

import pytest
from django.contrib.auth import hashers
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

from witnessmark.record import Person, Role

PASSWORD = "a plane and a rasp"
CODE = "ABCD-EFGH"


@pytest.fixture(autouse=True)
def _forgotten_tries():
    cache.clear()


@pytest.fixture
def ines(db):
    return Person.objects.create_user("Ines", Role.OWNER, PASSWORD)


def enter(client: Client, name: str = "Ines", password: str = PASSWORD, **more: str):
    return client.post(reverse("enter"), {"name": name, "password": password, **more}, REMOTE_ADDR="10.0.0.7")


# ---- entering ----


def test_whoever_gives_name_and_password_is_in(client, ines):
    assert enter(client, "ines").status_code == 302
    assert client.get("/").status_code == 200


def test_a_wrong_password_and_an_unknown_name_are_answered_alike(client, ines):
    wrong, unknown = (
        enter(client, name, "nothing of the kind").content.decode().replace(name, "NAME") for name in ("Ines", "Nobody")
    )
    token = 'name="csrfmiddlewaretoken" value="'
    assert [part.partition('"')[2] for part in wrong.split(token)] == [
        part.partition('"')[2] for part in unknown.split(token)
    ]


def test_an_unknown_name_takes_as_much_work_as_a_wrong_password(client, ines, monkeypatch):
    worked: list[str] = []
    hasher = type(hashers.get_hasher("default"))
    encode = hasher.encode
    monkeypatch.setattr(hasher, "encode", lambda self, *said: worked.append("once") or encode(self, *said))
    enter(client, "Ines", "wrong one")
    known = len(worked)
    enter(client, "Nobody", "wrong one")
    assert len(worked) == 2 * known > 0


def test_ten_wrong_passwords_and_the_right_one_must_wait(client, ines):
    for _ in range(9):
        assert enter(client, password="no").status_code == 422
    assert enter(client, password="no").status_code == 429
    answer = enter(client)
    assert answer.status_code == 429
    assert b"Wait a while" in answer.content


def test_guessing_at_many_names_from_one_place_is_guessing_too(client, ines):
    for number in range(10):
        enter(client, f"Name {number}", "no")
    assert enter(client).status_code == 429


def test_a_password_of_ones_own_buys_no_more_guesses_at_anothers(client, ines):
    Person.objects.create_user("Tobias", Role.HELPER, "another password")
    for _ in range(9):
        enter(client, password="no")
    assert enter(client, "Tobias", "another password").status_code == 302
    enter(Client(), password="no")
    assert enter(Client()).status_code == 429


def test_a_made_up_forwarding_address_evades_nothing(client, ines):
    for number in range(10):
        client.post(reverse("enter"), {"name": "Ines", "password": "no"}, REMOTE_ADDR="10.0.0.7",
                    HTTP_X_FORWARDED_FOR=f"192.0.2.{number}")  # fmt: skip
    assert enter(client).status_code == 429


def test_others_may_enter_meanwhile_from_elsewhere(client, ines):
    for _ in range(10):
        enter(client, password="no")
    said = {"name": "Ines", "password": PASSWORD}
    assert Client().post(reverse("enter"), said, REMOTE_ADDR="10.0.0.8").status_code == 302


def test_the_session_from_before_is_not_the_one_from_then_on(client, ines):
    session = client.session
    session["planted"] = "by somebody"
    session.save()
    before = session.session_key
    enter(client)
    assert client.session.session_key != before
    assert (
        not Client(headers={"Cookie": f"sessionid={before}"}).get(reverse("stock")).wsgi_request.user.is_authenticated
    )


@pytest.mark.parametrize(
    "wanted",
    ["https://elsewhere.example/", "//elsewhere.example", r"\\elsewhere.example", "javascript:alert(1)",
     "http:///elsewhere.example", "\x00//elsewhere.example", "https:elsewhere.example"],
)  # fmt: skip
def test_the_door_leads_nowhere_but_into_the_shop(client, ines, wanted):
    page = client.get(reverse("enter"), {"next": wanted})
    assert b"elsewhere" not in page.content
    assert b"alert" not in page.content
    assert enter(client, next=wanted)["Location"] == "/"


def test_after_the_door_one_is_where_one_was_going(client, ines):
    stopped = client.get(reverse("bench"))
    assert client.get(stopped["Location"]).status_code == 200
    assert enter(client, next=reverse("bench"))["Location"] == reverse("bench")


def test_leaving_ends_the_session(client, ines):
    enter(client)
    key = client.session.session_key
    assert client.get(reverse("leave")).status_code == 405
    client.post(reverse("leave"))
    client.cookies["sessionid"] = key
    assert client.get(reverse("bench")).status_code == 302


# ---- the first owner ----


def first(client: Client, code: str = CODE, **said: str):
    return client.post(reverse("first_owner"), {"code": code, "name": "Ines", "password": PASSWORD, **said})


def test_the_code_in_the_terminal_makes_the_first_owner_once(client, db, settings):
    settings.FIRST_CODE = CODE
    assert b"The first owner" in client.get("/").content
    assert first(client, "abcd efgh").status_code == 302
    assert Person.objects.get().role == Role.OWNER
    assert client.get("/").status_code == 200
    assert first(Client(), name="Another")["Location"] == reverse("enter")
    assert Person.objects.count() == 1


def test_without_the_code_nobody_is_made_first_owner(client, db, settings):
    settings.FIRST_CODE = CODE
    for code in ("ABCD-EFGX", "", "ABCD"):
        assert first(client, code).status_code == 422
    settings.FIRST_CODE = ""  # a desk that was started otherwise has none to give
    for code in ("-", " ", "0"):
        assert first(client, code).status_code == 422
    assert not Person.objects.exists()


def test_the_code_is_guessed_at_ten_times_at_most_from_wherever(db, settings):
    settings.FIRST_CODE = CODE
    for number in range(10):
        said = {"code": "AAAA-AAAA", "name": "X", "password": PASSWORD}
        assert Client().post(reverse("first_owner"), said, REMOTE_ADDR=f"10.0.0.{number}").status_code == 422
    assert first(Client()).status_code == 429
    assert not Person.objects.exists()


@pytest.mark.parametrize("password", ["short", "password123", "1234567890"])
def test_a_password_that_is_soon_guessed_is_not_taken(client, db, settings, password):
    settings.FIRST_CODE = CODE
    assert first(client, password=password).status_code == 422
    assert not Person.objects.exists()


# ---- another password ----


def test_a_new_password_shuts_out_every_other_browser(client, ines):
    elsewhere = Client()
    enter(elsewhere)
    enter(client)
    said = {"password": PASSWORD, "new": "two chisels, one mallet"}
    assert client.post(reverse("password"), said).status_code == 302
    assert client.get(reverse("bench")).status_code == 200
    assert elsewhere.get(reverse("bench")).status_code == 302
    assert enter(Client()).status_code == 422
    assert enter(Client(), password="two chisels, one mallet").status_code == 302


def test_a_new_password_wants_the_old_one_and_does_not_let_it_be_guessed(client, ines):
    enter(client)
    for _ in range(10):
        said = {"password": "no", "new": "two chisels, one mallet"}
        assert client.post(reverse("password"), said).status_code == 422
    said = {"password": PASSWORD, "new": "two chisels, one mallet"}
    assert client.post(reverse("password"), said).status_code == 429
    assert Person.objects.get().check_password(PASSWORD)


# ---- what is sent ----


def test_a_form_that_is_too_large_is_told_so(client, ines, settings):
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 1000
    answer = client.post(reverse("enter"), {"name": "x" * 2000})
    assert answer.status_code == 413
    assert b"Too much at once" in answer.content


def test_more_fields_than_a_form_has_are_told_so(client, ines, settings):
    settings.DATA_UPLOAD_MAX_NUMBER_FIELDS = 10
    assert client.post(reverse("enter"), {f"f{n}": "" for n in range(20)}).status_code == 413


def test_a_form_that_is_none_is_told_so(client, ines):
    enter(client)
    answer = client.post(reverse("bench_say"), b"no form at all", content_type="multipart/form-data; boundary=")
    assert answer.status_code == 400
    assert b"could not be read" in answer.content


def test_an_unknown_name_of_the_desk_is_answered_plainly(client, db):
    answer = client.get("/", headers={"host": "elsewhere.example"})
    assert (answer.status_code, answer["Content-Type"]) == (400, "text/plain")
    assert b"elsewhere" not in answer.content


def test_an_old_form_is_explained(ines):
    client = Client(enforce_csrf_checks=True)
    answer = client.post(reverse("enter"), {"name": "Ines", "password": PASSWORD})
    assert answer.status_code == 403
    assert b"This page has grown old" in answer.content


def test_a_fault_of_ours_says_so_and_shows_no_trace(ines, monkeypatch):
    client = Client(raise_request_exception=False)
    enter(client)
    monkeypatch.setattr("witnessmark.desk.stock.render", lambda *_, **__: 1 / 0)
    answer = client.get("/")
    assert answer.status_code == 500
    assert b"Our fault" in answer.content
    assert b"ZeroDivisionError" not in answer.content


async def answered(headers, bodies, settings, limit=1000):
    """What the desk's ASGI front sends for these headers and pieces of a body."""
    from witnessmark.desk import asgi

    settings.BODY_LIMIT = limit
    sent, pieces_left = [], list(bodies)

    async def receive():
        piece = pieces_left.pop(0)
        return {"type": "http.request", "body": piece, "more_body": bool(pieces_left)}

    async def send(message):
        sent.append(message)

    scope = {"type": "http", "method": "POST", "path": "/up/", "query_string": b"", "headers": headers}
    await asgi.application(scope, receive, send)
    return sent[0]["status"], len(pieces_left)


@pytest.mark.parametrize("told", [True, False])
def test_a_body_without_end_is_refused_before_it_is_taken_in(settings, told):
    from asgiref.sync import async_to_sync

    headers = [(b"host", b"localhost"), (b"content-type", b"text/plain")]
    headers += [(b"content-length", b"50000")] if told else []
    status, left = async_to_sync(answered)(headers, [b"x" * 500] * 100, settings)
    assert status == 413
    assert left == (100 if told else 97)


# Outside check: RFC 9113 §8.2.3, cookies sent apart are one header joined by "; ", as browsers send them over HTTP/2.
def test_cookies_that_come_apart_are_all_read():
    from django.http import parse_cookie

    from witnessmark.desk.asgi import _one_cookie

    apart = [(b"cookie", b"csrftoken=a"), (b"host", b"localhost"), (b"cookie", b"sessionid=b")]
    (joined,) = (value for name, value in _one_cookie(apart) if name == b"cookie")
    assert parse_cookie(joined.decode()) == {"csrftoken": "a", "sessionid": "b"}
    assert (b"host", b"localhost") in _one_cookie(apart)


# ---- settings ----


def checked(tmp_path, **environment: str) -> str:
    """All that `check --deploy` has to say under these settings, and what it was told to keep silent about."""
    code = (
        "import django; from django.conf import settings; from django.core.management import call_command;"
        "django.setup(); call_command('check', deploy=True, fail_level='WARNING');"
        "print(*settings.SILENCED_SYSTEM_CHECKS)"
    )
    kept = {name: value for name, value in os.environ.items() if not name.startswith(("WITNESSMARK_", "DJANGO_"))}
    kept |= {"WITNESSMARK_DATA": str(tmp_path), "DJANGO_SETTINGS_MODULE": "witnessmark.desk.settings"}
    done = subprocess.run([sys.executable, "-c", code], env=kept | environment, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


NEVER_FITTING = {"security.W005", "security.W021"}  # no subdomains, no preload list: as settings.py says


@pytest.mark.parametrize("hosts", ["192.168.7.5,bench.local,bench", "desk.shop.example"])
def test_the_check_for_deployment_finds_nothing_where_pages_travel(tmp_path, hosts):
    said = checked(tmp_path, WITNESSMARK_TLS="1", WITNESSMARK_HOSTS=hosts)
    assert set(said.split()) & {"security.W004", "security.W008", "security.W012", "security.W016"} == set()
    assert set(said.split()) >= NEVER_FITTING


def test_on_loopback_it_is_silent_only_on_what_encryption_alone_could_mend(tmp_path):
    silent = {word for word in checked(tmp_path).split() if word.startswith("security.")}
    assert silent == NEVER_FITTING | {"security.W004", "security.W008", "security.W012", "security.W016"}
