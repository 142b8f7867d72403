"""Photographs for tests, drawn here: a board with a knot, of which every quarter can be told from the others."""

import io
from pathlib import Path

from PIL import Image, ImageDraw

OWNER, SERIAL, PLACE = "Ines Lindqvist-Invented", "SERIAL-0815", "Orchard Lane, drawn for a test"
# Our own drawing of the demo chest, put into HEIC with its pixels on their side, a note of the container (irot) that
# turns it upright, and EXIF with a place and the orientation that readers of HEIC must not follow a second time.
HEIC = (Path(__file__).parent / "record" / "lying_on_its_side.heic").read_bytes()


def board(width: int = 96, height: int = 64, mode: str = "RGB") -> Image.Image:
    """Red upper left, green upper right, blue lower left, white lower right; a black knot in the upper left corner."""
    image = Image.new("RGB", (width, height), "white")
    pen = ImageDraw.Draw(image)
    middle, centre = width // 2, height // 2
    pen.rectangle((0, 0, middle - 1, centre - 1), fill=(200, 30, 30))
    pen.rectangle((middle, 0, width, centre - 1), fill=(30, 160, 30))
    pen.rectangle((0, centre, middle - 1, height), fill=(30, 30, 200))
    pen.ellipse((width // 12, height // 12, width // 4, height // 4), fill="black")
    return image.convert(mode)


def notes(orientation: int = 1, when: str = "2026:05:04 10:11:12", offset: str = "+01:00") -> Image.Exif:
    """EXIF as a phone writes it: owner, serial number, place, time."""
    exif = Image.Exif()
    exif[0x0112], exif[0x013B], exif[0x010F] = orientation, OWNER, "Invented"
    camera = exif.get_ifd(0x8769)
    camera[0x9003], camera[0x9011], camera[0xA431] = when, offset, SERIAL
    place = exif.get_ifd(0x8825)
    place[1], place[2], place[3], place[4] = "N", (51.0, 30.0, 0.0), "W", (0.0, 7.0, 0.0)
    return exif


def saved(image: Image.Image, form: str, **settings: object) -> bytes:
    made = io.BytesIO()
    image.save(made, form, **settings)
    return made.getvalue()


def jpeg(orientation: int = 1, **size: int) -> bytes:
    return saved(board(**size), "JPEG", quality=92, exif=notes(orientation), comment=PLACE.encode())


def opened(picture: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(picture))
    image.load()
    return image
