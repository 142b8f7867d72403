"""Phones paired for months with a short lock: a code once, digits when it lay still, a password after five wrong."""

import re
from datetime import timedelta

import pytest
from django.core.cache import cache
from django.test import Client
from django.urls import reverse

import pieces
from witnessmark.record import PairedPhone, PairingCode, Person, Role

DIGITS = "4071"
PASSWORD = "a plane and a rasp"


@pytest.fixture(autouse=True)
def _forgotten_tries():
    cache.clear()


@pytest.fixture
def later(settings):
    """Moves the clock on from the demo's morning."""

    def moved(**ahead: float) -> None:
        settings.FIXED_NOW = (pieces.NOW + timedelta(**ahead)).isoformat()

    return moved


def new_code(client: Client) -> str:
    page = client.post(reverse("phone_code"), secure=True).content.decode()
    return re.search(r'class="big-code">([A-Z2-9]{4}-[A-Z2-9]{4})<', page)[1]


def pair(code: str, client: Client | None = None, **said: str):
    client = client or Client()
    form = {"code": code, "name": "Bench phone", "lock": DIGITS, **said}
    return client, client.post(reverse("pair"), form, secure=True)


@pytest.fixture
def phone(helper) -> Client:
    """A phone paired by the helper."""
    client, answer = pair(new_code(helper))
    assert answer.status_code == 302
    return client


def unlock(phone: Client, digits: str = DIGITS, **more: str):
    return phone.post(reverse("lock"), {"lock": digits, **more})


# ---- pairing ----


def test_a_code_makes_a_phone_somebodys_for_months(phone, helper):
    kept = PairedPhone.objects.get()
    assert (kept.name, kept.person.name) == ("Bench phone", "Tobias")
    assert phone.get("/").wsgi_request.user.name == "Tobias"
    assert phone.session.get_expiry_age() == 90 * 24 * 3600
    assert "Bench phone" in helper.get(reverse("phones")).content.decode()


def test_the_square_leads_the_phone_to_the_code_by_an_address_it_can_reach(helper, settings):
    settings.ALLOWED_HOSTS = [*settings.LOOPBACK, "192.168.7.5", "testserver"]
    page = helper.post(reverse("phone_code"), secure=True, headers={"host": "127.0.0.1:8765"}).content.decode()
    code = re.search(r'class="big-code">(.*?)<', page)[1]
    address = f"https://192.168.7.5:8765/phones/pair/{code}"
    assert address in page
    assert f"<title>{address}</title>" in page  # of the QR code
    assert code in Client().get(f"/phones/pair/{code}").content.decode()


def test_a_code_is_good_once_and_looking_spends_none(helper):
    code = new_code(helper)
    Client().get(reverse("pair", args=[code]))
    assert pair(code)[1].status_code == 302
    assert pair(code)[1].status_code == 422
    assert PairedPhone.objects.count() == 1


def test_a_code_is_good_for_ten_minutes(helper, later):
    code = new_code(helper)
    later(minutes=10)
    assert pair(code)[1].status_code == 422


def test_a_newer_code_ends_an_older_one(helper):
    older, newer = new_code(helper), new_code(helper)
    assert pair(older)[1].status_code == 422
    assert pair(newer)[1].status_code == 302


def test_a_code_is_kept_so_that_nobody_reads_it_out(helper):
    code = new_code(helper)
    assert code.replace("-", "") not in PairingCode.objects.get().kept.upper()


def test_codes_are_not_guessed(helper):
    good = new_code(helper)
    for _ in range(10):
        assert pair("AAAA-AAAA")[1].status_code == 422
    assert pair(good)[1].status_code == 429


def test_a_code_of_somebody_shut_out_meanwhile_is_good_for_nothing(helper):
    code = new_code(helper)
    Person.objects.filter(name="Tobias").update(is_active=False)
    assert pair(code)[1].status_code == 422


@pytest.mark.parametrize("digits", ["123", "123456789", "12a4", "1111", "1234", "9876", "", "٤٠٧١"])
def test_digits_that_are_soon_guessed_or_none_are_not_taken(helper, digits):
    code = new_code(helper)
    assert pair(code, lock=digits)[1].status_code == 422
    assert pair(code)[1].status_code == 302  # and the code was not spent


def test_the_digits_are_kept_hashed(phone):
    assert DIGITS not in Person.objects.get(name="Tobias").lock.split("$")


def test_over_an_open_line_nothing_is_paired(helper):
    page = helper.get(reverse("phones")).content.decode()
    assert "serve --lan" in page
    helper.post(reverse("phone_code"))
    assert not PairingCode.objects.exists()


def test_a_reader_pairs_nothing(reader):
    assert reader.get(reverse("phones")).status_code == 403
    assert reader.post(reverse("phone_code"), secure=True).status_code == 403


# ---- the lock ----


def test_a_phone_in_use_stays_open(phone, later):
    for minutes in range(5, 60, 5):
        later(minutes=minutes)
        assert phone.get("/").status_code == 200


def test_a_phone_that_lay_still_shows_nothing_until_the_digits_are_given(phone, later):
    later(minutes=11)
    for address in ("/", reverse("bench"), reverse("phones")):
        answer = phone.get(address)
        assert answer["Location"].startswith(reverse("lock"))
    assert "Tobias" not in phone.get(reverse("lock")).content.decode()
    assert phone.get("/api/v1/bench").status_code == 423
    assert unlock(phone, next=reverse("bench"))["Location"] == reverse("bench")
    assert phone.get(reverse("bench")).status_code == 200


def test_what_a_locked_phone_sends_is_refused_and_said_not_to_be_kept(phone, later):
    later(minutes=11)
    answer = phone.post(reverse("bench_say"), {"say": "3 h chest"})
    assert answer.status_code == 423
    assert b"was not kept" in answer.content
    assert phone.get("/", headers={"HX-Request": "true"})["HX-Redirect"] == reverse("lock")


def test_a_page_that_looks_again_by_itself_does_not_keep_the_phone_open(phone, later):
    for minutes in (4, 8):
        later(minutes=minutes)
        assert phone.get("/", headers={"Sec-Fetch-Mode": "cors"}).status_code == 200
    later(minutes=11)
    assert phone.get("/").status_code == 302


def test_five_wrong_and_only_the_password_opens_it(phone, later):
    later(minutes=11)
    for _ in range(5):
        assert unlock(phone, "9999").status_code == 422
    assert unlock(phone).status_code == 422  # the right digits, too late
    assert phone.get("/").status_code == 302
    assert phone.post(reverse("lock"), {"password": "no"}).status_code == 422
    assert phone.post(reverse("lock"), {"password": PASSWORD}).status_code == 302
    assert phone.get("/").status_code == 200
    later(minutes=30)
    assert unlock(phone).status_code == 302  # and it is still paired


def test_the_password_at_the_lock_is_not_guessed(phone, later):
    later(minutes=11)
    for _ in range(5):
        unlock(phone, "9999")
    answers = [phone.post(reverse("lock"), {"password": "no"}).status_code for _ in range(11)]
    assert answers[-1] == 429
    assert phone.post(reverse("lock"), {"password": PASSWORD}).status_code == 429


def test_trying_digits_on_an_open_phone_locks_it(phone):
    unlock(phone, "9999")
    assert phone.get("/").status_code == 302


def test_the_lock_leads_nowhere_else(phone, later):
    later(minutes=11)
    assert unlock(phone, next="https://elsewhere.example/")["Location"] == "/"


# ---- its end ----


def test_a_withdrawn_phone_is_out_at_once(phone, helper):
    helper.post(reverse("withdraw_phone", args=[PairedPhone.objects.get().pk]))
    assert phone.get(reverse("bench"))["Location"].startswith(reverse("enter"))
    assert phone.get("/api/v1/bench").status_code == 401


def test_an_owner_sees_and_withdraws_everybodys(phone, owner):
    assert "Bench phone" in owner.get(reverse("phones")).content.decode()
    assert owner.post(reverse("withdraw_phone", args=[PairedPhone.objects.get().pk])).status_code == 302


def test_leaving_unpairs(phone):
    phone.post(reverse("leave"))
    assert PairedPhone.objects.get().withdrawn
    assert phone.get(reverse("bench")).status_code == 302


def test_a_new_password_shuts_out_the_phone_too(phone):
    tobias = Person.objects.get(name="Tobias")
    tobias.set_password("two chisels, one mallet")
    tobias.save()
    assert phone.get(reverse("bench")).status_code == 302


def test_who_enters_on_anothers_phone_has_no_paired_phone(phone, owner):
    phone.post(reverse("enter"), {"name": "Ines", "password": PASSWORD})
    assert phone.get("/").wsgi_request.user.name == "Ines"
    assert "phone" not in phone.session


def test_somebody_who_no_longer_works_here_is_out(phone):
    Person.objects.filter(name="Tobias").update(is_active=False)
    assert phone.get(reverse("bench")).status_code == 302


def test_a_day_over_the_network_and_no_longer_without_pairing(tmp_path, monkeypatch):
    import importlib

    from witnessmark.desk import settings as ours

    monkeypatch.setenv("WITNESSMARK_TLS", "1")
    try:
        assert importlib.reload(ours).SESSION_COOKIE_AGE == 12 * 3600
        assert ours.SESSION_COOKIE_SECURE
        assert ours.CSRF_COOKIE_SECURE
    finally:
        monkeypatch.delenv("WITNESSMARK_TLS")
        importlib.reload(ours)


def test_roles_are_asked_anew_on_every_request(phone):
    Person.objects.filter(name="Tobias").update(role=Role.READER)
    assert phone.post(reverse("bench_say"), {"say": "3 h chest"}).status_code == 403
