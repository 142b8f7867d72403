"""A new piece at the door: a photograph and ten facts on one page, in the order one looks, straight to a first plan."""

from collections.abc import Mapping, Sequence
from typing import Any

from django.contrib import messages
from django.db.models import Max
from django.db.models.functions import Length
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from witnessmark.documents import Faulty
from witnessmark.record import Role, StockRow, keep_survey, new_id, survey_checked, the_shop
from witnessmark.survey import condition_terms

from .changing import says
from .clock import now
from .door import for_role
from .photographs_in import added, kept_before, photographs_in
from .survey_forms import BY_KEY, Asked, Section, Tables, changes_in, fields_of, said, typed_in

# In the order one looks: what and whose, then from far to near, then what is wished. The keys of each table.
_AT_THE_DOOR = (
    ("piece", ("kind", "title", "owner", "code", "came", "came_from", "size", "show_wood", "veneered", "made")),
    ("finish", ("kind",)),
    ("wishes", ("keep", "use", "spend_up_to")),
    ("piece", ("promised", "loose_bits", "note")),
)
LABELS = {"finish.kind": "The old finish", "piece.kind": "What it is"}
OFTEN = frozenset([  # what stands open at the door; keys of the condition terms
    "split", "joint_failure", "detached_element", "missing", "veneer_lifting", "veneer_loss", "old_repair", "scratch",
    "ring_mark", "stain", "dirt", "wear", "flight_holes_active", "flight_holes_old", "overpaint", "mould",
])  # fmt: skip


def door_sections() -> tuple[Section, ...]:
    """The few facts asked for at the door, as sections of the survey's own forms."""
    return tuple(
        Section(key, "", BY_KEY[key].model, tuple(_labelled(key, _asked(key, one)) for one in keys))
        for key, keys in _AT_THE_DOOR
    )


def _asked(table: str, key: str) -> Asked:
    return next(asked for asked in BY_KEY[table].asked if asked.key == key)


def _labelled(table: str, asked: Asked) -> Asked:
    label = LABELS.get(f"{table}.{asked.key}", asked.label)
    return Asked(asked.key, label, asked.hint, asked.kind)


@for_role(Role.HELPER, Role.HELPER)
@require_http_methods(["GET", "HEAD", "POST"])
def new_piece(request: HttpRequest) -> HttpResponse:
    """The page at the door, and what comes of it: saved even when half empty, only the kind is needed."""
    if request.method != "POST":
        return _page(request, {"piece.code": next_code()})
    at = now()
    ident = request.POST.get("entry") or new_id(at)
    if StockRow.objects.filter(piece=ident).exists():
        return redirect("piece", ident)  # tapped twice
    typed = {key: value for section in door_sections()
             for key, value in typed_in(section, request.POST, f"{section.key}.").items()}  # fmt: skip
    amiss_ticked = request.POST.getlist("condition")
    rows, refused = photographs_in(request)
    rows = added({"photograph": kept_before(request)}, rows)
    tables = _tables(ident, typed)
    tables["piece"].setdefault("came_on", at.astimezone(the_shop().shop.zone_info).date().isoformat())
    if amiss_ticked:
        tables["condition"] = [{"term": term} for term in amiss_ticked]
    if rows:
        tables["photograph"] = rows
    faults: dict[str, str] = {}
    if not typed["piece.kind"]:
        faults["piece.kind"] = "Say what kind of piece it is; all else can wait."
    else:
        try:
            survey = survey_checked(tables)
        except Faulty as error:
            faults = {fault.key: says(fault) for fault in error.faults}
    if faults:
        return _page(request, typed, faults, amiss_ticked, [row["sha256"] for row in rows], ident, refused)
    keep_survey(survey, str(request.user), at, "as it came in at the door")
    for words in refused:
        messages.error(request, words)
    messages.success(request, "Kept. This is its first plan.")
    return redirect("piece", ident)


def _tables(ident: str, typed: Mapping[str, Any]) -> Tables:
    zone = the_shop().shop.zone_info
    tables: Tables = {"id": ident, "piece": {}}
    for section in door_sections():
        said_here = changes_in(section, {}, typed, zone, f"{section.key}.")
        kept = {key: value for key, value in said_here.items() if value is not None}
        if kept:
            tables.setdefault(section.key, {}).update(kept)
    return tables


def next_code() -> str:
    """The next number for a tape, where the shop names its pieces by number; else nothing is offered."""
    numbers = StockRow.objects.filter(code__regex=r"^[0-9]+$").annotate(long=Length("code"))
    longest = numbers.aggregate(most=Max("long"))["most"]
    last = numbers.filter(long=longest).aggregate(last=Max("code"))["last"] if longest else None
    if last is None:
        return "" if StockRow.objects.exists() else "1"
    return str(int(last) + 1)


def _page(
    request: HttpRequest, typed: Mapping[str, Any], faults: Mapping[str, str] | None = None,
    ticked: list[str] | None = None, kept: list[str] | None = None, ident: str = "", refused: list[str] | None = None,
) -> HttpResponse:  # fmt: skip
    faults = {_field(key): words for key, words in (faults or {}).items()}
    shown = [
        fields_of(section, {}, faults=faults, typed=typed, before=f"{section.key}.") for section in door_sections()
    ]
    known = {field.name for group in shown for field in group}
    return render(request, "desk/new_piece.html", {
        "place": "stock", "groups": shown, "faults": faults,
        "to_mend": [(field.name, field.label) for group in shown for field in group if field.fault],
        "often": terms(ticked or [], True), "seldom": terms(ticked or [], False),
        "elsewhere": [words for key, words in faults.items() if key not in known], "kept": kept or [],
        "entry": ident or new_id(now()), "refused": refused or [],
    }, status=422 if faults else 200)  # fmt: skip


def _field(key: str) -> str:
    """The field a fault is shown at: `piece.loose_bits[2]` at `piece.loose_bits`."""
    return key.partition("[")[0]


def terms(ticked: Sequence[str], often: bool) -> list[tuple[str, str, bool]]:
    """The words for what is amiss, those met most, or the rest: word, as written, whether it is ticked."""
    return [(one.term, said(one.term), one.term in ticked) for one in condition_terms() if (one.key in OFTEN) is often]
