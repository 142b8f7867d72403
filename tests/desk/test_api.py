"""The API: who may ask, how a document is kept by two, how entries and photographs are taken in."""

import hashlib
import json
from typing import Any

import jsonschema
import pytest
from django.core.cache import cache
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client

import photographs
import pieces
from entries import entry as entry_said
from witnessmark.daybook import daybook_schema
from witnessmark.documents import json_of, uuid7
from witnessmark.plan import bench_schema, plan_schema
from witnessmark.record import DayBookEntry, Person, Role, keep_person, keep_photograph, shut_out, token_for
from witnessmark.record.pictures import Limits
from witnessmark.shop import shop_schema
from witnessmark.survey import survey_schema

V1 = "/api/v1"
JSON = "application/json"
PASSWORD = "a plane and a rasp"


class Program:
    """A program of the shop's own: it sends a key with whatever it asks."""

    def __init__(self, key: str) -> None:
        self.client = Client(headers={"Authorization": f"Bearer {key}"})

    def get(self, path: str, **headers: str) -> Any:
        return self.client.get(V1 + path, headers=_spelt(headers))

    def put(self, path: str, tables: Any, **headers: str) -> Any:
        return self.client.put(V1 + path, json.dumps(tables), JSON, headers=_spelt(headers))

    def post(self, path: str, tables: Any) -> Any:
        return self.client.post(V1 + path, json.dumps(tables), JSON)


def _spelt(headers: dict[str, str]) -> dict[str, str]:
    return {key.replace("_", "-"): value for key, value in headers.items()}


def entry(what: str, number: int, **said: object) -> dict[str, Any]:
    return json_of(entry_said(number, what, **said))


def program(name: str, role: Role) -> Program:
    return Program(token_for(keep_person(name, role, PASSWORD)[0]))


@pytest.fixture(autouse=True)
def _nobody_asked_before():
    cache.clear()


@pytest.fixture
def ours(db) -> Program:
    return program("Ines", Role.OWNER)


@pytest.fixture
def helps(db) -> Program:
    return program("Tobias", Role.HELPER)


@pytest.fixture
def looks(db) -> Program:
    return program("Dale", Role.READER)


@pytest.fixture
def chest(demo_shop) -> str:
    return f"/pieces/{demo_shop('chest')}/survey"


def changed(answer: Any, **piece: Any) -> dict[str, Any]:
    tables = answer.json()
    return tables | {"piece": tables["piece"] | piece}


# ---- who may ask ----


@pytest.mark.parametrize("path", ["/pieces", "/shop", "/daybook", "/bench", "/photographs/" + "a" * 64])
def test_nobody_is_told_anything_without_a_key(db, path):
    for headers in ({}, {"Authorization": "Bearer wm_guessed"}, {"Authorization": "Basic eDp5"}):
        answer = Client().get(V1 + path, headers=headers)
        assert answer.status_code == 401
        assert answer["WWW-Authenticate"].startswith("Bearer")
        assert "witnessmark token" in answer.json()["refused"]


def test_a_reader_looks_and_changes_nothing(looks, chest):
    assert looks.get(chest).status_code == 200
    for answer in (looks.put(chest, {}), looks.post("/daybook", []), looks.post("/photographs", {})):
        assert answer.status_code == 403
        assert "Dale is a reader" in answer.json()["refused"]


def test_the_shop_is_the_owners_and_so_is_a_price(helps, ours, chest):
    tag = helps.get("/shop")["ETag"]
    assert helps.put("/shop", {}, If_Match=tag).status_code == 403
    before = helps.get(chest)
    price = {"about": "price", "price": "£900", "who": "Tobias", "on": "2026-11-25", "why": "a friend"}
    tables = before.json()
    tables["decision"] = [*tables.get("decision", []), price]
    assert helps.put(chest, tables, If_Match=before["ETag"]).status_code == 403
    assert ours.put(chest, tables, If_Match=before["ETag"]).status_code == 200


def test_a_key_that_was_withdrawn_opens_nothing(helps):
    assert helps.get("/pieces").status_code == 200
    keep_person("Ines", Role.OWNER, PASSWORD)
    shut_out(Person.objects.get(name="Tobias"), pieces.NOW)
    assert helps.get("/pieces").status_code == 401


def test_a_page_asks_by_its_session_and_changes_with_its_token(demo_shop):
    somebody = keep_person("Ines", Role.OWNER, PASSWORD)[0]
    page = Client(enforce_csrf_checks=True)
    page.force_login(somebody, "django.contrib.auth.backends.ModelBackend")
    assert page.get(f"{V1}/bench").status_code == 200
    lines = json.dumps([entry("note", 1, note="worm")])
    assert page.post(f"{V1}/daybook", lines, JSON).status_code == 403
    page.get("/up/")
    page.cookies["csrftoken"] = "a" * 32
    answer = page.post(f"{V1}/daybook", lines, JSON, headers={"X-CSRFToken": "a" * 32})
    assert answer.status_code == 200


def test_who_asks_too_often_waits(looks, monkeypatch):
    from witnessmark.desk.api import api
    from witnessmark.desk.api.asking import PerPerson

    throttle = next(one for router in api._get_bound_routers() for view in router.path_operations.values()
                    for operation in view.operations for one in operation.throttle_objects)  # fmt: skip
    assert isinstance(throttle, PerPerson)
    monkeypatch.setattr(throttle, "num_requests", 2)
    answers = [looks.get("/pieces") for _ in range(3)]
    assert answers[-1].status_code == 429
    assert int(answers[-1]["Retry-After"]) > 0


# ---- documents ----


def test_a_survey_goes_out_as_it_was_kept_and_back_in(ours, demo_shop):
    for name in pieces.PIECES:
        path = f"/pieces/{demo_shop(name)}/survey"
        answer = ours.get(path)
        jsonschema.validate(answer.json(), survey_schema())
        assert answer.json() == json.loads(json.dumps(json_of(pieces.piece(name))))
        again = ours.put(path, answer.json(), If_Match=answer["ETag"])
        assert (again.status_code, again["ETag"], again.json()) == (200, answer["ETag"], answer.json())
        assert ours.get(path, If_None_Match=answer["ETag"]).status_code == 304


def test_a_new_piece_comes_in_once(helps, db):
    ident = uuid7(pieces.NOW, bytes(10))
    path, tables = f"/pieces/{ident}/survey", {"piece": {"kind": "chair", "title": "Nursing chair"}}
    assert helps.put(path, tables).status_code == 428
    assert helps.put(path, tables, If_Match='"1-0"').status_code == 412
    made = helps.put(path, tables, If_None_Match="*")
    assert (made.status_code, made.json()["id"]) == (200, ident)
    twice = helps.put(path, tables, If_None_Match="*")
    assert twice.status_code == 412
    assert (twice.json()["etag"], twice.json()["theirs"]) == (made["ETag"], made.json())
    assert [row["title"] for row in helps.get("/pieces?q=nursing").json()["pieces"]] == ["Nursing chair"]


def test_a_change_says_what_it_was_made_from(helps, chest):
    before = helps.get(chest)
    tables = changed(before, title="The tall one")
    assert helps.put(chest, tables).status_code == 428
    assert helps.put(chest, tables, If_Match='"1-0000000000000000"').status_code == 412
    assert helps.put(chest, tables, If_Match="*").status_code == 200
    assert helps.get(chest).json()["piece"]["title"] == "The tall one"
    assert helps.get(chest)["ETag"] != before["ETag"]


def test_two_people_change_different_keys_and_both_are_kept(ours, helps, chest):
    before = ours.get(chest)
    assert helps.put(chest, changed(before, title="The tall one"), If_Match=before["ETag"]).status_code == 200
    answer = ours.put(chest, changed(before, marks="a lion"), If_Match=f"W/{before['ETag']}")
    assert answer.status_code == 200
    assert answer.json()["piece"] | {"title": "The tall one", "marks": "a lion"} == answer.json()["piece"]
    assert helps.get(chest)["ETag"] == answer["ETag"]


def test_two_people_change_the_same_key_and_see_both(ours, helps, chest):
    before = ours.get(chest)
    first = helps.put(chest, changed(before, title="The tall one"), If_Match=before["ETag"])
    mine = changed(before, title="The dear one")
    answer = ours.put(chest, mine, If_Match=before["ETag"])
    assert answer.status_code == 412
    told = answer.json()
    assert told["both"] == {"piece.title": {"theirs": "The tall one", "mine": "The dear one"}}
    assert (told["theirs"], told["mine"], told["etag"]) == (first.json(), mine, first["ETag"])
    assert "Tobias" in told["refused"]
    assert ours.get(chest).json()["piece"]["title"] == "The tall one"
    assert ours.put(chest, mine, If_Match=told["etag"]).status_code == 200


def test_what_is_wrong_with_a_survey_is_said_as_on_the_command_line(helps, chest):
    before = helps.get(chest)
    tables = changed(before, kind="chset")
    tables["part"][0]["size"] = "900 by a lot"
    answer = helps.put(chest, tables, If_Match=before["ETag"])
    assert answer.status_code == 422
    faults = {fault["key"]: fault for fault in answer.json()["faults"]}
    assert set(faults) == {"piece.kind", "part[1].size"}
    assert set(faults["piece.kind"]) == {"where", "line", "key", "found", "expected", "nearest"}
    assert faults["piece.kind"]["nearest"] == "chest"
    other = helps.put(chest, before.json() | {"id": pieces.chair().id}, If_Match=before["ETag"])
    assert other.json()["faults"][0]["key"] == "id"


@pytest.mark.parametrize(
    ("body", "kind", "status"),
    [
        (b"{", JSON, 400),
        (b'{"a": 1, "a": 2}', JSON, 400),
        (b'{"a": NaN}', JSON, 400),
        (b'{"piece": {"title": "\\ud800"}}', JSON, 400),
        (b"\xff{}", JSON, 400),
        (b"[" * 100_000, JSON, 400),
        (b"[]", JSON, 400),
        (b"{}", "text/plain", 415),
        (b" " * (10 * 1024 * 1024 + 1), JSON, 413),
    ],
)
def test_a_body_that_is_no_document_is_refused(ours, chest, body, kind, status):
    answer = ours.client.put(V1 + chest, body, kind, headers={"If-Match": "*"})
    assert answer.status_code == status
    assert answer.json()["refused"]


def test_the_shop_goes_out_and_comes_back_changed(ours, demo_shop):
    before = ours.get("/shop")
    jsonschema.validate(before.json(), shop_schema())
    tables = before.json()
    tables["shop"]["words"] = "US"
    assert ours.put("/shop", tables, If_Match=before["ETag"]).json()["shop"]["words"] == "US"


def test_a_plan_and_the_bench_are_as_their_schemas_say(looks, demo_shop):
    plan = looks.get(f"/pieces/{demo_shop('chest')}/plan")
    jsonschema.validate(plan.json(), plan_schema())
    assert plan.json()["piece"]["id"] == demo_shop("chest")
    bench = looks.get("/bench")
    jsonschema.validate(bench.json(), bench_schema())


def test_what_is_not_here_is_said_to_be_missing(looks, db):
    for path in (
        "/pieces/none/survey",
        "/pieces/shop/survey",
        "/pieces/none/plan",
        "/shop",
        "/photographs/" + "a" * 64,
    ):
        answer = looks.get(path)
        assert answer.status_code == 404, path
        assert "is kept here" in answer.json()["refused"]


def test_pieces_come_by_the_page(looks, demo_shop):
    first = looks.get("/pieces?limit=3").json()
    rest = looks.get(f"/pieces?limit=3&after={first['next']}").json()
    assert rest["next"] is None
    assert sorted(row["id"] for row in first["pieces"] + rest["pieces"]) == sorted(map(demo_shop, pieces.PIECES))
    assert [row["id"] for row in looks.get("/pieces?stage=out").json()["pieces"]] == []


# ---- the day book ----


def test_entries_are_taken_in_once(helps, demo_shop):
    lines = [entry("worked", 1, minutes="1 h", piece=demo_shop("chest")), entry("note", 2, note="worm")]
    ids = [one["id"] for one in lines]
    assert helps.post("/daybook", lines[:1]).json() == {"accepted": ids[:1], "known": []}
    assert helps.post("/daybook", lines).json() == {"accepted": ids[1:], "known": ids[:1]}
    assert helps.post("/daybook", []).json() == {"accepted": [], "known": []}


def test_one_bad_entry_keeps_all_of_them_out(helps, demo_shop):
    count = DayBookEntry.objects.count()
    answer = helps.post("/daybook", [entry("note", 1, note="worm"), {"what": "wrked"}, 7])
    assert (answer.status_code, answer.json()["faults"][0]["where"]) == (422, "entry 3")
    answer = helps.post("/daybook", [entry("note", 1, note="worm"), entry("note", 2) | {"what": "wrked"}])
    fault = answer.json()["faults"][0]
    assert (fault["where"], fault["key"], fault["nearest"]) == ("entry 2", "what", "worked")
    assert DayBookEntry.objects.count() == count
    assert helps.post("/daybook", {}).status_code == 400
    assert helps.post("/daybook", [{}] * 1001).status_code == 413


@pytest.mark.parametrize("when", ["0001-01-01T00:00:00+14:00", "9999-12-31T23:59:59-14:00", "1899-12-31T00:00:00Z"])
def test_an_entry_by_a_clock_that_was_never_set_is_refused(helps, demo_shop, when):
    answer = helps.post("/daybook", [entry("note", 1, note="worm") | {"happened": when}])
    assert answer.status_code == 422
    assert answer.json()["faults"][0]["expected"].startswith("an instant from 1900 to 2199")


def test_the_day_book_is_read_on_from_where_one_was(looks, helps, demo_shop):
    kept: list[dict[str, Any]] = []
    cursor, more = 0, True
    while more:
        page = looks.get(f"/daybook?after={cursor}&limit=7").json()
        kept += page["entries"]
        cursor, more = page["next"], page["more"]
    assert [one["id"] for one in kept] == [one.id for one in pieces.daybook().entries]
    for one in kept:
        jsonschema.validate(one, daybook_schema())
    assert looks.get(f"/daybook?after={cursor}").json() == {"entries": [], "next": cursor, "more": False}
    helps.post("/daybook", [entry("note", 1, note="worm")])
    assert [one["note"] for one in looks.get(f"/daybook?after={cursor}").json()["entries"]] == ["worm"]
    for wrong in ("-1", "x", str(2**63)):
        assert looks.get(f"/daybook?after={wrong}").status_code == 422


# ---- photographs ----


@pytest.fixture
def _an_album(settings, tmp_path):
    settings.DATA = tmp_path


@pytest.mark.usefixtures("_an_album")
def test_a_photograph_comes_as_bytes_or_in_a_form_and_twice_is_once(helps, looks):
    picture = photographs.saved(photographs.board(), "JPEG", exif=photographs.notes())
    sha256 = hashlib.sha256(picture).hexdigest()
    raw = helps.client.post(f"{V1}/photographs", picture, "image/jpeg")
    form = helps.client.post(f"{V1}/photographs", {"photograph": SimpleUploadedFile("a.png", picture, "image/png")})
    assert raw.json() == form.json()
    assert (raw.json()["sha256"], raw.json()["width"], raw.json()["height"]) == (sha256, 96, 64)
    shown = looks.get(f"/photographs/{sha256}?side=320")
    assert (shown.status_code, shown["Content-Type"]) == (200, "image/jpeg")
    assert photographs.PLACE.encode() not in shown.content
    assert looks.get(f"/photographs/{sha256}?side=321").status_code == 404
    assert looks.get(f"/photographs/{sha256}?original=true").status_code == 403
    assert helps.get(f"/photographs/{sha256}?original=true").content == picture


@pytest.mark.usefixtures("_an_album")
def test_what_is_no_photograph_is_not_kept(helps, monkeypatch):
    send = helps.client.post
    assert send(f"{V1}/photographs", b"%PDF-1.7", "image/jpeg").status_code == 422
    assert send(f"{V1}/photographs", b"%PDF-1.7", "application/pdf").status_code == 415
    assert send(f"{V1}/photographs", {}).status_code == 422
    monkeypatch.setattr("witnessmark.desk.api.work.LIMITS", Limits(bytes=100))
    big = photographs.saved(photographs.board(), "JPEG")
    assert send(f"{V1}/photographs", big * 9, "image/jpeg").status_code == 413
    assert send(f"{V1}/photographs", {"photograph": SimpleUploadedFile("a.jpg", big)}).status_code == 413


def test_a_photograph_that_came_by_a_page_goes_out_by_the_api(looks, settings, tmp_path):
    settings.DATA = tmp_path
    taken = keep_photograph(photographs.saved(photographs.board(), "PNG"), "Ines", pieces.NOW)
    assert looks.get(f"/photographs/{taken.sha256}").status_code == 200


# ---- the description ----


def test_the_description_names_every_address_and_answer():
    described = Client().get("/api/openapi.json").json()
    assert described["openapi"] == "3.1.0"
    found = {
        f"{method.upper()} {path.removeprefix(V1)}" for path, some in described["paths"].items() for method in some
    }
    assert found == {
        "GET /pieces", "GET /pieces/{piece}/survey", "PUT /pieces/{piece}/survey", "GET /pieces/{piece}/plan",
        "GET /shop", "PUT /shop", "GET /daybook", "POST /daybook", "POST /photographs", "GET /photographs/{sha256}",
        "GET /bench",
    }  # fmt: skip
    put = described["paths"][f"{V1}/pieces/{{piece}}/survey"]["put"]
    assert {"400", "401", "403", "412", "413", "415", "422", "428", "429"} <= set(put["responses"])
    text = json.dumps(described)
    assert "#/$defs/" not in text
    named = set(described["components"]["schemas"])
    assert {one.split('"')[0] for one in text.split("#/components/schemas/")[1:]} <= named


def test_no_page_of_the_description_loads_from_other_hosts(db):
    assert Client().get("/api/docs").status_code == 404
