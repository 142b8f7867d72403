"""Setting a page: data and a template of this folder go in, a tagged archival PDF comes out.

Data goes in as JSON and is never read as markup, so no word of a survey can change a page. The PDF is PDF/UA-1 (every
drawing has its words, every table its heads) and PDF/A-2a (fonts inside, nothing fetched), the same bytes every time.
"""

import json
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

import typst

from .glyphs import FONTS, all_printable

_HERE = Path(__file__).parent


class BadPaper(RuntimeError):
    """A page of ours that does not set as it should: our fault, never the reader's."""


@cache
def _fonts() -> typst.Fonts:
    return typst.Fonts(include_system_fonts=False, include_embedded_fonts=False, font_paths=[FONTS])


def typeset(template: str, data: dict[str, Any], made: datetime) -> bytes:
    """The PDF of `template`, such as "plan", with `data` on it. Raises BadPaper where anything is amiss."""
    try:
        pdf, warnings = typst.compile_with_warnings(
            _HERE / f"{template}.typ",
            root=_HERE,
            font_paths=_fonts(),
            ignore_system_fonts=True,
            sys_inputs={"data": json.dumps(all_printable(data))},
            pdf_standards=["ua-1", "a-2a"],
            timestamp=int(made.timestamp()),
        )
    except typst.TypstError as error:
        raise BadPaper(f"{template}: {error.message} {' '.join(error.hints)}\n{error.diagnostic}") from error
    if warnings:
        raise BadPaper(f"{template}: " + "; ".join(warning.message for warning in warnings))
    assert isinstance(pdf, bytes)
    return pdf
