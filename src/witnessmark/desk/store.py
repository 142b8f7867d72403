"""Old timber, veneer and odd hardware laid by: found by words and by measure, put by for a piece."""

from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from witnessmark.documents import Refused
from witnessmark.quantities import Length, NotUnderstood, read
from witnessmark.record import BothChanged, the_shop
from witnessmark.shop import StoreKind, store_fits

from .photographs_in import photographs_in
from .shop_forms import STORED, ShopAmiss, State, change_shop
from .shop_pages import form_page
from .survey_forms import said

_MEASURES = ("thickness", "centres", "within")
GIVE = "1 mm"  # what stands in the form for how far off it may be


@require_safe
def store(request: HttpRequest) -> HttpResponse:
    """What lies in the store, or what of it fits."""
    shop = the_shop()
    typed = {key: request.GET.get(key, "").strip() for key in ("q", "kind", "free", *_MEASURES)}
    faults, lengths = {}, {}
    for key in _MEASURES:
        wrote = typed[key] or (GIVE if key == "within" else "")
        try:
            lengths[key] = _length(wrote) if wrote else None
        except NotUnderstood as error:
            faults[key] = f"Expected {error.expected}."
    kind = StoreKind(typed["kind"]) if typed["kind"] in list(StoreKind) else None
    found = () if faults else store_fits(
        shop, typed["q"], kind, lengths["thickness"], lengths["centres"], lengths["within"], typed["free"] == "yes"
    )  # fmt: skip
    places = {one.code: at for at, one in enumerate(shop.store, 1)}
    shown = {
        "place": "cupboard", "typed": typed, "faults": faults, "found": [(one, places[one.code]) for one in found],
        "all": len(shop.store), "asked": any(typed[key] for key in ("q", "kind", "thickness", "centres", "free")),
        "kinds": [("", "Any"), *((one.value, said(one.value)) for one in StoreKind)],
        "give": typed["within"] or GIVE, "may_write": bool(getattr(request.user, "may_work", False)),
    }  # fmt: skip
    return render(request, "desk/store.html", shown, status=422 if faults else 200)


def _length(wrote: str) -> Length:
    """A length; bare numbers are millimetres."""
    length: Any = read(f"{wrote} mm" if wrote.replace(".", "", 1).isdigit() else wrote, Length)
    if not isinstance(length, Length):
        raise NotUnderstood(wrote, "one length, such as 64 mm")
    return length


@require_http_methods(["GET", "HEAD", "POST"])
def stored(request: HttpRequest, row: str) -> HttpResponse:
    """One thing of the store, by its number from 1; `new` to lay one by."""
    if not (row == "new" or (row.isdecimal() and int(row))):
        raise Http404("no such place in the store")
    also: dict[str, Any] = {}
    if request.method == "POST":
        rows, amiss = photographs_in(request)
        for line in amiss:
            messages.error(request, line)
        also = {"photograph": rows[0]["sha256"]} if rows else {}
        if not rows and request.POST.get("kept_photograph"):
            also = {"photograph": request.POST["kept_photograph"]}
    at = None if row == "new" else int(row) - 1
    things = State.of().body.get("store") or []
    picture = things[at].get("photograph", "") if at is not None and at < len(things) else ""
    return form_page(request, STORED, at, "store", also=also, photographs=True,
                     picture=also.get("photograph") or picture)  # fmt: skip


@require_POST
def book(request: HttpRequest, row: int) -> HttpResponse:
    """Puts a thing by for a piece, or sets it free."""
    state = State.of()
    if not 1 <= row <= len(state.body.get("store") or []):
        raise Http404("no such place in the store")
    booked = request.POST.get("booked", "").strip()
    try:
        change_shop(state.number, STORED, row - 1, {"booked": booked or None}, str(request.user), "store: put by")
    except (ShopAmiss, BothChanged, Refused) as error:
        messages.error(request, f"Not put by: {error}")
    else:
        messages.success(request, f"Put by for {booked}." if booked else "Free again.")
    return redirect("store")
