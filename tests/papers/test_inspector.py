"""What an inspector is shown: labels of the jars we fill, litres out against the cabinet, waste by kind and carrier."""

import re
from dataclasses import replace
from functools import cache

import pytest

from papers.chest import NOW, chest, shop
from papers.reading import pages, words
from papers.work_done import plan
from pieces import piece
from pieces import shop as demo_shop
from witnessmark.daybook import DayBook
from witnessmark.materials import material
from witnessmark.papers import chosen_papers
from witnessmark.papers.solvents import worded
from witnessmark.plan import plan_piece
from witnessmark.quantities import Temperature, Volume
from witnessmark.safety import cabinet_limits, listed_solvents, solvents_in
from witnessmark.shop import shop_from, shop_text
from witnessmark.sources import given, table
from witnessmark.treatment import Need

SHELF = '[[cupboard]]\nmaterial = "{0}"\nvolume = "{1}"\n'


def with_shelves(*shelves: tuple[str, str], cabinet: str = "", region: str = "UK"):
    text = shop_text(shop(words=region))
    room = f'[[room]]\nname = "bench room"\ncabinet = "{cabinet}"\n' if cabinet else ""
    return shop_from(text + room + "".join(SHELF.format(*one) for one in shelves), "shop.toml")


def said(title: str, **changed) -> str:
    """The text of the leaf, and of those it runs on to. Only waste goes by the steps: the rest is quicker without."""
    steps = {} if title.startswith("Waste") else {"steps": ()}
    pdf = chosen_papers([chest(**{**steps, **changed})], DayBook(), ["solvent_sheet"])["solvent-sheet.pdf"]
    every = pages(pdf)
    first = next(at for at, page in enumerate(every) if title in page.splitlines()[1])
    return " ".join(" ".join(every[first:]).split())


@cache
def leaves() -> str:
    return words(chosen_papers([plan()], DayBook(), ["solvent_sheet"])["solvent-sheet.pdf"])


# ---- labels of jars we fill ----


def test_a_label_for_each_jar_that_is_mixed_and_none_for_one_off_the_shelf():
    mixed = [mix for mix in chest().mixes if mix.from_shelf is None]
    told = said("Jar labels")
    assert mixed
    assert told.count("Mixed by") == len(mixed)
    none = tuple(replace(mix, from_shelf="A") for mix in chest().mixes)
    assert "Nothing is to be mixed" in said("Jar labels", mixes=none)


def test_a_label_of_spirit_says_what_it_can_do_when_it_was_mixed_and_what_prevails():
    told = said("Jar labels")
    for words_of_it in (
        "DANGER", "Highly flammable liquid and vapour (H225).", "Causes serious eye irritation (H319).",
        "No flame, no spark, no smoking. Lid on.", "Holds ethanol (CAS 64-17-5), flashes at 13 °C.", "To be mixed",
        "Ready", "Best before", "Mixed on", "Mixed by",
        "The maker’s label and safety data sheet of what went in prevail.",
    ):  # fmt: skip
        assert words_of_it in told


def test_glue_needs_no_signal_word_and_says_that_it_scalds():
    glue = replace(chest().mixes[0], material="hide_glue_hot", name="Hide glue, hot")
    told = said("Jar labels", mixes=(glue,))
    assert "Hot glue scalds" in told.split("Litres out")[0]
    assert "DANGER" not in told.split("Litres out")[0]


def test_a_mix_by_the_name_of_its_family_holds_the_same_solvent():
    assert solvents_in("shellac") == solvents_in("shellac_french_polish") == ("ethanol",)
    assert solvents_in("stain_water_dye") == solvents_in("hide_glue_hot") == ()


def test_every_solvent_has_its_signal_word_and_orders():
    # UN GHS, annex 3: flammable liquids of categories 1 and 2 (H224, H225) carry Danger, of category 3 (H226) Warning;
    # from memory.
    for key, row in listed_solvents().items():
        told = worded(row)
        codes = row.keys_in("ghs_h_codes")
        assert told.orders, key
        if "H225" in codes:
            assert told.signal == "Danger", key
    assert worded(listed_solvents()["n_butyl_acetate"]).signal == "Warning"
    assert worded(listed_solvents()["dichloromethane"]).signal == "Warning"


# ---- litres out against the cabinet ----


def test_what_is_out_is_the_cupboard_what_is_bought_and_what_flakes_add():
    told = said("Litres out", at=with_shelves(("meths", "3 l"), ("white spirit", "1.5 l")), shopping=(), mixes=())
    assert "flashes up to 32 °C 3 l 50 l in one workroom" in told
    assert "flashes up to 60 °C 1.5 l 250 l in one workroom" in told
    assert "Out at most 4.5 l" in told


def test_the_spirit_of_a_mix_is_counted_once():
    (mix, *_) = chest().mixes
    told = said("Litres out", at=with_shelves(("meths", "3 l")), shopping=(), mixes=(mix,))
    assert f"{mix.name}".split(",")[0].lower() in told.lower()
    assert "beyond its spirit" in told
    out = re.search(r"Out at most (\d+(?:\.\d+)?) l", told)
    assert out
    assert 3 <= float(out[1]) < 4  # not three litres and the whole of the mix


@pytest.mark.parametrize(
    ("cabinet", "says"),
    [("50 l", "It holds all of this."), ("2 l", "It is too small by 1 l"), ("", "Nobody wrote down what the cabinet")],
)
def test_the_cabinet_is_held_against_it(cabinet, says):
    told = said("Litres out", at=with_shelves(("meths", "3 l"), cabinet=cabinet), shopping=(), mixes=())
    assert says in told
    assert "ask" in told.lower()


def test_more_than_is_printed_is_said_in_so_many_words():
    told = said("Litres out", at=with_shelves(("acetone", "51 l")), shopping=(), mixes=())
    assert "too much: take it out of the room" in told
    assert "too much" not in said("Litres out", at=with_shelves(("acetone", "50 l")), shopping=(), mixes=())


def test_what_nobody_measured_or_knows_is_said_and_not_counted():
    text = shop_text(shop()) + '[[cupboard]]\nmaterial = "meths"\n[[cupboard]]\nmaterial = "dragon\'s breath"\n'
    told = said("Litres out", at=shop_from(text, "s"), shopping=(), mixes=())
    assert "measure it:" in told
    assert "they are too low by it" in told
    assert "dragon's breath" in told


def test_flakes_paste_oil_and_water_are_no_flammable_liquids():
    text = shop_text(shop()) + '[[cupboard]]\nmaterial = "shellac flakes"\nmass = "1 kg"\n'
    shelves = with_shelves(("boiled linseed oil", "1 l"), ("PVA glue", "1 l"))
    for at in (shop_from(text, "s"), shelves):
        assert "No flammable liquid is written down" in said("Litres out", at=at, shopping=(), mixes=())


# Outside check: the printed limits. UK: HSE, Storage of flammable liquids in process areas, workrooms, laboratories and
# similar working areas: 50 litres of what flashes under the hottest the room gets, 250 litres of what flashes higher.
# US: 29 CFR 1910.106(d)(3)(i), 60 and 120 gallons in a cabinet; OSHA's letter of 31 August 1995 has litres.
@pytest.mark.parametrize(
    ("region", "flash", "litres"),
    [("UK", 13, 50), ("UK", 39, 250), ("UK", 61, None), ("US", 13, 227.1), ("US", 60, 227.1), ("US", 86, 454.2)],
)
def test_the_most_that_is_printed_for_a_flash_point(region, flash, litres):
    most = [one.most.value.litres for one in cabinet_limits(region) if one.holds(Temperature(flash))]
    assert most == ([] if litres is None else [litres])
    assert Volume(227.1).litres == pytest.approx(60 * 231 * 2.54**3 / 1000, abs=0.05)


# ---- waste ----


def waste(**changed) -> str:
    return said("Waste, by kind", **changed)


def step_with(*keys: str):
    (first, *_) = chest().steps
    needs = tuple(Need(key, material(key).name, given("asked", Volume(0.1))) for key in keys)
    return (replace(first, step=replace(first.step, needs=needs, task=None)),)


@pytest.mark.parametrize(
    ("keys", "kinds", "not_kinds"),
    [
        (("boiled_linseed_oil",), ["Rags and papers with oil"], ["with spirit", "resins"]),
        (("ethanol_denatured",), ["with spirit or thinner", "Used spirit"], ["Rags and papers with oil"]),
        (("turpentine_gum",), ["Rags and papers with oil", "Used spirit"], ["resins"]),
        (("oxalic_acid",), ["Bleach, acid and caustic"], ["Used spirit"]),
        (("stripper_dcm",), ["Chlorinated solvent", "Softened old finish"], []),
        (("epoxy",), ["Two-part resins"], ["Used spirit"]),
        (("hide_glue_hot",), ["Left-over glue"], ["Used spirit", "Rags"]),
        (("steel_wool_0000",), ["Worn wire wool"], ["Used spirit"]),
    ],
)
def test_each_material_leaves_its_own_kind_of_waste(keys, kinds, not_kinds):
    told = waste(steps=step_with(*keys))
    assert all(kind in told for kind in kinds)
    assert not any(kind in told for kind in not_kinds)


def test_no_work_no_waste():
    assert "This plan leaves no waste that needs a carrier" in waste(steps=())


def test_old_paint_is_lead_waste_even_before_anything_is_done_to_it():
    dresser = plan_piece(piece("dresser"), demo_shop(), DayBook(), NOW)
    told = words(chosen_papers([dresser], DayBook(), ["solvent_sheet"])["solvent-sheet.pdf"])
    assert "marked “lead paint waste”" in told
    assert "lead paint waste" not in waste()


def test_every_kind_has_a_carrier_line_and_every_rule_is_of_a_known_material_and_finding():
    findings = {row.key for row in table("safety", "findings.csv")}
    for row in table("papers", "waste.csv"):
        assert row.keys_in("materials") or row.keys_in("found") or row["dust"]
        assert all(material(key) for key in row.keys_in("materials"))
        assert set(row.keys_in("found")) <= findings
    told = leaves()
    for head in ("How much", "Carrier, note", "Day", "Signed"):
        assert head in told


def test_a_us_shop_reads_gallons_of_the_us_rule_and_asks_the_fire_marshal():
    us = with_shelves(("denatured alcohol", "3 l"), region="US")
    told = said("Liters out", at=us, shopping=(), mixes=())
    assert "the fire marshal" in told
    assert "in one cabinet" in told


@pytest.mark.parametrize("region", ["UK", "US"])
def test_a_sheet_is_one_page_with_its_air_and_its_lines_to_sign(region):
    at = demo_shop()
    at = at.model_copy(update={"shop": at.shop.model_copy(update={"words": type(at.shop.words)(region)})})
    every = pages(chosen_papers([plan_piece(piece("chest"), at, DayBook(), NOW)], DayBook(), ["solvent_sheet"])
                  ["solvent-sheet.pdf"])  # fmt: skip
    sheets = [page for page in every if "Solvent sheet: " in page]
    assert len(sheets) > 2
    for sheet in sheets:
        assert "Room kept shut" in sheet
        assert "Fan on before the lid comes off" in sheet or "ppm on average" in sheet
        assert "What was done" in sheet
        assert "Checked by" in sheet


def test_a_sheet_without_a_measured_room_says_what_the_sum_wants():
    assert "The sum of air is wanting: it needs the room’s length, width and height." in leaves()
