"""The handing-in receipt, signed on the screen: damage looked at together, what came along counted, who may say yes."""

import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import zip_longest
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods
from PIL import Image, ImageDraw, ImageFont

from witnessmark.daybook import HANDING_IN, What
from witnessmark.documents import Faulty, Refused
from witnessmark.record import DayBookEntry, daybook_of, keep_photograph, the_shop
from witnessmark.survey import Survey, YesNo, condition_terms

from .changing import says
from .clock import now
from .daybook_posts import fresh_id, post_said
from .photographs import seen_of, squares
from .photographs_in import photographs_in
from .piece import voice_now
from .piece_named import piece_named
from .rewriting import Tables, rewritten, row_of
from .survey_forms import said, words_of

_FIELDS = ("name", "keys", "shelves", "loose_bits", "spend_up_to", "may_say_yes")
_MORE_CONTENTS = 4  # empty rows for what is found inside


@dataclass(frozen=True)
class Damage:
    """What was pointed at: the word for it, where in words, and where on which photograph, as “SHA-256 x y”."""

    term: str
    where: str = ""
    spot: str = ""

    @property
    def says(self) -> str:
        return f"{self.term}: {self.where}" if self.where else self.term

    def mark(self, survey: Tables) -> tuple[Tables, Tables] | None:
        """The photograph it was touched on, and its mark; None where it was named without pointing."""
        sha256, _, at = self.spot.partition(" ")
        photograph = row_of(survey, "photograph", "sha256", sha256)
        try:
            x, y = (float(share) for share in at.split())
        except ValueError:
            return None
        return (photograph, {"says": self.says, "x": x, "y": y}) if photograph is not None else None


Contents = Sequence[tuple[str, str]]  # each thing found inside, and whether its owner has it back


@require_http_methods(["GET", "HEAD", "POST"])
def receipt(request: HttpRequest, piece: str) -> HttpResponse:
    """The receipt to go through together, and its signing."""
    survey = piece_named(piece)
    if request.method != "POST":
        found = [(one.what, one.returned.value) for one in survey.handed_in.contents]
        return _page(request, survey, _as_kept(survey), found)
    typed = {key: request.POST.get(key, "").replace("\r\n", "\n").strip() for key in _FIELDS}
    contents, damage = _contents(request), _damage(request)
    faults = _unsigned(request, typed)
    if not faults:
        try:
            _sign(request, survey.id, typed, contents, damage)
        except Faulty as error:
            faults = {_field(fault.key): says(fault) for fault in error.faults}
        except Refused as error:
            faults = {"signature": str(error)}
    if faults:
        return _page(request, survey, typed, contents, faults, damage)
    messages.success(request, f"Signed by {typed['name']}.")
    return redirect("piece", survey.id)


def _sign(
    request: HttpRequest, piece: str, typed: Mapping[str, str], contents: Contents, damage: Sequence[Damage]
) -> None:
    """Keeps what was gone through and its signature together, or neither. Raises Faulty, Refused."""
    with transaction.atomic():
        if DayBookEntry.objects.filter(id=request.POST.get("entry", "")).exists():
            return  # the same form again, by a second tap or a lost answer
        sha256 = _signature(request, typed["name"])
        rewritten(piece, str(request.user), "gone through together at the door",
                  lambda tables: _go_through(tables, typed, contents, damage))  # fmt: skip
        note = _agreed(typed, contents)
        post_said(request, What.SIGNED, piece, photograph=sha256, to=HANDING_IN, note=note)


def _field(key: str) -> str:
    """The field a fault of the survey belongs to: `handed_in.contents[1].what` is of the contents."""
    return key.partition(".")[2].partition(".")[0].partition("[")[0] or key


def _as_kept(survey: Survey) -> dict[str, str]:
    limit, handed = survey.wishes.spend_up_to, survey.handed_in
    counts = {"keys": handed.keys, "shelves": handed.shelves}
    return {"name": handed.who or survey.piece.owner, "loose_bits": "\n".join(survey.piece.loose_bits),
            "spend_up_to": limit.text if limit and limit.known else "", "may_say_yes": handed.may_say_yes,
            } | {key: "" if count is None else str(count) for key, count in counts.items()}  # fmt: skip


def _unsigned(request: HttpRequest, typed: Mapping[str, str]) -> dict[str, str]:
    faults = {} if typed["name"] else {"name": "Who hands it in: a name."}
    if not request.FILES.get("signature") and not request.POST.get("by_typing"):
        faults["signature"] = "Sign with a finger, or tick that the name typed stands for the signature."
    return faults


def _damage(request: HttpRequest) -> list[Damage]:
    """What was pointed at, in its order."""
    lists = (request.POST.getlist(name) for name in ("damage", "where", "spot"))
    return [Damage(term, where.strip(), spot) for term, where, spot in zip_longest(*lists, fillvalue="") if term]


def _contents(request: HttpRequest) -> Contents:
    """What was found inside, in its order."""
    lists = (request.POST.getlist(name) for name in ("contents", "returned"))
    rows = zip_longest(*lists, fillvalue=YesNo.UNKNOWN.value)
    return [(what.strip(), returned) for what, returned in rows if what.strip()]


def _go_through(tables: Tables, typed: Mapping[str, str], contents: Contents, damage: Sequence[Damage]) -> None:
    """Writes into the survey what came along, who may say yes to how much, and the damage that was pointed at."""
    tables["piece"].pop("loose_bits", None)
    if bits := [line.strip() for line in typed["loose_bits"].split("\n") if line.strip()]:
        tables["piece"]["loose_bits"] = bits
    if typed["spend_up_to"]:
        tables.setdefault("wishes", {})["spend_up_to"] = typed["spend_up_to"]
    else:
        tables.get("wishes", {}).pop("spend_up_to", None)
    handed: Tables = {"on": now().astimezone(the_shop().shop.zone_info).date().isoformat(), "who": typed["name"]}
    for key in ("keys", "shelves"):
        if typed[key]:
            handed[key] = int(typed[key]) if typed[key].isdecimal() else typed[key]  # the core says what is amiss
    if typed["may_say_yes"]:
        handed["may_say_yes"] = typed["may_say_yes"]
    if contents:
        handed["contents"] = [{"what": what, "returned": returned} for what, returned in contents]
    tables["handed_in"] = handed
    for one in damage:
        row = {"term": one.term} | ({"note": one.where} if one.where else {})
        tables["condition"] = [*tables.get("condition", ()), row]
        if marked := one.mark(tables):
            photograph, mark = marked
            photograph["mark"] = [*photograph.get("mark", ()), mark]


def _agreed(typed: Mapping[str, str], contents: Contents) -> str:
    """What was agreed, as the day book keeps it."""
    came = [f"{key}: {typed[key]}" for key in ("keys", "shelves") if typed[key]]
    came += typed["loose_bits"].splitlines()
    back = {YesNo.YES.value: ", given back", YesNo.NO.value: ", not given back"}
    found = [f"{what}{back.get(returned, '')}" for what, returned in contents]
    agreed = [
        f"Handed in by {typed['name']}.",
        f"Came along: {'; '.join(came)}." if came else "Nothing loose came along.",
        f"Found inside: {'; '.join(found)}." if found else "",
        f"May be spent without asking: up to {typed['spend_up_to']}." if typed["spend_up_to"] else "",
        f"Who may say yes to more: {typed['may_say_yes']}." if typed["may_say_yes"] else "",
    ]  # fmt: skip
    return " ".join(one for one in agreed if one)


def _signature(request: HttpRequest, name: str) -> str:
    """The SHA-256 of the picture of the signature: as drawn, or the name as it was typed. Raises Refused."""
    drawn, refused = photographs_in(request, "signature")
    if refused:
        raise Refused(refused[0])
    if drawn:
        return str(drawn[0]["sha256"])
    zone = the_shop().shop.zone_info
    at = now().astimezone(zone)
    kept = keep_photograph(typed_signature(name, f"signed by typing, {at:%Y-%m-%d %H:%M}"), str(request.user), now())
    return str(kept.sha256)


def typed_signature(name: str, below: str) -> bytes:
    """A picture of a name that was typed in place of a signature, with what it is written beneath."""
    image = Image.new("RGB", (900, 240), "white")
    pen = ImageDraw.Draw(image)
    pen.text((30, 50), name[:40], fill="black", font=ImageFont.load_default(64))
    pen.line((30, 150, 870, 150), fill="black", width=2)
    pen.text((30, 170), below, fill="black", font=ImageFont.load_default(28))
    out = io.BytesIO()
    image.save(out, "PNG")
    return out.getvalue()


def _page(
    request: HttpRequest, survey: Survey, typed: Mapping[str, str], contents: Contents,
    faults: Mapping[str, str] | None = None, damage: Sequence[Damage] = (),
) -> HttpResponse:  # fmt: skip
    photographs = seen_of(survey)
    of = request.GET.get("of", "")
    seen = next((one for one in photographs if one.sha256 == of), photographs[0] if photographs else None)
    spots = [(f"{seen.sha256} {square}", words) for square, words in squares()] if seen else []
    shown: dict[str, Any] = {
        "place": "stock", "survey": survey, "piece": survey.piece, "id": survey.id, "voice": voice_now(),
        "typed": typed, "faults": faults or {}, "damage": damage, "first": len(survey.condition) + 1,
        "contents": [*contents, *[("", YesNo.UNKNOWN.value)] * _MORE_CONTENTS], "returned": words_of(YesNo),
        "entry": request.POST.get("entry") or fresh_id(), "seen": seen, "photographs": photographs,
        "picture": seen.drawn("damage-seen") if seen else "", "spots": spots,
        "terms": [(one.term, said(one.term)) for one in condition_terms()],
        "signed": [entry for entry in daybook_of(survey.id).entries
                   if entry.what is What.SIGNED and entry.to == HANDING_IN],
    }  # fmt: skip
    return render(request, "desk/receipt.html", shown, status=422 if faults else 200)
