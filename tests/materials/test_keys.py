"""What a restorer types reaches the right key, or a clear question."""

import csv
from importlib import resources

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from witnessmark.materials import (
    AmbiguousName,
    UnknownName,
    default_for,
    family_of,
    fits,
    material,
    material_keys,
    material_named,
    members_of,
    wood,
    wood_keys,
    wood_named,
)


def spellings(table: str) -> list[tuple[str, str]]:
    """Every name and alias in a table with the key it stands beside, read without our own code."""
    text = resources.files("witnessmark.materials").joinpath(table).read_text("utf-8")
    return [
        (spelling, row["key"])
        for row in csv.DictReader(text.splitlines())
        for spelling in [row["name"], row.get("name_us", ""), *row["aliases"].split(";")]
        if spelling
    ]


WOOD_SPELLINGS = spellings("woods.csv")
MATERIAL_SPELLINGS = spellings("materials.csv")
KEY_OF = {
    **{("wood", s): k for s, k in WOOD_SPELLINGS},
    **{("material", s): k for s, k in MATERIAL_SPELLINGS},
}


def named(what: str, text: str) -> str:
    return (wood_named if what == "wood" else material_named)(text).key


def test_every_name_and_alias_reaches_its_key():
    assert {spelling: named(*spelling) for spelling in KEY_OF} == KEY_OF


def test_no_name_stands_for_two_keys():
    for said in (WOOD_SPELLINGS, MATERIAL_SPELLINGS):
        keys: dict[str, set[str]] = {}
        for text, key in said:
            keys.setdefault(text.casefold(), set()).add(key)
        assert {text: found for text, found in keys.items() if len(found) > 1} == {}


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from(sorted(KEY_OF)),
    st.sampled_from([str.upper, str.title, lambda t: f"  {t} ", lambda t: t.replace(" ", "  ")]),
)
def test_case_and_spaces_do_not_matter(spelling, change):
    what, text = spelling
    assert named(what, change(text)) == KEY_OF[spelling]


@settings(max_examples=150, deadline=None)
@given(st.sampled_from(sorted(KEY_OF)))
def test_a_hyphen_for_a_space_leads_to_the_same_thing_or_to_a_question(spelling):
    what, text = spelling
    try:
        reached = {named(what, text.replace(" ", "-"))}
    except AmbiguousName as question:
        reached = {named(what, choice) for choice in question.choices}
    assert KEY_OF[spelling] in reached


# Common practice: the words are those of UK and US shops, from memory.
@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("meths", "ethanol_denatured"),
        ("Meths (UK)", "ethanol_denatured"),
        ("methylated spirits", "ethanol_denatured"),
        ("denatured alcohol", "ethanol_denatured"),
        ("white spirit", "mineral_spirits"),
        ("mineral spirits", "mineral_spirits"),
        ("turps substitute", "mineral_spirits"),
        ("turps", "turps_trade"),
        ("genuine turpentine", "turpentine_gum"),
        ("cellulose thinners", "lacquer_thinner"),
        ("button lac", "shellac_waxy"),
        ("blonde shellac", "shellac_dewaxed"),
        ("french polish", "shellac_french_polish"),
        ("shellac, dewaxed", "shellac_dewaxed"),
        ("linseed", "linseed_oil"),
        ("BLO", "boiled_linseed_oil"),
        ("hide glue", "hide_glue"),
        ("glue, hide", "hide_glue"),
        ("Scotch glue", "hide_glue"),
        ("pearl glue", "hide_glue"),
        ("beeswax", "beeswax"),
        ("wire wool", "steel_wool"),
        ("0000 steel wool", "steel_wool_0000"),
        ("varnishes", "oil_varnish"),
        ("wet & dry", "abrasive_paper"),
    ],
)
def test_shop_words(text, key):
    assert material_named(text).key == key


@pytest.mark.parametrize(
    ("text", "key"),
    [
        ("oak (European)", "oak_european"),
        ("Oak, European", "oak_european"),
        ("oak boards", "oak"),
        ("solid oak", "oak"),
        ("English walnuts", "walnut_european"),
        ("bird’s-eye maple", "maple_hard"),
        ("rose wood", "rosewood"),
        ("Quercus petraea", "oak_european"),
        ("oak_white_american", "oak_white_american"),
    ],
)
def test_yard_words(text, key):
    assert wood_named(text).key == key


def test_a_typed_redwood_is_the_trade_word_and_the_key_the_sequoia():
    assert wood_named("redwood", "UK").default == "pine_scots"
    assert wood_named("Redwoods", "US").default == "redwood"
    assert wood("redwood").name == "redwood (old-growth)"


def test_a_group_takes_the_wood_of_the_place():
    assert wood_named("oak", "UK").default == "oak_european"
    assert wood_named("oak", "us").default == "oak_white_american"
    assert default_for("oak", "GB") == default_for("oak", "UK")
    assert default_for("oak", "UK") == ("oak_european", "native oak of the place of making")
    assert wood_named("oak").is_group
    assert default_for("oak_european", "US") == ("oak_european", "")


def test_every_default_belongs_to_its_group():
    for key in (*wood_keys(), *material_keys()):
        for region in (None, "UK", "US", "FR", "DE"):
            default, reason = default_for(key, region)
            assert fits(key, default), (key, default)
            assert default_for(default) == (default, ""), (key, default)
            assert bool(reason) == (members_of(key) != (key,)), key


def test_names_follow_the_shop():
    assert material("mineral_spirits").called("US") == "mineral spirits"
    assert material("mineral_spirits").called("UK") == "white spirit"
    assert material("acetone").called("US") == "acetone"


def test_kinds_narrow_the_search_and_say_so():
    assert material_named("button lac", {"coating"}).key == "shellac_waxy"
    assert material_named("button lac flakes", ["binder"]).key == "shellac_flakes_waxy"
    assert material_named("turps", {"solvent"}).key == "turps_trade"
    with pytest.raises(UnknownName, match=r"“turps” is known as .* but here coating is wanted") as fault:
        material_named("turps", {"coating"})
    assert fault.value.found == "turps"


def test_a_slip_of_the_pen_is_answered_with_the_nearest():
    with pytest.raises(UnknownName, match=r"“mahogony” is not a wood we know. Nearest: mahogany") as fault:
        wood_named("mahogony")
    assert fault.value.found == "mahogony"
    assert fault.value.nearest[0] == "mahogany"
    with pytest.raises(UnknownName, match="Nearest: naphtha"):
        material_named("naptha")


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(sorted(KEY_OF)), st.integers(0, 30))
def test_whatever_is_offered_would_be_understood(spelling, where):
    what, text = spelling
    slip = text[: where % len(text)] + text[where % len(text) + 1 :]
    try:
        named(what, slip)
    except UnknownName as fault:
        offered = fault.nearest
    except AmbiguousName as question:
        offered = question.choices
        assert len(offered) > 1
    else:
        return
    for name in offered:
        named(what, name)


@pytest.mark.parametrize("text", ["", "   ", "()", "wood", "zzzzzz"])
def test_nothing_is_guessed_from_nothing(text):
    with pytest.raises(UnknownName):
        wood_named(text)


def test_half_a_name_is_a_question():
    with pytest.raises(AmbiguousName, match=r"could be more than one wood.*Write which") as question:
        wood_named("Spanish")
    keys = {wood_named(choice).key for choice in question.value.choices}
    assert keys == {"mahogany_cuban", "chestnut_sweet", "cedar_spanish"}


def test_a_rule_speaks_of_families_and_groups():
    assert fits("shellac", "shellac_wash_coat")
    assert fits("alcohol", "ethanol_denatured")  # two families up
    assert fits("any_solvent", "ethanol_denatured")
    assert fits("any_finish", "shellac_french_polish")  # a group within a group, by the family
    assert fits("rosewoods_listed", "rosewood_indian")  # a wood in a group of materials
    assert fits("oak", "oak_european")
    assert not fits("shellac_wash_coat", "shellac")
    assert not fits("any_old_finish", "wax")
    assert not fits("any_solvent", "water")
    assert family_of("shellac_wash_coat") == "shellac"
    assert family_of("shellac") == "shellac"
    assert family_of("oak_european") == "oak_european"


def test_a_key_nobody_has_is_no_silent_no():
    with pytest.raises(UnknownName, match="shellac"):
        fits("shelac", "shellac")
    with pytest.raises(UnknownName):
        fits("shellac", "shelac")
    with pytest.raises(UnknownName):
        members_of("oakk")


def test_groups_open_to_their_last_member():
    assert members_of("any_oil_paint_or_varnish") == ("oil_varnish", "polyurethane_oil", "oil_paint")
    assert members_of("shellac") == ("shellac",)
    for key in (*wood_keys(), *material_keys()):
        assert all(members_of(member) == (member,) for member in members_of(key))


def test_families_end():
    for key in material_keys():
        seen = {key}
        while (above := family_of(key)) != key:
            assert above not in seen
            seen.add(above)
            key = above
