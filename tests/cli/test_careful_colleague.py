"""Five pieces a careful colleague is asked about, and what is said of each on the screen: that, and no more."""

import json

import pytest

from pieces import DEMO
from witnessmark.cli import witnessmark
from witnessmark.cli.frame import run

NOW = ("--now", "2026-11-25T08:00+00:00")
HEAD = 'schema = 1\nid = "0190a5b2-0000-7000-8000-00000000c00{0}"\n[piece]\n'
MIRROR = """kind = "mirror"
title = "Pier glass"
made = "{made}"
size = "700 x 60 x 1400 mm"
[finish]
kind = "gilding"
[[part]]
code = "PLATE"
name = "plate"
shape = "mirror"
size = "1200 x 600 x 4 mm"
[[condition]]
term = "desilvering"
part = "PLATE"
"""
CADDY = """kind = "box"
title = "Tea caddy"
made = "{made}"
size = "300 x 160 x 180 mm"
[finish]
kind = "french polish"
[[part]]
code = "ESC"
name = "escutcheon"
material = "ivory"
size = "20 x 15 x 2 mm"
"""
TALL = """kind = "chest"
title = "Tall chest"
made = "about 1780"
size = "600 x 450 x 1500 mm"
weight = "55 kg"
show_wood = "oak"
[finish]
kind = "wax"
[[part]]
code = "DR"
name = "drawer"
count = 6
shape = "frame"
size = "550 x 420 x 200 mm"
weight = "4 kg"
"""
TABLE = """kind = "table"
title = "Oak table"
show_wood = "white oak"
[finish]
kind = "wax"
[[part]]
code = "TOP"
name = "top"
shape = "board"
size = "1500 x 800 x 22 mm"
wood = "white oak"
[[part]]
code = "RAIL"
name = "end rail"
wood = "white oak"
size = "760 x 100 x 22 mm"
[[joint]]
code = "J1"
parts = ["TOP", "RAIL"]
held = ["screwed"]
state = "tight"
{more}
"""
WEEKS = """
[[moisture]]
part = "RAIL"
at = 2026-11-{day}T09:00:00Z
weight = "{grams} g"
"""
READ = '\n[[reading]]\nabout = "date"\nfeature = "{0}"\nlater = "no"\n'


@pytest.fixture
def ask(capsys, tmp_path):
    def asked(command: str, text: str, *words: str) -> str:
        file = tmp_path / "piece.toml"
        file.write_text(HEAD.format(1) + text, "utf-8")
        code = run(witnessmark, [command, str(file), *words])
        said = capsys.readouterr()
        assert code == 0, said.out + said.err
        return said.out + said.err

    return asked


# ---- a tin-mercury mirror ----


def test_a_tin_mercury_mirror_is_stopped_at_its_plate_and_told_how_to_settle_it(ask):
    said = ask("hazards", MIRROR.format(made="about 1790"))
    assert "Stop: the mirror plate may be backed with tin and mercury (PLATE)" in said
    assert "To settle it: look only" in said
    assert "mirror conservator" in said
    assert "lead" not in said


def test_a_late_mirror_is_only_glass(ask):
    said = ask("hazards", MIRROR.format(made="1950"))
    assert "mercury" not in said
    assert "Mind: an old plate of glass (PLATE)" in said


# ---- an ivory escutcheon to be sent abroad ----


def test_ivory_to_the_us_is_forbidden_in_the_first_line_and_what_else_binds_is_only_named(ask):
    said = ask("regulated", CADDY.format(made="about 1810"), "--to", "US", *NOW)
    assert said.startswith("Elephant ivory, UK to US: forbidden.")
    assert "Even were that lifted: R04" in said
    assert said.count("Allowed (ESC)") == 0  # an exemption that helps nothing is not held out
    assert "use bone, vegetable ivory" in said
    assert "check them" in said


def test_an_exemption_does_not_rest_on_readings_alone(ask):
    late = "".join(READ.format(one) for one in ("screw_cross_recess", "sec_plywood_drawer"))
    early = READ.format("screw_lathe_blunt")
    unsaid = ask("regulated", CADDY.format(made="don't know") + early, *NOW)
    assert "no exemption rests on readings alone" in unsaid
    assert "UK: ask." in unsaid
    wider = ask("regulated", CADDY.format(made="1810") + late, *NOW)
    assert "the wider of the two is taken, 1810 to" in wider
    assert "UK: ask." in wider
    given = ask("regulated", CADDY.format(made="1810") + late, "--year", "1810", *NOW)
    assert "the wider of the two" not in given  # what is given on the line is what somebody vouches for


# ---- a closed winter shop with half a litre of spirit on a top ----

SPIRIT = ("air", "--solvent", "meths", "--amount", "500 ml", "--over", "45 min", "--room", "50 m3")


def said_of_air(capsys, *more: str) -> str:
    assert run(witnessmark, [*SPIRIT, *more]) == 0
    return capsys.readouterr().out


def test_a_closed_shop_is_stopped_and_stays_so(capsys):
    said = said_of_air(capsys, "--fan", "0 m3/h")
    assert said.startswith("Stop: Don't do this in a room kept shut")
    assert "1. Open less at once" in said
    assert "Kept shut it stays there: no sanding, stove or spark in it and nobody asleep above it" in said
    assert "With 0" not in said


def test_with_a_fan_it_says_when_to_sand_and_when_to_sleep_above(capsys):
    said = said_of_air(capsys, "--fan", "300 m3/h")
    assert "No sanding, stove or spark in it for" in said
    assert "Nobody sleeps above it for" in said
    assert run(witnessmark, [*SPIRIT, "--fan", "300 m3/h", "--json"]) == 0
    found = json.loads(capsys.readouterr().out)["result"]
    assert 0 < found["again"]["value"] < found["clear"]["value"]


# ---- a tall chest with all drawers open ----


def test_a_tall_chest_tips_with_its_drawers_open(ask):
    said = ask("tip", TALL)
    assert said.startswith("Stop: It may fall on a child")
    assert "1 drawer open and a child's weight on one" in said
    assert "6 drawers open and a child's weight on one: margin 0.77, it tips" in said


def test_a_drawer_that_was_weighed_weighs_what_it_weighs(ask):
    said = ask("lift", TALL)
    assert "drawer DR: about 4.0 kg, one person" in said
    assert "case, drawers out: about 31 kg" in said


def test_the_room_of_drawers_that_cant_be_told_is_said_to_be_so(ask):
    said = ask("clearance", TALL, *NOW)
    assert "can't be told yet" in said
    assert "No drawers" not in said


# ---- a panel against its fixings, and whether it is in condition ----


def test_a_board_of_which_nobody_said_how_it_is_held_is_asked_about(ask):
    said = ask("clearance", TABLE.format(more=""), *NOW)
    assert "J1: say of each whether it holds its board across the grain" in said
    held = ask("clearance", TABLE.format(more='across_grain = "yes"\nslack = "0 mm"'), *NOW)
    assert "TOP at J1 moves" in held
    assert "free it before closing any split" in held
    assert "say of each" not in held


@pytest.mark.parametrize(("grams", "flat"), [((700, 700, 700), True), ((760, 735, 712), False)])
def test_the_weekly_weight_says_whether_it_is_flat(ask, grams, flat):
    weeks = "".join(WEEKS.format(day=day, grams=one) for day, one in zip(("04", "11", "18"), grams, strict=True))
    said = ask("clearance", TABLE.format(more="") + weeks, *NOW)
    assert "RAIL, by weight" in said
    assert ("not flat yet" not in said) is flat


# ---- the lead-painted dresser ----


def test_the_dresser_is_stopped_dry_and_hot_and_each_finding_has_its_own_orders(capsys):
    assert run(witnessmark, ["hazards", str(DEMO / "dresser.toml"), "--json"]) == 0
    found = json.loads(capsys.readouterr().out)
    rows = {row["key"]: row for row in found["result"]}
    assert rows["old_lead_paint"]["level"] == "Stop"
    assert rows["overpaint_unknown"]["level"] == "Mind"
    assert rows["overpaint_unknown"]["do"].startswith("Find out whether old paint is there")
    assert [line[:4] for line in found["cautions"]] == sorted((line[:4] for line in found["cautions"]), reverse=True)


# ---- a blend ----


def test_a_blend_says_vapour_flash_evaporation_cost_and_the_standing_of_each(capsys):
    words = ["blend", "meths 100", "--dissolve", "shellac", "--shop", str(DEMO / "shop.toml")]
    assert run(witnessmark, words) == 0
    said = capsys.readouterr().out
    for line in ("Teas: fd 36 (computed), fp 18 (computed), fh 46 (computed).", "Take it to flash at 13 °C (published)",
                 "times as fast as butyl acetate (published)", "A litre of it costs £4.40", "limit 1,000 ppm",
                 "burns in air from 3.3 % (published)"):  # fmt: skip
        assert line in said
    assert run(witnessmark, [*words, "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["result"]["standings"] == dict.fromkeys(("fd", "fp", "fh"), "computed")
