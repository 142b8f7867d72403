"""Photographs against the world outside: NIST's hashes, the eight orientations of EXIF, colour profiles, HEIC."""

import hashlib
import io
import struct
from pathlib import Path

import numpy as np
import pytest
from PIL import Image, ImageChops, ImageCms, ImageOps, ImageStat

from photographs import HEIC, board, jpeg, opened, saved
from witnessmark.record.photograph_folder import Album
from witnessmark.record.pictures import SIZES, looked_at, picture_in

DRAWN = Path(__file__).resolve().parents[2] / "demo" / "pictures" / "chest-front.png"
RED, GREEN, BLUE, WHITE = (200, 30, 30), (30, 160, 30), (30, 30, 200), (255, 255, 255)


def near(found, colour, by=14) -> bool:
    return all(abs(one - other) <= by for one, other in zip(found, colour, strict=True))


def quarters(image: Image.Image) -> list[tuple[int, int, int]]:
    """Colours of the four quarters by their outer corner's side: upper left, upper right, lower left, lower right."""
    width, height = image.size
    at = [(width * 4 // 10, height * 4 // 10), (width * 6 // 10, height * 4 // 10)]
    at += [(width * 4 // 10, height * 6 // 10), (width * 6 // 10, height * 6 // 10)]
    return [image.getpixel(place) for place in at]


def test_the_hash_is_nists_sha_256():
    # FIPS 180-2, appendix B.1 and B.2: the worked examples of SHA-256. A photograph is hashed by the same function.
    assert hashlib.sha256(b"abc").hexdigest() == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    long = b"abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"
    assert hashlib.sha256(long).hexdigest() == "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1"


def test_a_photograph_is_hashed_whole_however_it_is_read_in_pieces():
    # Against the standard library's one-shot hash, over a file of several pieces that ends within one.
    picture = saved(Image.effect_noise((900, 700), 80), "PNG")
    assert len(picture) > 300_000
    assert picture_in(picture).sha256 == hashlib.sha256(picture).hexdigest()


# EXIF 2.32 (JEITA CP-3451E), 4.6.4 A, tag 274: where the 0th row and the 0th column of the stored picture are seen.
MEANS = {
    1: ("top", "left"),
    2: ("top", "right"),
    3: ("bottom", "right"),
    4: ("bottom", "left"),
    5: ("left", "top"),
    6: ("right", "top"),
    7: ("right", "bottom"),
    8: ("left", "bottom"),
}
STORED = {("top", "left"): 0, ("top", "right"): 1, ("bottom", "left"): 2, ("bottom", "right"): 3}
OTHER = {"top": "bottom", "bottom": "top", "left": "right", "right": "left"}


@pytest.mark.parametrize("orientation", range(1, 9))
def test_each_orientation_means_what_the_standard_says(orientation):
    row, column = MEANS[orientation]
    # The stored quarter in (first or last rows, first or last columns) is seen on these sides.
    seen = looked_at(io.BytesIO(jpeg(orientation))).image
    colours = {("first", "first"): RED, ("first", "last"): GREEN, ("last", "first"): BLUE, ("last", "last"): WHITE}
    for (rows, columns), colour in colours.items():
        sides = {row if rows == "first" else OTHER[row], column if columns == "first" else OTHER[column]}
        place = STORED[next(side for side in sides if side in ("top", "bottom")),
                       next(side for side in sides if side in ("left", "right"))]  # fmt: skip
        assert near(quarters(seen)[place], colour), (rows, columns)


@pytest.mark.parametrize("orientation", range(1, 9))
@pytest.mark.parametrize("form", ["JPEG", "PNG", "WEBP"])
def test_each_orientation_is_shown_as_the_reference_library_turns_it(tmp_path, orientation, form):
    # Reference: Pillow's ImageOps.exif_transpose. Tolerance: two lossy encodings.
    exif = Image.Exif()
    exif[0x0112] = orientation
    picture = saved(board(), form, exif=exif, quality=95)
    taken = Album(tmp_path).keep(io.BytesIO(picture))
    shown = opened(Album(tmp_path).shown(taken.sha256, SIZES[0]).read_bytes())
    turned = ImageOps.exif_transpose(opened(picture))
    assert turned.size == shown.size == (taken.width, taken.height)
    assert max(ImageStat.Stat(ImageChops.difference(turned.convert("RGB"), shown)).mean) < 4


def test_shrinking_while_reading_shows_what_reading_all_would(tmp_path):
    # Reference: Pillow reading every pixel and resizing once with the same filter.
    picture = jpeg(width=4000, height=2600)
    shown = looked_at(io.BytesIO(picture)).image
    plain = opened(picture).resize(shown.size, Image.Resampling.LANCZOS)
    assert shown.size == (1600, 1040)
    assert max(ImageStat.Stat(ImageChops.difference(plain, shown)).mean) < 1.5


# Chromaticities: sRGB by IEC 61966-2-1, Display P3 by SMPTE EG 432-1 with sRGB's white D65 and curve; from memory.
D65 = (0.3127, 0.3290)
SRGB = ((0.640, 0.330), (0.300, 0.600), (0.150, 0.060))
WIDE = ((0.680, 0.320), (0.265, 0.690), (0.150, 0.060))
BRADFORD = np.array([(0.8951, 0.2664, -0.1614), (-0.7502, 1.7135, 0.0367), (0.0389, -0.0685, 1.0296)])  # ICC.1, annex E
D50_XYZ = np.array([0.9642, 1.0, 0.8249])  # ICC.1, 7.2.16


def xyz_of(x: float, y: float) -> np.ndarray:
    return np.array([x / y, 1, (1 - x - y) / y])


def to_xyz(primaries) -> np.ndarray:
    """Linear RGB to XYZ, white D65 (the construction of SMPTE RP 177)."""
    columns = np.column_stack([xyz_of(*primary) for primary in primaries])
    return columns * np.linalg.solve(columns, xyz_of(*D65))


def test_colours_of_a_wider_profile_are_shown_as_srgb():
    # Its pure green lies outside sRGB and is shown as sRGB's; greys stay, both have one white and one curve; a wood
    # brown and a red go by the primaries' matrices. Tolerance: 8-bit tables and PNG's whole numbers.
    for colour in [(0, 255, 0), (128, 128, 128), (160, 120, 90), (180, 60, 50)]:
        sent = saved(Image.new("RGB", (40, 40), colour), "PNG", icc_profile=wide_profile())
        assert near(looked_at(io.BytesIO(sent)).image.getpixel((5, 5)), srgb_from_wide(colour), 2), colour


def linear(value: float) -> float:
    share = value / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4  # IEC 61966-2-1


def srgb_from_wide(colour: tuple[int, int, int]) -> tuple[int, ...]:
    light = np.linalg.solve(to_xyz(SRGB), to_xyz(WIDE) @ [linear(value) for value in colour])
    shares = (12.92 * part if part <= 0.0031308 else 1.055 * part ** (1 / 2.4) - 0.055 for part in np.clip(light, 0, 1))
    return tuple(round(255 * share) for share in shares)


def wide_profile() -> bytes:
    """An ICC v4 display profile (ICC.1:2010, 7 to 10): primaries, white, and sRGB's own curve."""

    def fixed(value: float) -> bytes:
        return struct.pack(">i", round(value * 65536))

    def xyz(values) -> bytes:
        return b"XYZ \0\0\0\0" + b"".join(map(fixed, values))

    cones = (BRADFORD @ D50_XYZ) / (BRADFORD @ xyz_of(*D65))
    seen_by_d50 = np.linalg.inv(BRADFORD) @ np.diag(cones) @ BRADFORD @ to_xyz(WIDE)
    curve = b"para\0\0\0\0\0\3\0\0" + b"".join(map(fixed, (2.4, 1 / 1.055, 0.055 / 1.055, 1 / 12.92, 0.04045)))
    words = b"mluc\0\0\0\0" + struct.pack(">II2s2sII", 1, 12, b"en", b"GB", 8, 28) + "wide".encode("utf-16-be")
    parts = {b"desc": words, b"cprt": words, b"wtpt": xyz((0.9642, 1.0, 0.8249))}
    parts |= dict(zip((b"rXYZ", b"gXYZ", b"bXYZ"), map(xyz, seen_by_d50.T), strict=True))
    parts |= dict.fromkeys((b"rTRC", b"gTRC", b"bTRC"), curve)
    at, table, body = 128 + 4 + 12 * len(parts), b"", b""
    for name, part in parts.items():
        part += b"\0" * (-len(part) % 4)
        table += name + struct.pack(">II", at + len(body), len(part))
        body += part
    size = at + len(body)
    head = struct.pack(">I4xI4s4s4s", size, 0x04300000, b"mntr", b"RGB ", b"XYZ ")
    head += struct.pack(">6H", 2026, 1, 1, 0, 0, 0) + b"acsp" + b"\0" * 28 + fixed(0.9642) + fixed(1) + fixed(0.8249)
    return head.ljust(128, b"\0") + struct.pack(">I", len(parts)) + table + body


def test_the_profile_made_here_is_one_a_colour_library_reads():
    profile = ImageCms.ImageCmsProfile(io.BytesIO(wide_profile()))
    assert profile.profile.profile_description == "wide"


def test_heic_is_turned_by_its_container_and_not_again_by_its_notes():
    # ISO/IEC 23008-12, 6.5.10 (irot) and ISO/IEC 23000-22, 7.3.6.7: readers turn by the container alone. The sample's
    # stored pixels are 184 × 200; our drawing, from which it was made, is 200 × 184 before it was laid on its side.
    taken = picture_in(HEIC)
    assert (taken.media, taken.width, taken.height) == ("image/heic", 200, 184)
    drawn = opened(DRAWN.read_bytes()).convert("RGB")
    drawn.thumbnail((200, 200))
    shown = looked_at(io.BytesIO(HEIC)).image
    assert shown.size == drawn.size
    assert max(ImageStat.Stat(ImageChops.difference(shown, drawn)).mean) < 6
    upside_down = drawn.transpose(Image.Transpose.ROTATE_180)
    assert max(ImageStat.Stat(ImageChops.difference(shown, upside_down)).mean) > 12
