"""Papers checked against the standards they claim, read back with libraries that had no part in making them.

Clauses from memory: PDF/A-2a is ISO 19005-2 (identification 6.6.4, fonts embedded 6.2.11.4, no encryption 6.1.3);
PDF/UA-1 is ISO 14289-1 (identification 5, tagged 7.1, title shown 7.1, language 7.2, alternative text 7.3, headings
7.4). No full validator was run: it is a program of its own and not among the libraries here.
"""

import io
import re
from datetime import UTC, datetime
from functools import cache
from itertools import pairwise

import pytest
import vobject
from pypdf import PdfReader
from pypdf.generic import DictionaryObject, IndirectObject

from papers.chest import ID, NOW, chest, shop
from papers.work_done import single
from witnessmark.papers import papers_of

OF_THE_PLAN = ("plan.pdf", "labels.pdf", "mixing-card.pdf", "day-sheet.pdf")
OF_THE_SHOP = ("week.pdf", "end-of-day.pdf")
PDFS = (*OF_THE_PLAN, *OF_THE_SHOP, "receipt.pdf", "condition-report.pdf", "treatment-record.pdf", "screw-cards.pdf",
        "care-card.pdf", "listing.pdf", "hang-tag.pdf", "solvent-sheet.pdf")  # fmt: skip


@cache
def papers() -> dict[str, bytes]:
    return {**single(), **papers_of(chest())}


def opened(name: str) -> PdfReader:
    return PdfReader(io.BytesIO(papers()[name]))


def tags(reader: PdfReader) -> list[DictionaryObject]:
    """Every element of the structure tree, in reading order."""
    found: list[DictionaryObject] = []
    waiting = [reader.trailer["/Root"]["/StructTreeRoot"]]
    while waiting:
        node = waiting.pop(0)
        node = node.get_object() if isinstance(node, IndirectObject) else node
        if not isinstance(node, DictionaryObject):
            continue
        if "/S" in node:
            found.append(node)
        kids = node.get("/K", [])
        kids = kids.get_object() if isinstance(kids, IndirectObject) else kids
        waiting[:0] = list(kids) if isinstance(kids, list) else [kids]
    return found


@pytest.mark.parametrize("name", PDFS)
def test_it_says_it_is_an_archival_and_an_accessible_pdf(name):
    xmp = opened(name).trailer["/Root"]["/Metadata"].get_data().decode()
    assert re.search(r"pdfaid:part(>|=\")2", xmp)
    assert re.search(r"pdfaid:conformance(>|=\")A", xmp)
    assert re.search(r"pdfuaid:part(>|=\")1", xmp)


@pytest.mark.parametrize("name", PDFS)
def test_it_is_tagged_titled_and_in_a_language(name):
    reader = opened(name)
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"].value is True
    assert root["/Lang"] == "en-GB"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"].value is True
    assert ("41" if name in OF_THE_SHOP else "Victorian mahogany chest of drawers") in reader.metadata.title
    assert not reader.is_encrypted


@pytest.mark.parametrize("name", PDFS)
def test_every_font_is_inside_and_is_one_of_ours(name):
    fonts = set()
    for page in opened(name).pages:
        for font in page["/Resources"]["/Font"].values():
            (inner,) = font.get_object()["/DescendantFonts"]
            descriptor = inner.get_object()["/FontDescriptor"]
            assert "/FontFile2" in descriptor
            fonts.add(str(descriptor["/FontName"]).split("+")[-1])
            assert "/ToUnicode" in font.get_object()
    assert fonts
    assert all(font.startswith(("SourceSans3", "SourceSerif4")) for font in fonts)


@pytest.mark.parametrize("name", PDFS)
def test_every_drawing_that_carries_something_says_it_in_words(name):
    figures = [tag for tag in tags(opened(name)) if tag["/S"] == "/Figure"]
    assert all(str(figure.get("/Alt", "")).strip() for figure in figures)
    wanted = {"mixing-card.pdf": "Jar 1, drawn to its size", "labels.pdf": "QR code: ",
              "screw-cards.pdf": "Card for J1: S1 at left, back"}.get(name, "")  # fmt: skip
    assert any(wanted in str(figure["/Alt"]) for figure in figures) or not wanted


@pytest.mark.parametrize("name", PDFS)
def test_headings_go_down_one_level_at_a_time(name):
    levels = [int(tag["/S"][2:]) for tag in tags(opened(name)) if re.fullmatch(r"/H\d", tag["/S"])]
    assert levels[0] == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


@pytest.mark.parametrize("name", PDFS)
def test_no_word_runs_off_the_paper(name):
    for page in opened(name).pages:
        width, height = float(page.mediabox.width), float(page.mediabox.height)
        outside = []

        def look(text, matrix, text_matrix, _font, _size, width=width, height=height, outside=outside):
            if text.strip():
                x = matrix[0] * text_matrix[4] + matrix[2] * text_matrix[5] + matrix[4]
                y = matrix[1] * text_matrix[4] + matrix[3] * text_matrix[5] + matrix[5]
                if not (0 <= x <= width and 0 <= y <= height):
                    outside.append((text, x, y))

        page.extract_text(visitor_text=look)
        assert outside == []


def test_tables_have_heads():
    kinds = [tag["/S"] for tag in tags(opened("plan.pdf"))]
    assert kinds.count("/Table") >= 5
    assert kinds.count("/TH") > kinds.count("/Table")


def test_paper_is_a4_in_the_uk_and_letter_in_the_us():
    # ISO 216: 210 × 297 mm; US letter is 8 1/2 × 11 in. A point is 1/72 in.
    a4 = opened("plan.pdf").pages[0].mediabox
    letter = PdfReader(io.BytesIO(papers_of(chest(at=shop(words="US")))["plan.pdf"])).pages[0].mediabox
    assert (float(a4.width), float(a4.height)) == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72), abs=0.1)
    assert (float(letter.width), float(letter.height)) == pytest.approx((612, 792), abs=0.1)


def test_it_was_made_when_the_plan_was():
    # What the clock said while printing does not matter: that is why the same plan gives the same bytes.
    assert opened("plan.pdf").metadata.creation_date.astimezone(UTC) == NOW


def test_amounts_on_a_mixing_card_are_forty_points_or_more():
    sizes = {}

    def look(text, _matrix, text_matrix, _font, size):
        if text.strip():
            sizes[text.strip()] = size * text_matrix[0]

    opened("mixing-card.pdf").pages[0].extract_text(visitor_text=look)
    big = [size for text, size in sizes.items() if text.startswith(("345", "1.7"))]
    assert big
    assert min(big) >= 40


def test_the_calendar_is_read_by_another_library():
    # RFC 5545: 3.6.1 VEVENT needs UID and DTSTAMP; 3.8.4.7 UID is the same for the same event.
    book = vobject.readOne(papers()["calendar.ics"].decode())
    events = book.vevent_list
    plan = chest()
    slots = [slot for planned in plan.steps for slot in planned.slots]
    moments = sum(1 + 1 + len(mix.stir_at) for mix in plan.mixes)
    assert len(events) == len(slots) + moments
    assert {event.dtstamp.value for event in events} == {NOW}
    assert len({event.uid.value for event in events}) == len(events)
    assert all(event.uid.value.endswith(ID) for event in events)
    strip = next(event for event in events if "Strip off the glue lines" in event.summary.value)
    assert strip.dtstart.value == datetime(2026, 11, 30, 9, tzinfo=UTC)
    assert strip.dtend.value > strip.dtstart.value


def test_an_event_keeps_its_id_when_its_day_moves():
    later = chest(now=NOW.replace(hour=9))
    moved = vobject.readOne(papers_of(later)["calendar.ics"].decode())
    first = vobject.readOne(papers()["calendar.ics"].decode())
    assert [event.uid.value for event in first.vevent_list] == [event.uid.value for event in moved.vevent_list]
