"""`tell date` and `mark` as the outside meets them."""

import json
import xml.etree.ElementTree as ET

import pytest

from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run

KEYS = {
    "candidates", "none_of_these", "group", "readings", "conflicts", "next", "range50", "range90", "stories", "parts",
    "ticket",
}  # fmt: skip
SURVEY = """
schema = 1
id = "01930000-0000-7000-8000-000000000001"

[piece]
kind = "chest"
region = "UK"

[[part]]
code = "UP"
name = "Upper chest"

[[part]]
code = "UD1"
name = "Drawer"
of = "UP"

[[part]]
code = "LO"
name = "Lower chest"

[[reading]]
about = "date"
feature = "drawer_edge_lip"
part = "UD1"

[[reading]]
about = "date"
feature = "leg_cabriole_uk"
part = "UP"

[[reading]]
about = "date"
feature = "dovetail_machine_uk"
part = "LO"

[[reading]]
about = "date"
feature = "saw_band"
part = "LO"

[[reading]]
about = "date"
feature = "screw_cross_recess"
part = "LO"
later = "yes"
"""


@pytest.fixture
def ask(capsys):
    def asked(*words):
        code = run(witnessmark, list(words))
        said = capsys.readouterr()
        return code, said.out, said.err

    return asked


@pytest.fixture
def result(ask):
    def answered(*words):
        code, out, err = ask(*words, "--json")
        assert (code, err) == (0, ""), out
        return json.loads(out)["result"]

    return answered


def test_the_result_has_the_contract_keys(result):
    found = result("tell", "date", "--seen", "screw_lathe_blunt", "--not", "saw_circular", "--unsure",
                   "plate_oval_stamped", "--region", "UK", "--style", "uk_regency")  # fmt: skip
    assert set(found) >= KEYS
    assert sum(one["probability"] for one in found["stories"]) == pytest.approx(1)
    assert {"key", "name", "probability"} == set(found["candidates"][0])
    assert [one["state"] for one in found["readings"]] == ["seen", "not", "unsure"]
    assert all({"key", "state", "ratio", "says"} <= set(one) for one in found["readings"])
    assert all({"look", "gain", "harm", "minutes"} <= set(one) for one in found["next"])
    assert found["range90"][0] <= found["range50"][0] <= found["range50"][1] <= found["range90"][1]


def test_a_style_alone_is_an_answer_and_says_so(ask):
    code, out, _ = ask("tell", "date", "--style", "Regency", "--region", "UK")
    assert code == 0
    assert "by its style alone" in out
    assert "weakest evidence" in out


def test_nothing_at_all_asks_for_something(ask):
    code, _, err = ask("tell", "date")
    assert code == 2
    assert "a survey, a --seen KEY or a --style" in err


def test_a_printed_date_goes_with_an_equals_sign(result):
    found = result("tell", "date", "--seen", "lining_printed_date@drawer linings=1931", "--seen", "cockbead_drawer",
                   "--seen", "dovetail_fine_hand_uk", "--style", "uk_sheraton", "--region", "UK")  # fmt: skip
    assert "the drawer linings, 1931 or later, date the linings" in found["ticket"]
    assert "%" not in found["ticket"]
    linings = next(one for one in found["parts"] if one["part"] == "drawer linings")
    assert (linings["from"], linings["to"]) == (1931, None)


def test_a_number_of_a_mark_is_looked_up(result):
    found = result("tell", "date", "--seen", "mark_uk_rd_no=123456", "--region", "UK")
    assert "1889" in found["readings"][0]["says"]


def test_a_carved_date_is_read_and_not_weighed(ask):
    code, out, _ = ask("tell", "date", "--seen", "carved_date=1653", "--seen", "wood_mahogany", "--region", "UK")
    assert code == 0
    assert "a carved date dates nothing by itself" in out


def test_later_and_older_say_what_the_eye_says(result):
    plain = result("tell", "date", "--seen", "nail_wrought", "--seen", "screw_cross_recess")
    later = result("tell", "date", "--seen", "nail_wrought", "--seen", "screw_cross_recess", "--later",
                   "screw_cross_recess")  # fmt: skip
    assert later["range50"][1] <= plain["range50"][1]
    screws = next(one for one in later["parts"] if one["part"] == "screws")
    assert screws["later"] == pytest.approx(1)
    assert (screws["from"], screws["to"]) == (1936, None)
    assert result("tell", "date", "--later", "screw_cross_recess")["readings"][0]["key"] == "screw_cross_recess"
    older = result("tell", "date", "--seen", "nail_wire_us", "--older", "nail_wrought", "--region", "US")
    assert next(one for one in older["parts"] if one["part"] == "nails")["older"] == pytest.approx(1)


def test_a_survey_says_which_half_carries_what(result, tmp_path):
    file = tmp_path / "tallboy.toml"
    file.write_text(SURVEY)
    found = result("tell", "date", str(file))
    assert found["stories"][0]["key"] == "marriage"
    assert found["associated"]["half"] == "lower"
    said = ("drawer_edge_lip@upper", "dovetail_machine_uk@upper", "leg_cabriole_uk@lower", "saw_band@lower")
    mixed = result("tell", "date", "--region", "UK", *(word for key in said for word in ("--seen", key)))
    assert mixed["stories"][0]["key"] == "later_style"


def test_looks_at_the_story_are_read_too(result):
    found = result("tell", "date", "--seen", "halves differ", "--seen", "polish_under_upper", "--not",
                   "one_hand_throughout")  # fmt: skip
    assert found["stories"][0]["key"] == "marriage"
    assert {one["key"] for one in found["readings"]} == {"halves_differ", "polish_under_upper", "one_hand_throughout"}


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--seen", "screw_gimlit_point"), "Did you mean “screw_gimlet_point”?"),
        (("--seen", "mahogany"), "one of wood_mahogany_uk, wood_mahogany_us"),
        (("--style", "uk_regencey"), "Did you mean “uk_regency”?"),
        (("--seen", "inscription_dated"), "found no date"),
        (("--seen", "inscription_dated=old"), "a year such as 1871"),
        (("--seen", "polish_under_upr"), "Did you mean “polish_under_upper”?"),
        (("--seen", "holes_match=perhaps"), "yes or no"),
        (("--seen", "=1"), "KEY or KEY=STATE"),
        (("--region", "FRA", "--style", "uk_regency"), "one of UK, US, FR, DE, any"),
    ],
)
def test_bad_words_are_answered(ask, words, says):
    code, _, err = ask("tell", "date", *words)
    assert code == 2
    assert says in err


def test_all_faults_are_told_at_once(ask):
    _, out, _ = ask("tell", "date", "--seen", "nonsense_one", "--seen", "nonsense_two", "--style", "nonsense", "--json")
    assert [fault["where"] for fault in json.loads(out)["faults"]] == ["--seen", "--seen", "--style"]


def test_the_drawing_is_written_where_asked(ask, tmp_path):
    file = tmp_path / "evidence.svg"
    code, _, _ = ask("tell", "date", "--seen", "nail_wrought", "--picture", str(file))
    assert code == 0
    assert ET.parse(file).getroot().tag.endswith("svg")


def test_a_drawing_that_can_not_be_written_is_said(ask, tmp_path):
    code, _, err = ask("tell", "date", "--seen", "nail_wrought", "--picture", str(tmp_path / "no" / "such.svg"))
    assert code == 2
    assert "--picture" in err


@pytest.mark.parametrize(
    ("words", "not_before"),
    [
        (("Pat. No. 1,234,567",), 1917), (("Des. Pat. 12,345",), 1881), (("Rd No 123456",), 1889),
        (("--lozenge", "class II, top A, left D, right 12, bottom 3"), "1845-09-12"),
    ],
)  # fmt: skip
def test_marks_by_the_contract(result, words, not_before):
    found = result("mark", *words)
    assert found["not_before"] == not_before
    assert found["reads"]


def test_a_mark_that_is_none_is_refused_in_words(ask):
    code, _, err = ask("mark", "a nice chest")
    assert (code, "found no mark that we know" in err) == (2, True)
    code, _, err = ask("mark")
    assert (code, "or --lozenge" in err) == (2, True)
