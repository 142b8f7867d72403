"""The API: the record over the wire, for the bench, for programs of the shop's own, and for a phone that was away.

Described at `/api/openapi.json`; everything else is below `/api/v1/`. Errors are JSON: `{"faults": […]}` as on the
command line, or `{"refused": "…"}` in a sentence.
"""

from typing import Any

from django.core.exceptions import RequestDataTooBig
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse, UnreadablePostError
from django.http.multipartparser import MultiPartParserError
from ninja import NinjaAPI
from ninja.errors import AuthenticationError, HttpError, Throttled, ValidationError
from ninja.openapi.schema import OpenAPISchema

from witnessmark.documents import Fault, Faulty, Refused
from witnessmark.record import NoSuchPhotograph, NoSuchPiece, NoSuchState

from . import documents, work
from .asking import OFTEN, PerPerson
from .documents import NotAsThought
from .shapes import components


class _Described(NinjaAPI):
    """An API whose description has the published schemas of the documents."""

    def get_openapi_schema(self, **asked: Any) -> OpenAPISchema:
        schema = super().get_openapi_schema(**asked)
        schema["components"]["schemas"] |= components()
        return schema


api = _Described(
    title="witnessmark",
    version="1",
    description=(__doc__ or "").strip(),
    openapi_url="/openapi.json",
    docs_url=None,  # its page would load from other hosts
    throttle=PerPerson(OFTEN),
)
api.add_router("/v1", documents.router)
api.add_router("/v1", work.router)


def _refused(status: int, says: str) -> HttpResponse:
    return JsonResponse({"refused": says}, status=status)


@api.exception_handler(Faulty)
def _faulty(request: HttpRequest, error: Any) -> HttpResponse:
    return JsonResponse({"faults": [fault.as_json() for fault in error.faults]}, status=422)


@api.exception_handler(ValidationError)
def _asked_wrongly(request: HttpRequest, error: Any) -> HttpResponse:
    faults = [Fault(str(one["loc"][0]), str(one["loc"][-1]), str(one.get("input", ""))[:80], one["msg"])
              for one in error.errors]  # fmt: skip
    return _faulty(request, Faulty(faults))


@api.exception_handler(Refused)
def _refusal(request: HttpRequest, error: Any) -> HttpResponse:
    missing = isinstance(error, NoSuchPiece | NoSuchState | NoSuchPhotograph)
    return _refused(404 if missing else 422, str(error))


@api.exception_handler(NotAsThought)
def _not_as_thought(request: HttpRequest, error: Any) -> HttpResponse:
    answer: HttpResponse = error.answer()
    return answer


@api.exception_handler(AuthenticationError)
def _nobody(request: HttpRequest, error: Any) -> HttpResponse:
    answer = _refused(401, "send Authorization: Bearer TOKEN; an owner makes one with “witnessmark token NAME”")
    answer["WWW-Authenticate"] = 'Bearer realm="witnessmark"'
    return answer


@api.exception_handler(HttpError)
def _http(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(error.status_code, str(error))


@api.exception_handler(Throttled)
def _too_often(request: HttpRequest, error: Any) -> HttpResponse:
    answer = _refused(429, f"too many requests: at most {OFTEN.partition('/')[0]} a minute; wait, then send again")
    answer["Retry-After"] = str(int(error.wait or 1))
    return answer


@api.exception_handler(RequestDataTooBig)
def _too_big(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(413, "the body is larger than 10 MB")


@api.exception_handler(UnreadablePostError)
@api.exception_handler(MultiPartParserError)
def _broken_off(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(400, "the body broke off, or is no form")


@api.exception_handler(Http404)
def _missing(request: HttpRequest, error: Any) -> HttpResponse:
    return _refused(404, "there is nothing at this address")


__all__ = ["api"]
