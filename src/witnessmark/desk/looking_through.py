"""Looking the cupboard through: what stands in it is counted, and from this day on what is used is taken off."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from witnessmark.documents import json_of
from witnessmark.plan import cupboard_today
from witnessmark.record import BothChanged, daybook_here, the_shop
from witnessmark.shop import Shelf

from .changing import says
from .clock import now
from .deeds import measured_as
from .door import owners_only
from .shop_forms import BY_KEY, ShopAmiss, State, change_shop
from .survey_forms import Tables

MOST = 300  # shelves of one form


@owners_only
@require_http_methods(["GET", "HEAD", "POST"])
def look_through(request: HttpRequest) -> HttpResponse:
    """Every jar and tin with what should be in it; what is found is written beside, and the day is kept."""
    at, shop = now(), the_shop()
    faults: dict[int, str] = {}
    if request.method != "POST":
        shelves = cupboard_today(shop, daybook_here(at)).cupboard
        return _page(request, [_line(json_of(shelf)) for shelf in shelves], State.of().number, faults)
    lines = [line for number in range(MOST) if (line := _typed(request, number)) is not None]
    new = {key: request.POST.get(f"new.{key}", "").strip() for key in ("material", "left", "jar")}
    kept = [line for line in lines if not line["gone"]]
    rows = [_shelf(line) for line in kept]
    if any(new.values()):
        rows.append({key: new[key] for key in ("material", "jar") if new[key]} | _much(new["left"]))
    number = request.POST.get("number", "")
    state = State.of(int(number) if number.isdecimal() else 0)
    day = at.astimezone(shop.shop.zone_info).date().isoformat()
    try:
        change_shop(state.number, BY_KEY["days"], None, {"cupboard": rows, "cupboard_on": day},
                    str(request.user), "the cupboard was looked through")  # fmt: skip
    except ShopAmiss as error:
        for fault in error.faults:
            place = fault.key.removeprefix("cupboard[").partition("]")[0]
            faults[int(place) - 1 if place.isdecimal() else len(kept)] = says(fault)
        return _page(request, kept, state.number, faults, new, 422)
    except BothChanged as error:
        messages.error(request, f"Not kept: {error}. Look at what stands now, and keep again.")
        return _page(request, kept, error.current.number, faults, new, 409)
    messages.success(request, "Kept: from now on what is used is taken off this.")
    return redirect("cupboard")


def _line(shelf: Tables) -> Tables:
    """A shelf as its line of the form."""
    return {"shelf": json.dumps(shelf, ensure_ascii=False), "of": shelf, "gone": False,
            "left": shelf.get("volume") or shelf.get("mass") or ""}  # fmt: skip


def _typed(request: HttpRequest, number: int) -> Tables | None:
    """The line of that number as it came back; None where there is none."""
    try:
        shelf = json.loads(request.POST.get(f"shelf.{number}", ""))
    except (ValueError, RecursionError):
        return None
    if not isinstance(shelf, dict):
        return None
    shelf = {key: value for key, value in shelf.items() if key in Shelf.model_fields}
    return _line(shelf) | {"left": request.POST.get(f"left.{number}", "").strip(),
                           "gone": request.POST.get(f"gone.{number}") == "yes"}  # fmt: skip


def _shelf(line: Mapping[str, Any]) -> Tables:
    return {key: value for key, value in line["of"].items() if key not in ("volume", "mass")} | _much(line["left"])


def _named(shelf: Mapping[str, Any]) -> str:
    jar = f", jar {shelf['jar']}" if shelf.get("jar") else ""
    return f"{shelf.get('material', '')}{jar}"


def _much(wrote: str) -> Tables:
    return {measured_as(wrote): wrote} if wrote else {}


def _page(
    request: HttpRequest, lines: Sequence[Tables], number: int, faults: Mapping[int, str],
    new: Mapping[str, str] | None = None, status: int = 200,
) -> HttpResponse:  # fmt: skip
    shown = {
        "place": "cupboard", "number": number, "new": new or {}, "faults": faults,
        "lines": [(at, line, _named(line["of"]), faults.get(at, "")) for at, line in enumerate(lines)],
        "new_fault": faults.get(len(lines), ""),
    }  # fmt: skip
    return render(request, "desk/look_through.html", shown, status=status)
