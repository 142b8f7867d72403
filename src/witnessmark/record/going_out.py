"""The form in which a photograph leaves the shop: every pixel, and nothing of where, when, by whom and with what."""

import io
import re
import struct
import zlib
from collections.abc import Iterator

from .pictures import LIMITS, SIZES, Limits, jpeg_of, looked_at

LEAVING_QUALITY = 92  # JPEG, where the original's own form is not one that everybody can open
_PNG = b"\x89PNG\r\n\x1a\n"
# PNG 3rd edition, 5.6: what the picture itself needs; texts, times and EXIF stay behind.
_PNG_KEPT = {b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sRGB", b"cICP", b"sBIT",
             b"bKGD", b"pHYs"}  # fmt: skip
# ITU-T T.81, B.1.1.2: in a scan FF stands only before 00 (a stuffed byte), D0–D7 (restarts) or another FF.
_SCAN_ENDS = re.compile(rb"\xff[^\x00\xd0-\xd7\xff]")
_SOI, _EOI, _SOS, _COM, _APP0, _APP2, _APP14 = 0xD8, 0xD9, 0xDA, 0xFE, 0xE0, 0xE2, 0xEE
_APPS = range(0xE0, 0xF0)


class _Odd(ValueError):
    """A file laid out in a way that can't be taken apart with certainty."""


def leaving(original: bytes, limits: Limits = LIMITS) -> bytes:
    """A photograph without location, names, serial numbers and small pictures; what it shows is as it was.

    JPEG and PNG keep their pixels bit for bit and their colour profile, and say which way up they are; all else
    becomes an upright sRGB JPEG. Raises BadPicture where `original` is no photograph.
    """
    bare = next((bare for begins, bare in _BARE.items() if original.startswith(begins)), None)
    looked = looked_at(io.BytesIO(original), limits=limits, side=SIZES[0] if bare else None)
    if bare:
        try:
            return b"".join(bare(memoryview(original), looked.orientation))
        except (_Odd, struct.error, IndexError):
            looked = looked_at(io.BytesIO(original), limits=limits, side=None)
    return jpeg_of(looked.image, LEAVING_QUALITY)


def _way_up(orientation: int) -> bytes:
    """EXIF that holds the orientation and nothing else (TIFF 6.0: header, one directory of one entry)."""
    return b"MM\0*" + struct.pack(">IHHHIHHI", 8, 1, 0x0112, 3, 1, orientation, 0, 0)


def _bare_jpeg(data: memoryview, orientation: int) -> Iterator[bytes | memoryview]:
    """The segments of the first picture in the file; a second one behind it, as phones add, stays behind."""
    yield b"\xff\xd8"
    if orientation != 1:
        notes = b"Exif\0\0" + _way_up(orientation)
        yield b"\xff\xe1" + struct.pack(">H", len(notes) + 2) + notes
    at = 2
    while True:
        if data[at] != 0xFF:
            raise _Odd
        while data[at + 1] == 0xFF:
            at += 1
        marker = data[at + 1]
        if marker == _EOI:
            yield b"\xff\xd9"
            return
        (length,) = struct.unpack(">H", data[at + 2 : at + 4])
        segment = data[at : at + 2 + length]
        at += 2 + length
        yield from _kept(marker, segment)
        if marker == _SOS:
            ends = _SCAN_ENDS.search(data, at)
            if ends is None:
                raise _Odd
            yield data[at : ends.start()]
            at = ends.start()


def _kept(marker: int, segment: memoryview) -> Iterator[bytes | memoryview]:
    """A segment that the picture itself needs."""
    says = bytes(segment[4:16])
    if marker == _APP0 and says.startswith(b"JFIF\0"):
        yield b"\xff\xe0\0\x10" + says + b"\0\0"  # its small picture may show more than the photograph does
        return
    profile = marker == _APP2 and says.startswith(b"ICC_PROFILE\0")
    colours = marker == _APP14 and says.startswith(b"Adobe")  # without it red and cyan would change places
    if profile or colours or (marker not in _APPS and marker != _COM):
        yield segment


def _bare_png(data: memoryview, orientation: int) -> Iterator[bytes | memoryview]:
    yield _PNG
    at = len(_PNG)
    while at < len(data):
        (length,) = struct.unpack(">I", data[at : at + 4])
        kind = bytes(data[at + 4 : at + 8])
        if kind in _PNG_KEPT:
            yield data[at : at + 12 + length]
        if kind == b"IHDR" and orientation != 1:
            notes = b"eXIf" + _way_up(orientation)
            yield struct.pack(">I", len(notes) - 4) + notes + struct.pack(">I", zlib.crc32(notes))
        if kind == b"IEND":
            return
        at += 12 + length
    raise _Odd


_BARE = {b"\xff\xd8\xff": _bare_jpeg, _PNG: _bare_png}  # how a file begins, what takes it apart
