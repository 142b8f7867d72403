"""What is taken in comes out again equal, and is known when it comes a second time."""

import hashlib
import json
import zipfile
from pathlib import Path

import pytest

import photographs
import pieces
from witnessmark.daybook import daybook_text
from witnessmark.documents import Faulty, json_of
from witnessmark.record import (
    DayBookEntry,
    NoSuchPiece,
    Photograph,
    Revision,
    StockRow,
    album,
    given_out,
    keep_photograph,
    keep_shop,
    keep_survey,
    piece_meant,
    survey_checked,
    survey_of,
    taken_in,
    the_shop,
)
from witnessmark.survey import survey_from, survey_text

pytestmark = pytest.mark.django_db
ODD = sorted((Path(__file__).parents[1] / "plan" / "odd").glob("*.toml"))
DEMO = sorted(file for file in pieces.DEMO.glob("**/*.toml") if file.name != "shop.toml")


@pytest.fixture(autouse=True)
def _an_album(settings, tmp_path):
    settings.DATA = tmp_path / "shop"


@pytest.mark.parametrize("file", [*DEMO, *ODD], ids=lambda file: file.stem)
def test_a_survey_taken_in_and_given_out_is_the_same_survey(file, tmp_path):
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    (ident,) = taken_in(file, "Ines", pieces.NOW).surveys
    as_written = survey_from(file.read_text("utf-8"), file.name, pieces.shop().context)
    assert survey_of(ident) == as_written
    for name in ("again.toml", "again.zip"):
        out = tmp_path / name
        given_out(survey_of(ident), out)
        found = taken_in(out, "Tobias", pieces.NOW)
        assert (found.surveys, found.known) == ([], [ident])
        assert survey_of(ident) == as_written
    assert survey_from((tmp_path / "again.toml").read_text("utf-8"), "again.toml", pieces.shop().context) == as_written


def test_a_folder_is_taken_in_whole_and_is_known_the_second_time():
    first = taken_in(pieces.DEMO, "Ines", pieces.NOW)
    assert first.shop
    assert the_shop() == pieces.shop()
    assert len(first.surveys) == len(DEMO)
    assert set(first.photographs) == {one.sha256 for name in pieces.PIECES for one in pieces.piece(name).photograph}
    assert not first.missing
    assert DayBookEntry.objects.count() == len(first.accepted) > 20
    again = taken_in(pieces.DEMO, "Ines", pieces.NOW)
    assert (again.surveys, again.shop, again.accepted, again.photographs) == ([], False, [], [])
    assert len(again.known) == len(DEMO)
    assert sorted(again.entries_known) == sorted(first.accepted)


def test_a_zip_takes_entries_and_photographs_to_another_shop(tmp_path, settings):
    taken_in(pieces.DEMO, "Ines", pieces.NOW)
    chest = pieces.chest().id
    went = given_out(survey_of(chest), tmp_path / "chest.zip")
    assert went == len(pieces.chest().photograph) > 0
    with zipfile.ZipFile(tmp_path / "chest.zip") as archive:
        names = set(archive.namelist())
    settings.DATA = tmp_path / "another"
    Photograph.objects.all().delete()
    found = taken_in(tmp_path / "chest.zip", "Tobias", pieces.NOW)
    assert (found.known, len(found.photographs), found.missing) == ([chest], went, [])
    kept = DayBookEntry.objects.filter(piece=chest).values_list("id", flat=True)
    assert sorted(found.entries_known) == sorted(kept)
    assert {entry.id for entry in pieces.daybook().on_piece(chest)} <= set(kept)
    assert all(album().original(sha256).is_file() for sha256 in found.photographs)
    assert {f"photographs/{sha256}.png" for sha256 in found.photographs} == names - {"survey.toml", "daybook.jsonl"}


def test_photographs_for_others_say_nothing_of_place_and_time(tmp_path):
    picture = photographs.saved(photographs.board(), "JPEG", exif=photographs.notes())
    sha256 = keep_photograph(picture, "Ines", pieces.NOW).sha256
    tables = {"id": pieces.chair().id, "piece": {"kind": "chair"}, "photograph": [{"sha256": sha256}]}
    keep_survey(survey_checked(tables), "Ines", pieces.NOW)
    for to_others in (False, True):
        given_out(survey_of(pieces.chair().id), tmp_path / "out.zip", to_others)
        with zipfile.ZipFile(tmp_path / "out.zip") as archive:
            content = archive.read(f"photographs/{sha256}.jpg")
        assert (content == picture) is not to_others
        assert (photographs.SERIAL.encode() in content) is not to_others


def test_a_photograph_beside_is_found_by_what_it_is_and_one_that_is_not_there_is_named(tmp_path):
    picture = photographs.saved(photographs.board(), "PNG")
    (tmp_path / "pictures").mkdir()
    (tmp_path / "pictures" / "another-name.PNG").write_bytes(picture)
    sha256 = hashlib.sha256(picture).hexdigest()
    here, gone = {"sha256": sha256, "file": "front.jpg"}, {"sha256": "ab" * 32, "file": "back.jpg"}
    survey = survey_checked({"id": pieces.chair().id, "piece": {"kind": "chair"}, "photograph": [here, gone]})
    (tmp_path / "chair.toml").write_text(survey_text(survey), "utf-8")
    found = taken_in(tmp_path / "chair.toml", "Ines", pieces.NOW)
    assert (found.photographs, found.missing) == ([sha256], ["back.jpg"])


def test_a_day_book_by_codes_and_titles_comes_to_its_pieces(tmp_path):
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.chest(), "Ines", pieces.NOW)
    first, second, *_ = pieces.daybook().on_piece(pieces.chest().id)
    lines = [json_of(first) | {"piece": "c1"}, json_of(second) | {"piece": pieces.chest().piece.title}]
    (tmp_path / "book.jsonl").write_text("".join(f"{json.dumps(line)}\n" for line in lines), "utf-8")
    taken_in(tmp_path / "book.jsonl", "Ines", pieces.NOW)
    assert {row.piece for row in DayBookEntry.objects.all()} == {pieces.chest().id}
    assert StockRow.objects.get().minutes > 0
    assert len(taken_in(tmp_path / "book.jsonl", "Ines", pieces.NOW).entries_known) == 2


def test_when_entries_arrived_elsewhere_is_kept(tmp_path):
    (tmp_path / "book.jsonl").write_text(daybook_text(pieces.daybook().entries), "utf-8")
    taken_in(tmp_path / "book.jsonl", "Ines", pieces.NOW)
    arrived = {row.id: row.arrived for row in DayBookEntry.objects.all()}
    assert arrived == {entry.id: entry.arrived or pieces.NOW for entry in pieces.daybook().entries}


def test_faults_of_all_files_come_together_and_nothing_is_kept(tmp_path):
    (tmp_path / "a.toml").write_text('id = "x"\n[piece]\nkind = "chset"\n', "utf-8")
    (tmp_path / "b.jsonl").write_text('{"what": "wrked"}\n', "utf-8")
    (tmp_path / "shop.toml").write_text(pieces.text_of("shop.toml"), "utf-8")
    with pytest.raises(Faulty) as error:
        taken_in(tmp_path, "Ines", pieces.NOW)
    assert {Path(fault.where).name for fault in error.value.faults} == {"a.toml", "b.jsonl"}
    assert not Revision.objects.exists()


@pytest.mark.parametrize(("name", "content", "says"), [
    ("a.toml", b"\xff\xfe", "text in UTF-8"),
    ("a.toml", b"[other]\nx = 1\n", "a survey"),
    ("empty.zip", b"PK\x05\x06" + bytes(18), "a survey or a day book in it"),
])  # fmt: skip
def test_what_is_no_document_is_refused_with_a_sentence(tmp_path, name, content, says):
    (tmp_path / name).write_bytes(content)
    with pytest.raises(Faulty, match=says):
        taken_in(tmp_path / name, "Ines", pieces.NOW)


def test_a_piece_is_meant_by_its_id_its_code_or_words_that_only_one_has():
    taken_in(pieces.DEMO, "Ines", pieces.NOW)
    for words in (pieces.chest().id, "c1", "Victorian chest"):
        assert piece_meant(words) == pieces.chest()
    with pytest.raises(NoSuchPiece, match="may be one of these"):
        piece_meant("chair")
    with pytest.raises(NoSuchPiece, match="no piece here is called “xylophone”"):
        piece_meant("xylophone")
