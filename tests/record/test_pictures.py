"""Photographs: told by content, kept bit for bit, shown upright and bare; bad bytes get a sentence, no traceback."""

import io
import struct
import zlib
from contextlib import suppress
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageStat

from photographs import HEIC, OWNER, PLACE, SERIAL, board, jpeg, notes, opened, saved
from witnessmark.record.going_out import leaving
from witnessmark.record.photograph_folder import Album, NoSuchPhotograph
from witnessmark.record.pictures import SIZES, BadPicture, Limits, looked_at, picture_in

pytestmark = pytest.mark.filterwarnings("ignore:::PIL")  # as in use: see record/pictures.py

KINDS = {
    "image/jpeg": jpeg(),
    "image/png": saved(board(), "PNG", exif=notes()),
    "image/webp": saved(board(), "WEBP", exif=notes()),
    "image/heic": HEIC,
}

HEIC_MEDIA = "image/heic"  # read in a process of its own: few of them in tests


@pytest.fixture
def album(tmp_path):
    return Album(tmp_path / "photographs")


def files(album):
    return sorted(str(file.relative_to(album.folder)) for file in album.folder.rglob("*") if file.is_file())


def differ(one: Image.Image, other: Image.Image) -> float:
    """Mean difference of two pictures, 0–255."""
    assert one.size == other.size
    return max(ImageStat.Stat(ImageChops.difference(one.convert("RGB"), other.convert("RGB"))).mean)


# --- what is taken in ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("media", KINDS)
def test_a_photograph_is_told_by_its_content(media):
    assert picture_in(KINDS[media]).media == media


@pytest.mark.parametrize(
    ("sent", "says"),
    [
        (b"Dear Ines, the chest is as we said.\n" * 20, "No photograph that can be read begins like this file"),
        (b"", "empty"),
        (b"%PDF-1.7\n", "This is a PDF"),
        (b'<svg xmlns="http://www.w3.org/2000/svg"><script>alert(1)</script></svg>', "an SVG drawing"),
        (b'\xef\xbb\xbf  <?xml version="1.0"?><svg/>', "an SVG drawing"),
        (saved(board(), "GIF"), "a GIF"),
        (saved(board(), "BMP"), "a BMP"),
        (saved(board(), "TIFF"), "a TIFF"),
        (b"\0\0\0\x18ftypmp42\0\0\0\0", "a film"),
        (jpeg()[:900], "damaged or not all there"),
        (KINDS["image/png"][:200], "damaged or not all there"),
        (KINDS["image/webp"][:200], "damaged or not all there"),
        (HEIC[:3000], "damaged or not all there"),
    ],
)
def test_what_is_no_photograph_is_refused_with_a_sentence(album, sent, says):
    with pytest.raises(BadPicture, match=says):
        album.keep(io.BytesIO(sent))
    assert files(album) == []


@pytest.mark.parametrize("form", ["PNG", "WEBP"])
def test_a_moving_picture_is_refused(form):
    moving = saved(board(), form, save_all=True, append_images=[board().rotate(180)], duration=100)
    with pytest.raises(BadPicture, match="moving picture"):
        picture_in(moving)


def png_that_claims(width: int, height: int) -> bytes:
    """A few bytes that say they are a picture of any size."""

    def chunk(kind: bytes, body: bytes) -> bytes:
        return struct.pack(">I", len(body)) + kind + body + struct.pack(">I", zlib.crc32(kind + body))

    head = struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 9)) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [7_750, 12_000, 100_000])  # just over the limit; over Pillow's two as well
def test_a_bomb_of_pixels_is_refused_before_it_is_decoded(side):
    with pytest.raises(BadPicture, match=r"megapixels; the most is 60|damaged"):
        picture_in(png_that_claims(side, side))


def test_a_jpeg_laid_over_itself_a_thousand_times_is_refused():
    # A progressive JPEG may repeat its last scan; each costs a few bytes and a pass over all pixels.
    whole = saved(board(), "JPEG", progressive=True)
    last = whole[whole.rindex(b"\xff\xda") : -2]
    assert picture_in(whole[:-2] + last * 20 + b"\xff\xd9").width == 96
    with pytest.raises(BadPicture, match="1000 layers"):
        picture_in(whole[:-2] + last * 1000 + b"\xff\xd9")


def test_too_many_bytes_are_refused_as_soon_as_they_are_over():
    class Endless(io.BytesIO):
        read_in_all = 0

        def read(self, size: int | None = -1, /) -> bytes:
            assert size is not None
            self.read_in_all += size
            return b"\xff" * size

    sent = Endless()
    with pytest.raises(BadPicture, match="larger than 1 MB"):
        picture_in(sent, limits=Limits(bytes=1_000_000))
    assert sent.read_in_all < 2_000_000


def test_the_limits_themselves_are_allowed():
    picture = jpeg()
    assert picture_in(picture, limits=Limits(bytes=len(picture), pixels=96 * 64)).width == 96
    with pytest.raises(BadPicture, match="megapixels"):
        picture_in(picture, limits=Limits(pixels=96 * 64 - 1))


def damaged(whole: bytes, data: st.DataObject) -> bytes:
    hurt = bytearray(whole)
    for _ in range(data.draw(st.integers(1, 8))):
        hurt[data.draw(st.integers(0, len(hurt) - 1))] = data.draw(st.integers(0, 255))
    cut = data.draw(st.integers(0, 1)) * data.draw(st.integers(0, len(hurt)))
    return bytes(hurt[: len(hurt) - cut])


@pytest.mark.parametrize("media", [media for media in KINDS if media != HEIC_MEDIA])
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.differing_executors])
@given(data=st.data())
def test_damaged_bytes_are_read_or_refused_and_nothing_else(media, data):
    sent = damaged(KINDS[media], data)
    with suppress(BadPicture):
        found = picture_in(sent)
        assert found.size == len(sent)
        assert found.width * found.height <= 60_000_000
        opened(leaving(sent))


@settings(max_examples=12, deadline=None)  # each takes a process of its own
@given(data=st.data())
def test_a_damaged_heic_is_read_or_refused_and_nothing_else(data):
    sent = damaged(HEIC, data)
    with suppress(BadPicture):
        assert picture_in(sent).size == len(sent)


def test_a_heic_that_brings_its_decoder_down_leaves_the_desk_standing(album):
    # Found by trying damaged files: these three bytes end pi-heif 1.4.0 with a segmentation fault.
    hurt = bytearray(HEIC)
    hurt[38], hurt[192], hurt[276] = 0o156, 0o200, 0
    with pytest.raises(BadPicture, match="damaged"):
        album.keep(io.BytesIO(hurt))
    assert files(album) == []


def test_a_heic_of_too_many_pixels_is_refused():
    with pytest.raises(BadPicture, match="200 × 184 pixels"):
        picture_in(HEIC, limits=Limits(pixels=200 * 184 - 1))


def test_a_heic_that_takes_for_ever_is_refused(monkeypatch):
    monkeypatch.setattr("witnessmark.record.pictures._PATIENCE", 0.001)
    with pytest.raises(BadPicture, match="damaged"):
        picture_in(HEIC)


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from([b"", *(picture[:24] for picture in KINDS.values() if picture != HEIC)]), st.binary(max_size=300)
)
def test_any_bytes_at_all_are_refused_with_a_sentence(head, tail):
    with pytest.raises(BadPicture, match=r"\.$"):
        picture_in(head + tail)


def test_a_fault_of_the_disk_is_not_blamed_on_the_photograph():
    class Failing(io.BytesIO):
        asked = 0

        def read(self, size: int | None = -1, /) -> bytes:
            self.asked += 1
            if self.asked > 2:
                raise OSError(5, "Input/output error")
            return super().read(size)

    with pytest.raises(OSError, match="Input/output"):
        picture_in(Failing(jpeg()))


# --- when ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("when", "offset", "taken"),
    [
        ("2026:05:04 10:11:12", "+01:00", datetime(2026, 5, 4, 9, 11, 12, tzinfo=UTC)),
        ("2026:05:04 10:11:12", "", datetime(2026, 5, 4, 14, 11, 12, tzinfo=UTC)),  # the shop's clock: UTC−4 in May
        ("2026:05:04 10:11:12", "summer", datetime(2026, 5, 4, 14, 11, 12, tzinfo=UTC)),
        ("0000:00:00 00:00:00", "", None),
        ("    :  :     :  :  ", "   :  ", None),
        ("1980:01:01 00:00:00", "", None),  # a clock that was never set
        ("0001:01:01 00:00:00", "+14:00", None),
        ("9999:12:31 23:59:59", "-12:00", None),
        ("yesterday", "", None),
    ],
)
def test_the_time_it_was_taken_is_the_cameras_or_unknown(when, offset, taken):
    picture = saved(board(), "JPEG", exif=notes(when=when, offset=offset))
    assert picture_in(picture, ZoneInfo("America/New_York")).taken == taken


def test_a_photograph_without_notes_has_no_time():
    assert picture_in(saved(board(), "PNG")).taken is None


def test_damaged_notes_do_not_spoil_a_sound_photograph():
    # The notes' first directory is said to begin far behind their end.
    picture = jpeg(6).replace(b"Exif\0\0MM\0*\0\0\0\x08", b"Exif\0\0MM\0*\xff\xff\xff\x08")
    assert b"\xff\xff\xff\x08" in picture
    assert picture_in(picture).taken is None


# --- kept ---------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("media", KINDS)
def test_an_original_is_kept_bit_for_bit_under_its_sha256(album, media):
    taken = album.keep(io.BytesIO(KINDS[media]))
    assert album.original(taken.sha256).read_bytes() == KINDS[media]
    assert album.original(taken.sha256) == album.folder / taken.sha256[:2] / taken.sha256
    assert taken == picture_in(KINDS[media])
    assert (list(album.kept()), list(album.damaged())) == ([taken.sha256], [])


def test_the_same_photograph_twice_is_kept_once(album):
    first = album.keep(io.BytesIO(jpeg()))
    stands = album.original(first.sha256).stat()
    before = files(album)
    assert album.keep(io.BytesIO(jpeg())) == first
    assert files(album) == before
    assert album.original(first.sha256).stat().st_ino == stands.st_ino


def test_an_original_cut_short_by_the_disk_is_mended_when_it_is_sent_again(album):
    taken = album.keep(io.BytesIO(jpeg()))
    album.original(taken.sha256).write_bytes(b"")
    assert list(album.damaged()) == [taken.sha256]
    album.keep(io.BytesIO(jpeg()))
    assert list(album.damaged()) == []


def test_nothing_is_settled_on_the_disk_before_its_bytes_are(album, monkeypatch):
    acts = []
    really_fsync, really_replace = __import__("os").fsync, type(album.folder).replace

    def fsync(number):
        acts.append("fsync")
        really_fsync(number)

    def replace(file, target):
        if "shown" not in str(target):
            acts.append("replace")
        return really_replace(file, target)

    monkeypatch.setattr("os.fsync", fsync)
    monkeypatch.setattr(type(album.folder), "replace", replace)
    album.keep(io.BytesIO(jpeg()))
    # The bytes; the new folder's name in its parent; the file's name, and that name in its folder.
    assert acts == ["fsync", "fsync", "replace", "fsync"]


def test_what_a_killed_process_left_is_swept_and_nothing_else(album):
    taken = album.keep(io.BytesIO(jpeg()))
    (album.folder / ".coming-half").write_bytes(b"half a photo")
    (album.folder / "list.txt").write_text("somebody's own")
    assert album.swept() == 1
    assert (album.folder / "list.txt").exists()
    assert list(album.kept()) == [taken.sha256]


@pytest.mark.parametrize("name", ["../../secret", "", "ab", "A" * 64, "g" * 64, "a" * 63 + "\n", "/" + "a" * 63])
def test_a_made_up_name_points_nowhere(album, name):
    for ask in (album.original, album.leaving, lambda sha256: album.shown(sha256, SIZES[0])):
        with pytest.raises(NoSuchPhotograph):
            ask(name)
    assert album.for_paper(name) is None


def test_a_photograph_that_is_not_here_is_said_to_be_missing(album):
    with pytest.raises(NoSuchPhotograph, match="is kept here"):
        album.shown("a" * 64, SIZES[0])
    assert album.for_paper("a" * 64) is None


# --- shown --------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_it_is_shown_no_larger_than_asked(album, size):
    taken = album.keep(io.BytesIO(jpeg(width=2400, height=1500)))
    assert opened(album.shown(taken.sha256, size).read_bytes()).size == (size, size * 1500 // 2400)


def test_a_small_photograph_is_not_blown_up(album):
    taken = album.keep(io.BytesIO(jpeg()))
    assert {opened(album.shown(taken.sha256, size).read_bytes()).size for size in SIZES} == {(96, 64)}


def test_a_size_nobody_shows_is_refused(album):
    taken = album.keep(io.BytesIO(jpeg()))
    with pytest.raises(NoSuchPhotograph, match="321"):
        album.shown(taken.sha256, 321)


def test_what_is_shown_is_made_again_when_it_was_deleted_or_torn(album):
    taken = album.keep(io.BytesIO(jpeg(6)))
    shown = {size: album.shown(taken.sha256, size).read_bytes() for size in SIZES}
    album.shown(taken.sha256, 320).unlink()
    album.shown(taken.sha256, 800).write_bytes(b"")
    album.shown(taken.sha256, 1600).write_bytes(shown[1600][:50])
    assert {size: album.shown(taken.sha256, size).read_bytes() for size in SIZES} == shown
    assert album.for_paper(taken.sha256) == shown[1600]


@pytest.mark.parametrize("media", KINDS)
def test_what_is_shown_or_leaves_names_nobody_and_no_place(album, media):
    taken = album.keep(io.BytesIO(KINDS[media]))
    for bare in (*(album.shown(taken.sha256, size).read_bytes() for size in SIZES), album.leaving(taken.sha256)):
        image = opened(bare)
        assert not image.getexif().get_ifd(0x8825)
        assert set(image.getexif()) <= {0x0112}
        assert not set(image.info) & {"exif", "comment", "xmp", "photoshop"}
        assert not any(word.encode() in bare for word in (OWNER, SERIAL, PLACE, "2026:05"))


def test_every_mode_a_picture_may_have_is_shown(album):
    for mode, form in [("1", "PNG"), ("L", "JPEG"), ("LA", "PNG"), ("RGBA", "WEBP"), ("CMYK", "JPEG")]:
        taken = album.keep(io.BytesIO(saved(board(mode=mode), form)))
        shown = opened(album.shown(taken.sha256, 320).read_bytes())
        want = board(mode=mode).convert("RGB")
        assert differ(shown, want) < 8, mode


def test_a_palette_is_shown_in_its_colours(album):
    few = board().quantize(16)
    few.info["transparency"] = 0
    taken = album.keep(io.BytesIO(saved(few, "PNG", transparency=few.getpixel((80, 50)))))  # the white quarter
    assert differ(opened(album.shown(taken.sha256, 320).read_bytes()), board()) < 8


def test_sixteen_bits_of_grey_are_not_bleached(album):
    grey = Image.new("I;16", (40, 30), 100 * 256)
    taken = album.keep(io.BytesIO(saved(grey, "PNG")))
    assert opened(album.shown(taken.sha256, 320).read_bytes()).getpixel((5, 5)) == pytest.approx((100,) * 3, abs=2)


def test_what_shows_through_is_shown_on_white(album):
    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    taken = album.keep(io.BytesIO(saved(clear, "PNG")))
    assert opened(album.shown(taken.sha256, 320).read_bytes()).getpixel((5, 5)) == (255, 255, 255)


# --- leaving ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("settings_of_it", [{}, {"progressive": True}, {"restart_marker_rows": 1}, {"optimize": True}])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_a_jpeg_leaves_with_its_pixels_bit_for_bit_and_the_right_way_up(settings_of_it, orientation):
    original = saved(board(), "JPEG", quality=92, exif=notes(orientation), comment=PLACE.encode(), **settings_of_it)
    bare = leaving(original)
    assert opened(bare).tobytes() == opened(original).tobytes()
    assert opened(bare).getexif().get(0x0112, 1) == orientation
    assert leaving(bare) == bare


def test_a_cmyk_jpeg_keeps_the_note_of_how_its_colours_are_written():
    original = saved(board(mode="CMYK"), "JPEG", exif=notes())
    assert opened(leaving(original)).tobytes() == opened(original).tobytes()


@pytest.mark.parametrize("orientation", [1, 6])
def test_a_png_leaves_with_its_pixels_bit_for_bit(orientation):
    original = saved(board(mode="RGBA"), "PNG", exif=notes(orientation))
    bare = leaving(original)
    assert opened(bare).tobytes() == opened(original).tobytes()
    assert opened(bare).getexif().get(0x0112, 1) == orientation


def test_a_colour_profile_leaves_with_the_photograph():
    from PIL import ImageCms

    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("LAB")).tobytes()
    original = saved(board(), "JPEG", icc_profile=profile, exif=notes())
    assert opened(leaving(original)).info["icc_profile"] == profile


def test_the_second_picture_that_a_phone_hides_behind_the_first_stays_at_home():
    hidden = jpeg(width=200, height=120)
    original = saved(board(), "MPO", save_all=True, append_images=[board(200, 120)], exif=notes()) + hidden
    assert picture_in(original).media == "image/jpeg"
    bare = leaving(original)
    assert SERIAL.encode() in original
    assert SERIAL.encode() not in bare
    assert bare.count(b"\xff\xd8\xff") == 1
    assert opened(bare).format == "JPEG"


def test_heic_and_webp_leave_as_jpeg_that_anybody_can_open():
    for media in ("image/heic", "image/webp"):
        bare = leaving(KINDS[media])
        taken = picture_in(KINDS[media])
        assert (opened(bare).format, opened(bare).size) == ("JPEG", (taken.width, taken.height))
        assert differ(opened(bare), looked_at(io.BytesIO(KINDS[media])).image) < 3


def test_what_is_no_photograph_does_not_leave_as_one():
    with pytest.raises(BadPicture):
        leaving(b"not a photograph")
