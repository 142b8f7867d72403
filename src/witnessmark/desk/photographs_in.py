"""Photographs that come with a form: kept by content; of each that is not kept, what is amiss with it."""

from collections.abc import Sequence
from typing import Any

from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest

from witnessmark.documents import Refused
from witnessmark.record import Photograph, keep_photograph

from .clock import now

MOST = 40  # of one form


def photographs_in(request: HttpRequest, name: str = "photograph") -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of the survey's photographs for the files sent with a form, and what is amiss with those not kept."""
    rows: list[dict[str, Any]] = []
    amiss: list[str] = []
    for file in files_in(request, name):
        try:
            kept = keep_photograph(file, str(request.user), now())
        except Refused as error:
            amiss.append(f"{file.name}: {error}")
            continue
        row: dict[str, Any] = {"sha256": kept.sha256}
        if kept.taken:
            row["taken"] = kept.taken.isoformat()
        if row["sha256"] not in {one["sha256"] for one in rows}:
            rows.append(row)
    return rows, amiss


def kept_before(request: HttpRequest, name: str = "kept") -> list[dict[str, Any]]:
    """Rows for the photographs that came with the same form when something else in it was amiss."""
    asked = request.POST.getlist(name)[:MOST]
    here = set(Photograph.objects.filter(sha256__in=asked).values_list("sha256", flat=True))
    return [{"sha256": sha256} for sha256 in dict.fromkeys(asked) if sha256 in here]


def files_in(request: HttpRequest, name: str) -> "Sequence[UploadedFile[Any]]":
    return [file for file in request.FILES.getlist(name) if isinstance(file, UploadedFile)][:MOST]


def added(body: dict[str, Any], rows: Sequence[dict[str, Any]]) -> list[dict[str, Any]]:
    """The photographs of a survey with these, each once."""
    stood = list(body.get("photograph") or [])
    known = {one["sha256"] for one in stood}
    return [*stood, *(row for row in rows if row["sha256"] not in known)]
