"""The door: nobody sees a page unasked, and what one may do follows from the role. A view that says nothing is shut
to all but those who entered: looking wants a reader, changing a helper.
"""

from collections.abc import Callable
from typing import Any, TypeVar
from urllib.parse import urlencode

from django.conf import settings
from django.contrib.auth.views import redirect_to_login
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse, HttpResponseBase, JsonResponse
from django.shortcuts import redirect, render
from django.urls import resolve, reverse
from django.utils.http import url_has_allowed_host_and_scheme

from witnessmark.record import Person, Role, the_shop

from .clock import now
from .lock import locked, note_seen, phone_of

View = TypeVar("View", bound=Callable[..., HttpResponseBase])
_RANK = {Role.READER: 0, Role.HELPER: 1, Role.OWNER: 2}
LOOKING = ("GET", "HEAD", "OPTIONS")


def open_to_all(view: View) -> View:
    """A page anybody may see: the door itself, and what says that the desk is up."""
    view.open_to_all = True  # type: ignore[attr-defined]
    return view


def for_role(role: Role, to_look: Role = Role.READER) -> Callable[[View], View]:
    """Who may change something here, and who may look."""

    def marked(view: View) -> View:
        view.role, view.to_look = role, to_look  # type: ignore[attr-defined]
        return view

    return marked


def while_locked(view: View) -> View:
    """A page that a locked phone still shows: the lock itself."""
    view.while_locked = True  # type: ignore[attr-defined]
    return view


owners_only = for_role(Role.OWNER, Role.OWNER)


def may(person: Person, view: Callable[..., Any], method: str) -> bool:
    """Whether somebody may use a view with a method."""
    wanted = getattr(view, "to_look", Role.READER) if method in LOOKING else getattr(view, "role", Role.HELPER)
    return _RANK[Role(person.role)] >= _RANK[wanted]


class DoorMiddleware:
    """Asks who it is before any view is called; the API asks for a token itself. Pages are kept by no browser."""

    def __init__(self, get_response: Callable[[HttpRequest], HttpResponseBase]) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        response = self.get_response(request)
        if not response.has_header("Cache-Control"):  # a photograph says itself that it may be kept
            response["Cache-Control"] = "private, no-store"
        return response

    def process_view(
        self, request: HttpRequest, view: Callable[..., Any], args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        if getattr(view, "open_to_all", False):
            return None
        phone = phone_of(request)
        if phone is not None and not getattr(view, "while_locked", False):
            if locked(phone, now()):
                return _still_locked(request)
            if _by_hand(request):
                note_seen(phone, now())
        if request.path.startswith("/api/"):
            return None
        person = request.user
        if not isinstance(person, Person):
            door = "enter" if Person.objects.exists() else "first_owner"
            if request.path == "/" and request.method in LOOKING:  # the first page answers, whoever asks
                page: HttpResponseBase = resolve(reverse(door)).func(request)
                return page
            return redirect_to_login(request.get_full_path(), settings.LOGIN_URL) if door == "enter" else redirect(door)
        if not may(person, view, request.method or "GET"):
            raise PermissionDenied(f"{person.name} may look but not change this: ask an owner")
        return None


def _by_hand(request: HttpRequest) -> bool:
    """Whether somebody did this, rather than an open page that looks again by itself."""
    return request.method not in LOOKING or request.headers.get("Sec-Fetch-Mode", "navigate") == "navigate"


def _still_locked(request: HttpRequest) -> HttpResponseBase:
    """To the lock, and from there on; what was sent meanwhile is refused, so that nobody takes it for kept."""
    if request.path.startswith("/api/"):
        return JsonResponse({"refused": "this phone is locked: unlock it on its screen, then send again"}, status=423)
    if request.headers.get("HX-Request"):
        return HttpResponse(status=204, headers={"HX-Redirect": reverse("lock")})
    if request.method in LOOKING:
        return redirect(f"{reverse('lock')}?{urlencode({'next': request.get_full_path()})}")
    return render(request, "desk/locked.html", status=423)


def onward(request: HttpRequest) -> str:
    """Where somebody was going when the door stopped them: a page of ours, never another's."""
    wanted = request.POST.get("next") or request.GET.get("next") or ""
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, request.is_secure())
    return wanted if ours else reverse(settings.LOGIN_REDIRECT_URL)


def every_page(request: HttpRequest) -> dict[str, Any]:
    """What every page needs: the nonce of its scripts, whose shop it is, who asks, the local time, the paper."""
    shop = the_shop()
    person = request.user if isinstance(getattr(request, "user", None), Person) else None
    return {
        "csp_nonce": getattr(request, "csp_nonce", ""),
        "shop": shop,
        "person": person,
        "local_now": now().astimezone(shop.shop.zone_info),
        "lang": "en-US" if shop.shop.words.value == "US" else "en-GB",
        "paper": request.COOKIES.get("paper", "") if request.COOKIES.get("paper") in ("sheet", "slate") else "",
    }
