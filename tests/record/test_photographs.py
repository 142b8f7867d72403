"""A photograph kept in the shop: the file in the folder, what is known of it in the record."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile, TemporaryUploadedFile

import pieces
from photographs import HEIC, jpeg
from witnessmark.record import BadPicture, Photograph, album, keep_photograph, keep_shop

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _a_folder_of_its_own(settings, tmp_path):
    settings.DATA = tmp_path


def test_a_photograph_sent_from_a_phone_is_kept_with_who_and_when():
    taken = keep_photograph(SimpleUploadedFile("../IMG 1.txt", HEIC), "Ines", pieces.NOW)
    row = Photograph.objects.get()
    assert (row.sha256, row.media, row.width, row.height) == (taken.sha256, "image/heic", 200, 184)
    assert (row.who, row.added, row.taken, row.size) == ("Ines", pieces.NOW, taken.taken, len(HEIC))
    assert album().original(row.sha256).read_bytes() == HEIC


def test_a_large_upload_is_read_from_its_file():
    upload = TemporaryUploadedFile("chest.jpg", "image/jpeg", 0, None)
    upload.write(jpeg())
    upload.seek(0)
    assert keep_photograph(upload, "Ines", pieces.NOW) == keep_photograph(jpeg(), "Ines", pieces.NOW)
    upload.close()


def test_the_same_photograph_again_stays_as_it_was_first_kept():
    keep_photograph(jpeg(), "Ines", pieces.NOW)
    keep_photograph(jpeg(), "Tobias", pieces.NOW)
    assert Photograph.objects.get().who == "Ines"


def test_a_cameras_clock_is_the_shops():
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    no_zone = jpeg().replace(b"+01:00", b"      ")
    taken = keep_photograph(no_zone, "Ines", pieces.NOW).taken
    assert taken.astimezone(pieces.shop().shop.zone_info).strftime("%H:%M:%S") == "10:11:12"


def test_what_is_no_photograph_leaves_nothing_behind():
    with pytest.raises(BadPicture):
        keep_photograph(SimpleUploadedFile("chest.jpg", b"a list of screws"), "Ines", pieces.NOW)
    assert not Photograph.objects.exists()
    assert not any(file.is_file() for file in album().folder.rglob("*"))
