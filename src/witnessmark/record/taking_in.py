"""Taking in what was kept in files: surveys, the shop, day books, photographs; one by one, in a folder or in a zip.

A file is told by what it says, not by its name. All is read and checked before anything is kept.
"""

import hashlib
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path
from typing import Any

from django.db import transaction

from witnessmark.daybook import DayBook, daybook_from
from witnessmark.documents import Fault, Faulty, Refused, json_of, toml_from
from witnessmark.plan import survey_words
from witnessmark.shop import Shop, shop_from
from witnessmark.survey import Survey, survey_from

from .keeping import keep_shop, keep_survey, post_entries
from .models import Photograph, Revision
from .photographs import keep_photograph
from .pictures import LIMITS
from .reading import the_shop

PICTURES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif")
BESIDE = ("pictures", "photographs")  # folders that photographs lie in, beside a survey
_MOST_IN_A_ZIP = 100_000
_LARGEST_TEXT = 50_000_000


@dataclass
class TakenIn:
    """What was taken in: ids of surveys that are new or say something new, and of those that were here as they are."""

    surveys: list[str] = field(default_factory=list)
    known: list[str] = field(default_factory=list)
    shop: bool = False
    accepted: list[str] = field(default_factory=list)
    entries_known: list[str] = field(default_factory=list)
    photographs: list[str] = field(default_factory=list)
    missing: list[str] = field(default_factory=list)  # photographs that are named and were not found


@dataclass
class _Read:
    """The documents in the files, checked, and the pictures that lie with them, by name."""

    shop: Shop | None = None
    surveys: list[Survey] = field(default_factory=list)
    books: list[DayBook] = field(default_factory=list)

    def named(self) -> dict[str, str]:
        """The photographs the documents name: SHA-256 to the name of the file, where one is given."""
        found = {one.sha256: one.file for survey in self.surveys for one in survey.photograph}
        entries = [entry for book in self.books for entry in (*book.entries, *book.struck)]
        return {entry.photograph: "" for entry in entries if entry.photograph} | found


def taken_in(place: Path, who: str, at: datetime) -> TakenIn:
    """Takes in a file, a folder or a zip. Raises Faulty with every fault of every file; then nothing is kept.

    A survey is kept under its id: where one stands already, as its new state. Entries known by their id count once.
    """
    if place.is_dir():
        return _kept(_folder_texts(place), _Folder(place), who, at)
    if zipfile.is_zipfile(place):
        with zipfile.ZipFile(place) as archive:
            pictures = _Zip(archive)
            return _kept(pictures.texts(), pictures, who, at)
    return _kept({str(place): _text(place.read_bytes(), str(place))}, _Folder(place.parent), who, at)


def _folder_texts(folder: Path) -> dict[str, str]:
    files = sorted(file for file in folder.rglob("*") if file.is_file() and file.suffix in {".toml", ".jsonl"})
    if not files:
        raise Faulty([Fault(str(folder), "", "a folder without them", "surveys (.toml) or day books (.jsonl) in it")])
    return {str(file): _text(file.read_bytes(), str(file)) for file in files}


def _text(content: bytes, where: str) -> str:
    try:
        return content.decode("utf-8")
    except UnicodeDecodeError as error:
        found = f"byte {error.object[error.start]:#04x} at {error.start}"
        expected = "a survey, a shop or a day book as text in UTF-8, or a zip of these"
        raise Faulty([Fault(where, "", found, expected)]) from None


class _Folder:
    """The pictures that lie in a folder, or in one beside the documents."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    def pictures(self) -> Iterator[tuple[str, bytes]]:
        for place in (self.folder, *(self.folder / name for name in BESIDE)):
            for file in sorted(place.iterdir()) if place.is_dir() else ():
                if file.suffix.lower() in PICTURES and file.is_file() and file.stat().st_size <= LIMITS.bytes:
                    yield file.name, file.read_bytes()


class _Zip:
    """What is in a zip; nothing of it is unpacked onto the disk."""

    def __init__(self, archive: zipfile.ZipFile) -> None:
        self.archive = archive
        self.inside = [one for one in archive.infolist() if not one.is_dir()]
        if len(self.inside) > _MOST_IN_A_ZIP:
            raise Refused(f"the zip holds {len(self.inside)} files: more than a shop has")

    def _suffixed(self, suffixes: Iterable[str], most: int) -> Iterator[tuple[str, bytes]]:
        for one in self.inside:
            if Path(one.filename).suffix.lower() in suffixes and one.file_size <= most:
                try:
                    yield one.filename, self.archive.read(one)
                except (zipfile.BadZipFile, RuntimeError, OSError, ValueError) as error:
                    raise Refused(f"{one.filename} in the zip can't be read: {error}") from None

    def texts(self) -> dict[str, str]:
        found = {name: _text(content, name) for name, content in self._suffixed({".toml", ".jsonl"}, _LARGEST_TEXT)}
        if not found:
            raise Faulty([Fault(str(self.archive.filename), "", "a zip without them", "a survey or a day book in it")])
        return found

    def pictures(self) -> Iterator[tuple[str, bytes]]:
        for name, content in self._suffixed(PICTURES, LIMITS.bytes):
            yield Path(name).name, content


def _kept(texts: Mapping[str, str], beside: _Folder | _Zip, who: str, at: datetime) -> TakenIn:
    read = _read(texts)
    found = TakenIn()
    _photographs(read.named(), beside, who, at, found)
    with transaction.atomic():
        if read.shop:
            before = Revision.objects.filter(document="shop").count()
            keep_shop(read.shop, who, at, "taken in from a file")
            found.shop = Revision.objects.filter(document="shop").count() > before
        for survey in read.surveys:
            before = Revision.objects.filter(document=survey.id).count()
            kept = keep_survey(survey, who, at, "taken in from a file")
            (found.surveys if kept.number > before else found.known).append(survey.id)
        for book in read.books:
            entries = [json_of(entry) for entry in (*book.entries, *book.struck)]
            posted = post_entries(entries, at, as_arrived=True)
            found.accepted += posted.accepted
            found.entries_known += posted.known
    return found


def _read(texts: Mapping[str, str]) -> _Read:
    """Every document, the shop's first: the others are read by its gallon and currency."""
    read = _Read()
    faults: list[Fault] = []
    tables: dict[str, dict[str, Any]] = {}
    for where, text in texts.items():
        if not where.endswith(".jsonl") and not text.lstrip("\ufeff \t\r\n").startswith("{"):
            try:
                tables[where] = toml_from(text, where)
            except Faulty as error:
                faults += error.faults
    for where, said in tables.items():
        if "piece" not in said and {"shop", "person"} & said.keys():
            try:
                read.shop = shop_from(texts[where], where)
            except Faulty as error:
                faults += error.faults
    context = (read.shop or the_shop()).context
    for where, text in texts.items():
        if where in tables and "piece" not in tables[where] and {"shop", "person"} & tables[where].keys():
            continue
        try:
            if where in tables:
                read.surveys.append(survey_from(text, where, context, survey_words()))
            elif not any(fault.where == where for fault in faults):
                read.books.append(daybook_from(text, where, context))
        except Faulty as error:
            faults += error.faults
    if faults:
        raise Faulty(faults)
    return read


def _photographs(named: Mapping[str, str], beside: _Folder | _Zip, who: str, at: datetime, found: TakenIn) -> None:
    """Keeps those that are named and lie beside; by what they are, so that a file of another name is found too."""
    here = set(Photograph.objects.filter(sha256__in=named).values_list("sha256", flat=True))
    wanted = named.keys() - here
    if wanted:
        for _, content in beside.pictures():
            sha256 = hashlib.sha256(content).hexdigest()
            if sha256 in wanted:
                keep_photograph(content, who, at)
                found.photographs.append(sha256)
                wanted = wanted - {sha256}
    found.missing = sorted(named[sha256] or sha256 for sha256 in wanted)
