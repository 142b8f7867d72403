"""Reading papers back, with libraries that had no part in making them."""

import io
import re
from functools import cache

from pypdf import PdfReader


@cache
def pages(pdf: bytes) -> tuple[str, ...]:
    """The text of each page, one line a line, spaces tidied. Zero-width breaks in long words are taken out again."""
    reader = PdfReader(io.BytesIO(pdf))
    return tuple("\n".join(_tidy(line) for line in page.extract_text().splitlines()) for page in reader.pages)


def words(pdf: bytes) -> str:
    """All its text on one line: for asking whether something stands in it."""
    return re.sub(r"\s+", " ", " ".join(pages(pdf)))


def _tidy(line: str) -> str:
    return re.sub(r"[ \u00a0]+", " ", line.replace("\u200b", "")).strip()
