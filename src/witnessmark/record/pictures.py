"""Photographs as they come from a phone: told by content, never by name; upright and in plain colours for show."""

import hashlib
import io
import struct
import subprocess
import sys
import warnings
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import UTC, datetime, tzinfo
from functools import cache, partial
from pathlib import Path
from typing import BinaryIO, Protocol

from PIL import Image, ImageCms, UnidentifiedImageError
from PIL.ExifTags import IFD, Base

from witnessmark.documents import Refused

# Pillow warns on stderr of damage in a file; the person who sent it is told by BadPicture, or it did no harm.
warnings.filterwarnings("ignore", module=r"PIL\.")

SIZES = (320, 800, 1600)  # px, long side: in a list, on a phone, on a screen or A4 at 150 dpi
SHOWN_QUALITY = 85  # JPEG; at twice a phone's pixels no fault can be seen
_MEDIA = {"JPEG": "image/jpeg", "MPO": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp"}
_FORMATS = ("JPEG", "PNG", "WEBP")
_HEIC = "image/heic"
_HEIC_READER = Path(__file__).with_name("heic_reader.py")
_PATIENCE = 60  # seconds for one HEIC photograph, many times what a large one takes
_STILL_ONLY = ("PNG", "WEBP")  # of a JPEG the first picture is the photograph, what follows an extra of the phone
_SEND = "Send a JPEG, PNG, WebP or HEIC photograph."
_CHUNK = 256 * 1024
_SCANS = 1000  # a progressive JPEG has some ten

# What people send by mistake: how it begins, at which byte, what to call it.
_ELSE = (
    (b"%PDF", 0, "a PDF"),
    (b"GIF8", 0, "a GIF"),
    (b"II*\0", 0, "a TIFF or a camera's raw file"),
    (b"MM\0*", 0, "a TIFF or a camera's raw file"),
    (b"BM", 0, "a BMP"),
    (b"<svg", 0, "an SVG drawing"),
    (b"<?xml", 0, "an SVG drawing or other XML"),
    (b"PK\x03\x04", 0, "a ZIP file"),
    (b"ftypavif", 4, "an AVIF picture"),
    (b"ftypmp4", 4, "a film"),
    (b"ftypisom", 4, "a film"),
    (b"ftypqt", 4, "a film"),
)
_OURS = ((b"\xff\xd8\xff", 0), (b"\x89PNG\r\n", 0), (b"WEBP", 8))
_HEIC_BEGINS = (b"ftyphe", b"ftypmif1", b"ftypmsf1")  # ISO/IEC 23008-12: the brands of HEVC pictures
_DAMAGED = "The photograph is damaged or not all there: it can't be read to its end. Take it again, or send it again."
_YEARS = range(1990, 2100)  # no camera of before wrote EXIF: another year is a clock that was never set
# What damaged bytes make the decoders raise; a real fault of the disk is an OSError that bears an errno.
_DAMAGE = (
    OSError, SyntaxError, ValueError, TypeError, LookupError, EOFError, ArithmeticError, RuntimeError, MemoryError,
    struct.error, zlib.error, Image.DecompressionBombError,
)  # fmt: skip
# EXIF 2.32, 4.6.4 A, orientation: what turns each of the eight upright.
_UPRIGHT = {
    2: Image.Transpose.FLIP_LEFT_RIGHT,
    3: Image.Transpose.ROTATE_180,
    4: Image.Transpose.FLIP_TOP_BOTTOM,
    5: Image.Transpose.TRANSPOSE,
    6: Image.Transpose.ROTATE_270,
    7: Image.Transpose.TRANSVERSE,
    8: Image.Transpose.ROTATE_90,
}
_ON_ITS_SIDE = (5, 6, 7, 8)
_WHEN = (
    (IFD.Exif, Base.DateTimeOriginal, Base.OffsetTimeOriginal),
    (IFD.Exif, Base.DateTimeDigitized, Base.OffsetTimeDigitized),
    (None, Base.DateTime, Base.OffsetTime),
)


class BadPicture(Refused):
    """Bytes that are not kept as a photograph, and why."""


@dataclass(frozen=True)
class Limits:
    """The most that is taken in. A phone's largest photographs have 50 megapixels in 25 MB; 60 megapixels decoded
    take 180 MB of memory, which a small computer has to spare."""

    bytes: int = 40_000_000
    pixels: int = 60_000_000


LIMITS = Limits()


@dataclass(frozen=True)
class Taken:
    """What is known of a photograph: its SHA-256, its kind, bytes, pixels as shown upright, when it was taken (UTC)."""

    sha256: str
    media: str
    size: int
    width: int
    height: int
    taken: datetime | None


@dataclass(frozen=True)
class Looked:
    """A picture read to its end: upright, sRGB, no metadata. `width` and `height` are the original's, upright."""

    media: str
    width: int
    height: int
    orientation: int
    taken: datetime | None
    image: Image.Image


class Stream(Protocol):
    """What can be read in pieces: an open file, an upload."""

    def read(self, size: int, /) -> bytes: ...


def picture_in(picture: bytes | BinaryIO, zone: tzinfo = UTC, limits: Limits = LIMITS) -> Taken:
    """What a photograph is. `picture` is bytes or an open file that can seek, read here from its start to its end.

    `zone` is the shop's: most cameras note the time on their clock and not its zone. Raises BadPicture.
    """
    stream = io.BytesIO(picture) if isinstance(picture, bytes) else picture
    digest, size = hashlib.sha256(), 0
    for piece in pieces_of(stream, limits):
        digest.update(piece)
        size += len(piece)
    stream.seek(0)
    return taken_as(looked_at(stream, zone, limits), digest.hexdigest(), size)


def taken_as(looked: Looked, sha256: str, size: int) -> Taken:
    return Taken(sha256, looked.media, size, looked.width, looked.height, looked.taken)


def pieces_of(stream: Stream, limits: Limits = LIMITS) -> Iterator[bytes]:
    """A file in pieces, no more of it held than one. Raises BadPicture where it is empty or over the limit."""
    size = 0
    while piece := stream.read(_CHUNK):
        size += len(piece)
        if size > limits.bytes:
            most = f"{limits.bytes / 1e6:g} MB"
            raise BadPicture(f"The file is larger than {most}, the most a photograph may have. Send a smaller one.")
        yield piece
    if not size:
        raise BadPicture(f"The file is empty. {_SEND}")


def looked_at(stream: BinaryIO, zone: tzinfo = UTC, limits: Limits = LIMITS, side: int | None = SIZES[-1]) -> Looked:
    """The picture in an open file, read to its end and made no larger than `side`; None keeps every pixel.

    A JPEG is shrunk while it is read, which takes a third of the time. Raises BadPicture.
    """
    stream.seek(0)
    if stream.read(16)[4:].startswith(_HEIC_BEGINS):
        return _heic_looked_at(stream, zone, limits, side)
    _few_scans(stream)
    stream.seek(0)
    try:
        with Image.open(stream, formats=_FORMATS) as image:
            width, height = image.size
            _within(width, height, limits)
            if image.format in _STILL_ONLY and getattr(image, "is_animated", False):
                raise BadPicture(f"This is a moving picture. {_SEND}")
            if side:
                image.draft(None, (side, side))
            image.load()
            exif = _exif_of(image)
            orientation = _orientation(exif)
            upright = _upright(_small(_plain(image), side), orientation)
            plain = _in_srgb(upright, image.info.get("icc_profile"))
            media = _MEDIA[image.format or ""]
            taken = _when(exif, zone)
    except BadPicture:
        raise
    except UnidentifiedImageError:
        raise BadPicture(_what_else(stream)) from None
    except _DAMAGE as error:
        if isinstance(error, OSError) and error.errno is not None:
            raise
        raise BadPicture(_DAMAGED) from error
    plain.info.clear()  # comments and the like would be written into what is made from it
    if orientation in _ON_ITS_SIDE:
        width, height = height, width
    return Looked(media, width, height, orientation, taken, plain)


def shown_as(image: Image.Image) -> Iterator[tuple[int, bytes]]:
    """(long side, JPEG without metadata) for every one of SIZES, largest first; never larger than the image is."""
    for side in sorted(SIZES, reverse=True):
        image = _small(image, side)
        yield side, jpeg_of(image, SHOWN_QUALITY)


def jpeg_of(image: Image.Image, quality: int) -> bytes:
    made = io.BytesIO()
    image.save(made, "JPEG", quality=quality)
    return made.getvalue()


def _heic_looked_at(stream: BinaryIO, zone: tzinfo, limits: Limits, side: int | None) -> Looked:
    """As `looked_at`, through a process of its own: see heic_reader.py."""
    stream.seek(0)
    asked = [sys.executable, "-I", str(_HEIC_READER), str(limits.pixels), str(side or 0)]
    try:
        read = subprocess.run(
            asked, input=stream.read(), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, timeout=_PATIENCE
        )
    except subprocess.TimeoutExpired:
        raise BadPicture(_DAMAGED) from None
    size, _, png = read.stdout.partition(b"\n")
    if read.returncode or not size:
        raise BadPicture(_DAMAGED)
    width, height = map(int, size.split())
    _within(width, height, limits)
    return replace(looked_at(io.BytesIO(png), zone, limits, side), media=_HEIC, width=width, height=height)


def _within(width: int, height: int, limits: Limits) -> None:
    """Raises BadPicture, before a pixel is decoded, where there are too many."""
    if width * height > limits.pixels:
        found, most = width * height / 1e6, limits.pixels / 1e6
        raise BadPicture(
            f"The photograph has {width} × {height} pixels, {found:.0f} megapixels; the most is {most:g}. "
            "Take it at a lower setting, or send it smaller."
        )


def _few_scans(stream: BinaryIO) -> None:
    """Raises BadPicture where a JPEG is laid over itself so often that reading it would take hours.

    Within a scan FF DA can't occur; what a phone hangs behind the picture may hold a few by chance.
    """
    stream.seek(0)
    if stream.read(3) != b"\xff\xd8\xff":
        return
    if sum(piece.count(b"\xff\xda") for piece in iter(partial(stream.read, _CHUNK), b"")) > _SCANS:
        raise BadPicture(f"The photograph is built up of more than {_SCANS} layers, as no camera does. {_SEND}")


def _what_else(stream: BinaryIO) -> str:
    stream.seek(0)
    head = stream.read(512).lstrip(b"\xef\xbb\xbf \t\r\n")
    for begins, at, name in _ELSE:
        if head[at : at + len(begins)].lower() == begins.lower():
            return f"This is {name}, not a photograph. {_SEND}"
    if any(head[at:].startswith(begins) for begins, at in _OURS):
        return _DAMAGED
    return f"No photograph that can be read begins like this file, whatever its name says. {_SEND}"


def _exif_of(image: Image.Image) -> Image.Exif:
    """What the camera noted; nothing where the notes are damaged: the picture may be sound."""
    try:
        exif = image.getexif()
        exif.get_ifd(IFD.Exif)
    except _DAMAGE:
        return Image.Exif()
    return exif


def _orientation(exif: Image.Exif) -> int:
    said = exif.get(Base.Orientation)
    return said if isinstance(said, int) and said in _UPRIGHT else 1


def _when(exif: Image.Exif, zone: tzinfo) -> datetime | None:
    """The instant the camera's clock showed, UTC; where it does not say its zone, as a clock in `zone`."""
    for place, tag, offset_tag in _WHEN:
        notes = exif.get_ifd(place) if place else exif
        said, offset = (str(notes.get(tag, "")).strip("\0 ") for tag in (tag, offset_tag))
        for words, form in ((said + offset, "%Y:%m:%d %H:%M:%S%z"), (said, "%Y:%m:%d %H:%M:%S")):
            try:
                found = datetime.strptime(words, form)
            except ValueError:
                continue
            if found.year in _YEARS:
                return (found if found.tzinfo else found.replace(tzinfo=zone)).astimezone(UTC)
    return None


def _plain(image: Image.Image) -> Image.Image:
    """In a mode that can be shrunk and coloured: L, RGB, CMYK, or RGBA where something shows through."""
    if image.mode.startswith("I"):  # 16 bits of grey; converting alone would clip all above 255 to white
        image = image.point(lambda value: value * (1 / 256)).convert("L")
    if image.mode in ("L", "RGB", "CMYK") and "transparency" not in image.info:
        return image
    if image.mode == "1":
        return image.convert("L")
    return image.convert("CMYK" if image.mode == "CMYK" else "RGBA")


def _small(image: Image.Image, side: int | None) -> Image.Image:
    """No larger than `side`; the image itself where it is not."""
    if side is None or max(image.size) <= side:
        return image
    share = side / max(image.size)
    width, height = (max(1, round(length * share)) for length in image.size)
    return image.resize((width, height), Image.Resampling.LANCZOS, reducing_gap=3)


def _upright(image: Image.Image, orientation: int) -> Image.Image:
    turn = _UPRIGHT.get(orientation)
    return image if turn is None else image.transpose(turn)


def _in_srgb(image: Image.Image, profile: bytes | None) -> Image.Image:
    """RGB as every screen takes it: on white, from the colours of the profile, of which none means sRGB already."""
    if image.mode == "RGBA":
        flat = Image.new("RGB", image.size, "white")
        flat.paste(image, mask=image.getchannel("A"))
        image = flat
    if profile:
        try:
            source = ImageCms.ImageCmsProfile(io.BytesIO(profile))
            space = source.profile.xcolor_space.strip()
            if space == "RGB" and image.mode == "L":
                image = image.convert("RGB")
            if space == {"L": "GRAY"}.get(image.mode, image.mode):
                turned = ImageCms.profileToProfile(image, source, _srgb(), outputMode="RGB")
                if turned is not None:
                    return turned
        except (ImageCms.PyCMSError, OSError, ValueError):
            pass  # a damaged profile: the colours as they stand are near enough to see by
    return image.convert("RGB")  # a copy where it is RGB already


@cache
def _srgb() -> ImageCms.ImageCmsProfile:
    return ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB"))
