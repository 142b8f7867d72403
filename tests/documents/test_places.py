"""Where a key stands: never a wrong line."""

import tomllib

import pytest
from hypothesis import given, settings

from toml_texts import at, key_text, paths_in, toml_texts
from witnessmark.documents.places import Places

TEXT = """\
schema = 1
[piece]
kind = "chest"          # the piece
size.wide = "1 m"
size."too high" = "2 m"

[[joint]]
code = "J1"
[[joint.fixing]]
code = "S1"
[[joint.fixing]]
code = "S2"
[joint.note]
by = "me"

[[joint]]
parts = [
  "TOP",   # the first

  # not the second
  "SIDE",
]
[[joint.fixing]]
code = "S3"
[far.away]
inline = { a = 1, b = [ { c = 2 }, { c = 3 } ] }
"""


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("schema",), 1),
        (("piece",), 2),
        (("piece", "kind"), 3),
        (("piece", "size"), 4),
        (("piece", "size", "wide"), 4),
        (("piece", "size", "too high"), 5),
        (("joint", 0), 7),
        (("joint", 0, "code"), 8),
        (("joint", 0, "fixing", 0, "code"), 10),
        (("joint", 0, "fixing", 1), 11),
        (("joint", 0, "fixing", 1, "code"), 12),
        (("joint", 0, "note", "by"), 14),
        (("joint", 1), 16),
        (("joint", 1, "parts"), 17),
        (("joint", 1, "parts", 0), 18),
        (("joint", 1, "parts", 1), 21),
        (("joint", 1, "fixing", 0, "code"), 24),
        (("far",), 25),
        (("far", "away", "inline", "b", 1, "c"), 26),
    ],
)
def test_each_key_is_found_on_its_line(path, line):
    assert Places(TEXT).line_of(path) == line


@pytest.mark.parametrize(
    ("path", "line"),
    [
        (("piece", "title"), 2),
        (("joint", 1, "code"), 16),
        (("joint", 0, "fixing", 1, "kind"), 11),
        (("finish", "kind"), None),
        (("id",), None),
        ((), None),
    ],
)
def test_a_missing_key_is_placed_at_its_table_or_nowhere(path, line):
    assert Places(TEXT).line_of(path) == line


def test_a_text_that_is_not_sound_has_no_places():
    assert Places('a = 1\nb = "open\n').line_of(("a",)) is None


@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@settings(max_examples=60)
@given(texts=toml_texts())
def test_the_line_holds_the_key(newline, texts):
    text, tables = texts[0].replace("\n", newline), texts[1]
    assert tomllib.loads(text) == tables, "the generator writes what it means"
    places, lines = Places(text), text.split("\n")
    for path in paths_in(tables):
        line = places.line_of(path)
        assert line is not None, path
        last = path[-1]
        if isinstance(last, str):
            assert key_text(last) in lines[line - 1], path
        elif not isinstance(at(tables, path), dict | list):
            value = at(tables, path)
            spelt = key_text(value) if isinstance(value, str) else str(value).lower()
            assert spelt.strip('"') in lines[line - 1], path
