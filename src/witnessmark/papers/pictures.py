"""Photographs and QR codes as drawings a page can carry."""

import base64
import io
from collections.abc import Iterable
from functools import lru_cache
from typing import NamedTuple

import segno

from witnessmark.sources import rule


class Picture(NamedTuple):
    """A photograph, shrunk, as SVG; its width and height are in pixels."""

    svg: str
    width: int
    height: int


def picture_of(photograph: bytes) -> Picture | None:
    """The photograph upright and no larger than paper shows; None where it can't be read as a picture."""
    from PIL import Image, ImageOps, UnidentifiedImageError  # only papers with a photograph pay for it

    side = int(rule("papers", "picture_pixels").value)
    try:
        with Image.open(io.BytesIO(photograph)) as opened:
            opened.draft("RGB", (side, side))  # a JPEG is shrunk while it is read: a quarter of the time and memory
            upright = ImageOps.exif_transpose(opened)
            upright.thumbnail((side, side))
            flat = Image.new("RGB", upright.size, "white")
            flat.paste(upright, mask=upright.convert("RGBA").getchannel("A"))
    except (UnidentifiedImageError, Image.DecompressionBombError, OSError, ValueError, SyntaxError):
        return None
    kept = io.BytesIO()
    flat.save(kept, "JPEG", quality=85)
    width, height = flat.size
    jpeg = base64.b64encode(kept.getvalue()).decode()
    return Picture(
        f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
        f'width="{width}" height="{height}"><image width="{width}" height="{height}" '
        f'xlink:href="data:image/jpeg;base64,{jpeg}"/></svg>',
        width,
        height,
    )


def numbered(picture: Picture, marks: Iterable[tuple[int, float, float]]) -> Picture:
    """The picture with a number on a light disc at each mark: number, and shares of its width and height."""
    long = max(picture.width, picture.height)
    drawn = "".join(
        f'<g transform="translate({x * picture.width:.0f} {y * picture.height:.0f}) scale({long / 1000:.3f})">'
        f'<circle r="27" fill="#ffffff" stroke="#1a2330" stroke-width="6"/>'
        f'<text y="13" text-anchor="middle" font-family="Source Sans 3" font-weight="700" font-size="38" '
        f'fill="#1a2330">{number}</text></g>'
        for number, x, y in marks
    )
    return picture._replace(svg=picture.svg.removesuffix("</svg>") + drawn + "</svg>")


@lru_cache(maxsize=1024)  # tags are printed again and again; a code takes a few milliseconds
def qr_of(words: str) -> str:
    """A QR code of the words, as SVG. Medium correction: it is read off a tag that has been handled."""
    drawn = io.BytesIO()
    segno.make(words, error="m", micro=False).save(drawn, kind="svg", xmldecl=False, dark="#1a2330", border=2)
    return drawn.getvalue().decode()
