"""The API against its own description, by a machine that makes requests from it: schemathesis, the same every time."""

import pytest
import schemathesis
from django.core.cache import cache
from django.core.wsgi import get_wsgi_application
from hypothesis import HealthCheck, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

import pieces
from witnessmark.record import Role, keep_person, token_for

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
ADDRESSES = [
    "GET /pieces", "GET /pieces/{piece}/survey", "PUT /pieces/{piece}/survey", "GET /pieces/{piece}/plan", "GET /shop",
    "PUT /shop", "GET /daybook", "POST /daybook", "POST /photographs", "GET /photographs/{sha256}", "GET /bench",
]  # fmt: skip
FEW = settings(derandomize=True, deadline=None, max_examples=10, suppress_health_check=list(HealthCheck))


@pytest.fixture
def operations(db):
    described = schemathesis.openapi.from_wsgi("/api/openapi.json", get_wsgi_application())
    return {one.ok().label.replace("/api/v1", ""): one.ok() for one in described.get_all_operations()}


@pytest.fixture
def key(demo_shop, settings, tmp_path):
    settings.DATA = tmp_path
    return token_for(keep_person("Ines", Role.OWNER, "a plane and a rasp")[0])


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_address_answers_as_described(operations, key, address):
    assert set(operations) == set(ADDRESSES)

    @FEW
    @given(case=operations[address].as_strategy())
    def answers_as_described(case):
        cache.clear()
        if "piece" in case.path_parameters:  # a made-up id would only ever be missing
            case.path_parameters["piece"] = pieces.chair().id
        asked = {"Authorization": f"Bearer {key}", "Accept-Encoding": "identity"}
        case.call_and_validate(headers=asked, checks=CHECKS)

    answers_as_described()


@pytest.mark.parametrize("address", ADDRESSES)
def test_every_address_asks_who_it_is(operations, address):
    @settings(FEW, max_examples=2)
    @given(case=operations[address].as_strategy())
    def asks(case):
        assert case.call().status_code == 401

    asks()
