"""Blends: shares, distances, the mildest of a shelf."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.finish import (
    BadBlend,
    Pour,
    cost_of_blend,
    distances,
    evaporation_of,
    flash_point_of,
    mildest,
    on_a_map,
    shares_of,
    teas_of,
)
from witnessmark.quantities import Currency, Money, Percent, Temperature, Volume
from witnessmark.sources import Standing, recomputed, table, table_of

approx = pytest.approx
SOLVENTS = [row.key for row in table("finish", "teas.csv", "material_key")]
BLENDS = st.lists(
    st.tuples(st.sampled_from(SOLVENTS), st.floats(1, 100)), min_size=1, max_size=3, unique_by=lambda one: one[0]
).map(shares_of)
SHELF = st.lists(st.sampled_from(SOLVENTS), min_size=1, max_size=4, unique=True)
SPARED = st.sampled_from(["linseed_oil_film", "beeswax", "nitrocellulose", "mastic"])


@given(BLENDS)
def test_a_blend_lies_between_its_solvents(blend):
    rows = {row.key: row for row in table("finish", "teas.csv", "material_key")}
    for axis, part in zip(("fd", "fp", "fh"), teas_of(blend), strict=True):
        ends = [rows[pour.solvent].number(f"teas_{axis}_pct") for pour in blend]
        assert min(ends) - 1e-9 <= part.value <= max(ends) + 1e-9


@given(st.lists(st.tuples(st.sampled_from(SOLVENTS), st.floats(0.1, 50)), min_size=1, max_size=4), st.floats(0.1, 20))
def test_only_the_shares_count(parts, times):
    one = [part.value for part in teas_of(shares_of(parts))]
    more = [part.value for part in teas_of(shares_of([(key, part * times) for key, part in parts]))]
    assert one == approx(more)


@settings(max_examples=30)
@given(SHELF, SPARED)
def test_the_mildest_is_never_nearer_to_what_it_must_spare(shelf, spare):
    # Nor is any other blend of that shelf that dissolves, tried in another order, farther off than the one chosen.
    offered = mildest(shelf, "shellac", [spare], at_most=99)
    assert all(before.spares >= after.spares for before, after in pairwise(offered))
    again = mildest(list(reversed(shelf)), "shellac", [spare], at_most=99)
    assert [one.spares for one in again] == approx([one.spares for one in offered])
    for one in offered:
        assert all(part.inside for part in distances(one.blend, "shellac", "dissolve"))
        assert one.spares == approx(min(part.margin for part in distances(one.blend, spare, "spare")))


@settings(max_examples=30)
@given(SHELF, SPARED, st.sampled_from(SOLVENTS))
def test_more_on_the_shelf_never_makes_the_mildest_harsher(shelf, spare, another):
    few, many = mildest(shelf, "shellac", [spare]), mildest([*shelf, another], "shellac", [spare])
    if few:
        assert many[0].spares >= few[0].spares - 1e-9


def test_spirit_is_the_mildest_for_shellac_on_an_oil_film():
    (first, *_) = mildest(["acetone", "ethanol", "mineral_spirits"], "shellac", ["linseed_oil_film"])
    assert first.blend == (Pour("ethanol", Percent(100)),)
    assert first.spares > 0


def test_nothing_on_a_shelf_of_hydrocarbons_dissolves_shellac():
    assert mildest(["mineral_spirits", "n_heptane", "toluene"], "shellac", []) == ()


def test_a_sphere_goes_before_a_region_and_where_there_is_none_it_says_so():
    (by_sphere,) = distances(shares_of([("acetone", 1)]), "nitrocellulose", "dissolve")
    (by_region,) = distances(shares_of([("ethanol", 1)]), "shellac", "dissolve")
    assert (by_sphere.by, by_region.by) == ("hansen", "teas")
    # A solvent without Hansen parameters throws even nitrocellulose back on the triangle.
    (thrown_back,) = distances(shares_of([("mineral_spirits", 1)]), "nitrocellulose", "dissolve")
    assert thrown_back.by == "teas"
    assert by_region.standing is Standing.FROM_MEMORY


def test_fresh_and_aged_are_told_apart():
    assert {one.state for one in distances(shares_of([("turpentine_gum", 1)]), "dammar", "dissolve")} == {
        "fresh",
        "aged",
    }


def test_a_blend_flashes_with_whichever_part_flashes_first():
    assert flash_point_of(shares_of([("ethanol", 70), ("mineral_spirits", 30)])).value == Temperature(13)
    assert flash_point_of(shares_of([("ethanol", 50), ("water", 50)])).value == Temperature(13)
    assert flash_point_of(shares_of([("water", 1)])) is None


def test_the_slowest_part_stays_longest():
    assert evaporation_of(shares_of([("acetone", 90), ("benzyl_alcohol", 10)])).value == 0.007


def test_a_litre_costs_its_shares_of_the_tins():
    def pounds(sum_):
        return Money(Decimal(sum_), Currency.GBP)

    tins = {"ethanol": (pounds("22"), Volume(5)), "mineral_spirits": (pounds("9.50"), Volume(2))}
    blend = shares_of([("ethanol", 70), ("mineral_spirits", 30)])
    # 0.7 × 22 ÷ 5 + 0.3 × 9.50 ÷ 2 = 3.08 + 1.425.
    assert cost_of_blend(blend, tins).value == pounds("4.505")
    assert cost_of_blend(shares_of([("acetone", 1)]), tins) is None


def test_a_solvent_named_twice_counts_once():
    assert shares_of([("ethanol", 30), ("acetone", 40), ("ethanol", 30)]) == (
        Pour("ethanol", Percent(60)), Pour("acetone", Percent(40)),
    )  # fmt: skip


@pytest.mark.parametrize("parts", [[], [("ethanol", 0)], [("ethanol", -1), ("acetone", 2)]])
def test_nothing_to_share_is_refused(parts):
    with pytest.raises(BadBlend, match="parts of more than nothing"):
        shares_of(parts)


def test_what_is_on_no_map_is_refused_with_what_there_is():
    with pytest.raises(BadBlend, match="shellac"):
        distances(shares_of([("ethanol", 1)]), "steel_wool", "spare")
    with pytest.raises(BadBlend, match="nobody's parameters"):
        teas_of(shares_of([("lacquer_thinner", 1)]))
    assert {"shellac", "linseed_oil_film", "poly_methyl_methacrylate"} <= set(on_a_map())


@settings(max_examples=30)
@given(BLENDS, st.sampled_from(["shellac", "nitrocellulose", "linseed_oil_film"]))
def test_every_distance_can_be_done_again(blend, material):
    for one in distances(blend, material, "spare"):
        flat = table_of([one.working, *teas_of(blend)])
        for working_id in flat:
            assert recomputed(flat, working_id)["value"] == approx(flat[working_id]["value"]["value"])
