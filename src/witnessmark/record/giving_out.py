"""Giving a piece out: its survey as TOML, or a zip with its entries and photographs, which comes back in as it was."""

import zipfile
from pathlib import Path

from witnessmark.daybook import daybook_text
from witnessmark.survey import Survey, survey_text

from .finding import found
from .models import DayBookEntry, Photograph, StockRow
from .photograph_folder import NoSuchPhotograph
from .photographs import album
from .reading import NoSuchPiece, entries_of, survey_of
from .writing import written

SUFFIXES = {"image/jpeg": ".jpg", "image/png": ".png", "image/webp": ".webp", "image/heic": ".heic"}
_SHOWN = 6


def piece_meant(words: str) -> Survey:
    """The survey of the piece these words mean: its id, its code, or words that only one has. Raises NoSuchPiece."""
    try:
        return survey_of(words)
    except NoSuchPiece:
        rows = list(StockRow.objects.filter(code__iexact=words.strip())[:_SHOWN]) or found(words, _SHOWN)
    if len(rows) == 1:
        return survey_of(rows[0].piece)
    if not rows:
        raise NoSuchPiece(f"no piece here is called “{words}”: give its code, or words of its title or owner")
    named = "; ".join(" ".join(filter(None, (row.code, row.title, row.owner))) for row in rows)
    raise NoSuchPiece(f"“{words}” may be one of these: {named}. Give the code, or one more word.")


def given_out(survey: Survey, out: Path, to_others: bool = False) -> int:
    """Writes a piece to `out`, whole or not at all; how many photographs went along.

    A `.zip` holds survey, entries and photographs, the originals bit for bit, so that taking it in again gives the same
    piece; `to_others` leaves place, time and names out of the photographs. Any other name holds the survey alone.
    """
    if out.suffix.lower() != ".zip":
        with written(out) as coming:
            coming.write_text(survey_text(survey), "utf-8")
        return 0
    entries = entries_of(DayBookEntry.objects.filter(piece=survey.id).order_by("cursor"))
    named = dict.fromkeys(one.sha256 for one in survey.photograph)
    named |= dict.fromkeys(entry.photograph for entry in entries if entry.photograph)
    went = 0
    with written(out) as coming, zipfile.ZipFile(coming, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("survey.toml", survey_text(survey))
        if entries:
            archive.writestr("daybook.jsonl", daybook_text(entries))
        for known in Photograph.objects.filter(sha256__in=named).order_by("sha256"):
            try:
                content, suffix = _picture(known, to_others)
            except NoSuchPhotograph:
                continue
            archive.writestr(f"photographs/{known.sha256}{suffix}", content, zipfile.ZIP_STORED)
            went += 1
    return went


def _picture(known: Photograph, to_others: bool) -> tuple[bytes, str]:
    if to_others:
        bare = album().leaving(known.sha256)
        return bare, ".png" if bare.startswith(b"\x89PNG") else ".jpg"
    file = album().original(known.sha256)
    if not file.is_file():
        raise NoSuchPhotograph(f"the file of photograph {known.sha256} is missing")
    return file.read_bytes(), SUFFIXES.get(known.media, "")
