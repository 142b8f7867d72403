"""Who asks, how often, and what they sent: tokens and sessions, the throttle, JSON bodies."""

import json
from collections.abc import Sequence
from typing import Any

from django.http import HttpRequest
from ninja.errors import HttpError
from ninja.security import APIKeyCookie, HttpBearer
from ninja.throttling import SimpleRateThrottle
from ninja.utils import check_csrf

from witnessmark.desk.clock import now
from witnessmark.desk.door import LOOKING
from witnessmark.record import Person, Role, person_with

OFTEN = "1200/m"  # of one person: a phone that was away all day sends its entries in lists
_WORKERS = (Role.OWNER, Role.HELPER)


class Key(HttpBearer):
    """A key of the API, made by `witnessmark token NAME`."""

    def __init__(self, changing: Sequence[Role]) -> None:
        super().__init__()
        self.changing = changing

    def authenticate(self, request: HttpRequest, token: str) -> Person | None:
        return _admitted(request, person_with(token, now()), self.changing)


class Entered(APIKeyCookie):
    """Somebody who entered by the pages; what changes something carries the page's CSRF token in `X-CSRFToken`."""

    param_name = "sessionid"

    def __init__(self, changing: Sequence[Role]) -> None:
        super().__init__()
        self.changing = changing

    def __call__(self, request: HttpRequest) -> Person | None:
        if not isinstance(request.user, Person) or "Authorization" in request.headers:
            return None
        if check_csrf(request):
            raise HttpError(403, "what changes something from a page carries its CSRF token in X-CSRFToken")
        return _admitted(request, request.user, self.changing)

    def authenticate(self, request: HttpRequest, key: str | None) -> Person | None:
        return self(request)


def _admitted(request: HttpRequest, person: Person | None, changing: Sequence[Role]) -> Person | None:
    """Somebody who may do this; looking is for all who may enter."""
    if person is not None and request.method not in LOOKING and person.role not in changing:
        wanted = " or ".join(role.value for role in changing)
        raise HttpError(403, f"{person} is a {person.role} and may look but not change this: that takes an {wanted}")
    return person


def by(*changing: Role) -> list[Any]:
    """The two ways in, for those who may change something here."""
    return [Key(changing), Entered(changing)]


WORKERS, OWNERS = by(*_WORKERS), by(Role.OWNER)


class PerPerson(SimpleRateThrottle):
    """So many requests a minute for each person, by whichever key."""

    scope = "person"

    def get_cache_key(self, request: HttpRequest) -> str | None:
        return f"api_{who(request).pk}"


def who(request: HttpRequest) -> Person:
    """Who asks; every address of the API asked that before."""
    person: Person = request.auth  # type: ignore[attr-defined]
    return person


class _Twice(ValueError):
    """A key that stands twice in one table."""


def json_in(request: HttpRequest) -> Any:
    """The JSON that was sent. Raises HttpError: 415 for another kind, 400 for what is not JSON."""
    kind = request.headers.get("Content-Type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise HttpError(415, f"the body is “{kind[:80]}”: send application/json")
    try:
        value = json.loads(request.body.decode("utf-8"), object_pairs_hook=_once, parse_constant=_no_number)
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except _Twice as error:
        raise HttpError(400, f"the key {error} stands twice in one table: each key once") from None
    except UnicodeError:
        raise HttpError(400, "the body is not text in UTF-8") from None
    except (ValueError, RecursionError) as error:
        raise HttpError(400, f"the body is not JSON: {str(error)[:200]}") from None
    return value


def table_in(request: HttpRequest) -> dict[str, Any]:
    """The JSON object that was sent."""
    value = json_in(request)
    if not isinstance(value, dict):
        raise HttpError(400, "the body is JSON but no object: a document is a table in curly brackets")
    return value


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for key, value in pairs:
        if key in found:
            raise _Twice(key)
        found[key] = value
    return found


def _no_number(text: str) -> float:
    raise ValueError(f"{text} is no number")
