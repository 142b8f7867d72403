"""Woods as the texts describe them, and our tables beside the reference they were copied from.

Each case is worded from a text: Noyes, Wood and Forest (1912), key after Roth;
Hoadley, Identification of Wood in Painting Panels (Getty, 1998), pp. 30-36; the Wood Handbook, ch. 2; Chudnoff,
Tropical Timbers (1984). Where a text says that the lens tells no more than the genus, the group must be said.
Our tables were read from the same texts, so a case shows that the sums give a text back, not that the woods are right.
"""

import csv
from pathlib import Path

import pytest

from witnessmark.materials import members_of
from witnessmark.sources import table
from witnessmark.wood import Seen, Whereabouts, tell_wood, wood_words

REFERENCE = Path(__file__).resolve().parents[3] / "shared" / "reference" / "wood"


ANYWHERE = Whereabouts()


def told(seen, about=ANYWHERE):
    return tell_wood([Seen(*wood_words().reading(*text.split("="))) for text in seen], about=about)


WOODS = [
    ("walnut_black", "semi ring porous; colour=chocolate brown; pores without lens=white dots; smell=mild"),  # Handbook
    ("yew", "porosity=softwood; resin canals=absent; spirals; colour=orange to reddish brown"),  # Hoadley p. 30
    ("redcedar_eastern", "porosity=softwood; resin canals=absent; smell=pencil; colour=purplish red"),  # Handbook
    ("douglas_fir", "porosity=softwood; resin canals=few; transition=abrupt; smell=resinous"),  # Handbook
    ("lignum_vitae", "diffuse porous; sinks or floats=sinks; feel=greasy; interlocked; colour=dark greenish brown"),
    ("teak", "semi ring porous; smell=leathery; feel=greasy; colour=golden brown"),  # Chudnoff
    ("box", "diffuse porous; texture=fine; colour=lemon yellow; hardness=no dent; heft=very heavy"),  # Hoadley p. 35
    (
        "oak_red_northern",
        "ring porous; rays=broad; latewood pores lens=distinct; plugs=sparse; fleck=large bold",
    ),  # Hoadley p. 32
]
GROUPS = [
    ("beech", "diffuse porous; rays=broad; fleck=medium dark; fleck spacing=scattered"),  # Hoadley p. 34
    ("plane", "diffuse porous; rays=broad; fleck=large bold; fleck spacing=crowded"),
    ("pine_soft", "porosity=softwood; resin canals=many; transition=gradual; resinous; hardness=dents easily"),
    ("rosewood", "diffuse porous; ripple marks; colour=purple brown with black streaks"),
]


@pytest.mark.parametrize(("wood", "seen"), WOODS, ids=[wood for wood, _ in WOODS])
def test_a_wood_the_lens_can_tell(wood, seen):
    found = told(seen.split("; ")).found
    assert next(iter(found.probabilities)) == wood
    assert found.told == wood


@pytest.mark.parametrize(("group", "seen"), GROUPS, ids=[group for group, _ in GROUPS])
def test_only_the_genus_where_the_text_says_no_more(group, seen):
    answer = told(seen.split("; "))
    first = next(iter(answer.found.probabilities))
    assert first in members_of(group)
    assert answer.group == group or (answer.found.told in members_of(group))


def test_elms_are_told_from_the_ring_porous_woods_by_their_wavy_bands():
    # Hoadley p. 32: latewood pores of elm and hackberry in wavy bands, the ulmiform pattern.
    first = list(told(["ring porous", "latewood pores=wavy bands"]).found.probabilities)[:4]
    assert {"elm_american", "elm_english", "hackberry"} <= set(first)


def test_the_marginal_line_speaks_for_american_mahogany():
    # Chudnoff; ident_features: the main lens test for American against African mahogany.
    plain = ["diffuse porous", "colour=reddish brown", "deposits=dark gum"]
    before, after = (told(seen).found.probabilities for seen in (plain, [*plain, "pale lines=one fine pale line"]))
    true = members_of("mahogany_true")
    assert sum(after[key] for key in true) > sum(before[key] for key in true)
    assert after["mahogany_african"] < before["mahogany_african"]


def test_deal_in_a_london_drawer_is_scots_pine():
    # Common practice: British carcases and linings are in red deal.
    about = Whereabouts("UK", (1800, 1820), "lining")
    answer = told(["porosity=softwood", "resin canals=many", "transition=abrupt", "resinous"], about)
    assert answer.found.told == "pine_scots"


# --- the reference ----------------------------------------------------------------------------------------------------


def reference(name):
    if not REFERENCE.is_dir():
        pytest.skip("the reference library is not beside this repository: ../shared/reference")
    with (REFERENCE / name).open(encoding="utf-8", newline="") as handle:
        return list(csv.DictReader(handle))


def test_identification_says_what_the_reference_says():
    theirs = [(row["key"], row["feature"], row["state"], row["frequency"], row["probability"], row["standing"])
              for row in reference("identification.csv")]  # fmt: skip
    ours = [(row["wood_key"], row["feature"], row["state"], row["frequency"], row["probability"], row["standing"])
            for row in table("wood", "identification.csv")]  # fmt: skip
    assert ours == theirs


def test_states_and_features_say_what_the_reference_says():
    theirs = reference("feature_states.csv")
    assert [(row["feature"], row["state"], row["iawa_number"], row["iawa_standing"], row["background"])
            for row in table("wood", "feature_states.csv")] == [
        (row["feature"], row["state"], row["iawa_number"], row["iawa_standing"], row["background_probability"])
        for row in theirs
    ]  # fmt: skip
    columns = {
        "exclusive": "states_exclusive", "applies_to": "applies_to", "background_over": "background_over",
        "unlisted_count_as": "unlisted_count_as", "harm_0_5": "harm_level_0_5",
        "harm_if_not_clean_0_5": "harm_if_no_clean_surface_0_5", "minutes": "minutes",
    }  # fmt: skip
    ours = {row.key: row for row in table("wood", "features.csv")}
    assert list(ours) == list(dict.fromkeys(row["feature"] for row in theirs))
    for row in theirs:
        for mine, other in columns.items():
            assert ours[row["feature"]][mine] == row[other], (row["feature"], mine)
