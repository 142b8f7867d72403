"""What is not TOML is told in a sentence, on the line where the broken statement begins."""

import pytest

from witnessmark.documents import Faulty, toml_from


def says(text: str) -> str:
    with pytest.raises(Faulty) as raised:
        toml_from(text, "c.toml")
    assert len(raised.value.faults) == 1
    return raised.value.faults[0].says


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            '[piece]\nkind = "chest\n',
            "c.toml, line 2: found “kind = \"chest”; expected no line break or control character inside quotes: "
            "close them, or use three.",
        ),
        (
            "[piece]\nkind = chest\n",
            "c.toml, line 2: found “kind = chest”; expected a value: text in quotes, a number, true or false, "
            "a day such as 2026-11-25, or a list in [ ].",
        ),
        (
            "[piece]\nkind\n",
            "c.toml, line 2: found “kind”; expected one “key = value” a line.",
        ),
        (
            '[piece]\nkind = "chest" "box"\n',
            "c.toml, line 2: found “kind = \"chest\" \"box\"”; expected one “key = value” a line, text in quotes.",
        ),
        (
            'a = 1\nb = 2\na = [\n 1,\n 2,\n]\n',
            "c.toml, line 3: found “a = [”; expected each key once: this one already has a value; "
            "it went wrong by line 6.",
        ),
        (
            "[piece]\na = 1\n[finish]\n[piece]\nb = 1\n",
            "c.toml, line 4: found “[piece]”; expected the table piece once; several alike are each headed [[piece]].",
        ),
        (
            'show = [\n  "top",\n  "front"\nkind = "chest"\n',
            "c.toml, line 1: found “show = [”; expected the list closed with ], its items parted by commas; "
            "it went wrong by line 4.",
        ),
        (
            'a = 1\nnote = """so it goes\nand on\n',
            "c.toml, line 2: found “note = \"\"\"so it goes”; expected the quotes closed where the text ends.",
        ),
        (
            "came_on = 2026-13-40\n",
            "c.toml, line 1: found “came_on = 2026-13-40”; expected a day that exists, such as 2026-11-25.",
        ),
        (
            'file = "C:\\pictures"\n',
            "c.toml, line 1: found “file = \"C:\\pictures\"”; expected a backslash in text doubled, or the text in "
            "single quotes.",
        ),
        ('{"schema": 1}', "c.toml: found “{\"schema\": 1}”; expected TOML: this looks like JSON."),
        ('[ {"schema": 1} ]', "c.toml: found “[ {\"schema\": 1} ]”; expected TOML: this looks like JSON."),
        ("\x89PNG\0\0", "c.toml: found “a byte 0”; expected text: this looks like a picture or a program."),
        (
            "a = " + "[" * 5000 + "]" * 5000,
            "c.toml: found “lists in lists in lists”; expected lists nested two or three deep.",
        ),
    ],
)  # fmt: skip
def test_the_sentence(text, sentence):
    assert says(text) == sentence


def test_a_number_of_thousands_of_digits_is_no_traceback():
    assert "expected numbers a person would write" in says("a = " + "9" * 5000)


@pytest.mark.parametrize("text", ["\ufeffa = 1\n", "a = 1\r\n", "\n\n  a=1"])
def test_marks_and_line_ends_of_other_editors_are_read(text):
    assert toml_from(text, "c.toml") == {"a": 1}


def test_a_long_line_is_shown_short():
    found = says("a = " + "x" * 500).split("“")[1].split("”")[0]
    assert len(found) == 80
    assert found.endswith("…")
