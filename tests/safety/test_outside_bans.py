"""The dates of the bans, against the law itself. Local codes and licensed practice prevail over all of it."""

import pytest

from witnessmark.materials import fits
from witnessmark.safety import Level, Task, cautions_for
from witnessmark.sources import bibliography, row


@pytest.mark.parametrize(
    ("hazard", "year", "source"),
    [
        # 16 CFR 1303.1 and 1303.4: paint and furniture with more than 0.06 % lead made after 27 February 1978.
        ("H01", 1978, "cfr_16_1303"),
        # Environmental Protection (Controls on Injurious Substances) Regulations 1992: in force 28 February 1992.
        ("H03", 1992, "uk_lead_1992"),
        # Hadsund 1993: tin-mercury mirrors from the 16th century until about 1900.
        ("H06", 1900, "hadsund_1993"),
        # Asbestos (Prohibitions) (Amendment) Regulations 1999, SI 1999/2373: in force 24 November 1999.
        ("H10", 1999, "uksi_1999_2373"),
    ],
)
def test_the_last_year_of_danger(hazard, year, source):
    rule = row("safety", "hazards.csv", hazard)
    assert rule.number("trigger_to_year") == year
    assert source in rule.keys_in("source_key")
    assert source in bibliography()


# Flash points, closed cup, NIOSH Pocket Guide: what vapour lights at a warm room's temperature is said to be flammable.
@pytest.mark.parametrize("flammable", ["ethanol", "acetone", "toluene", "turpentine_gum", "n_butyl_acetate"])
def test_what_flashes_under_38_degrees_is_kept_from_sparks(flammable):
    assert fits("any_solvent_flash_below_38c", flammable)
    assert "flammable_vapour" in {c.key for c in cautions_for(Task("x", (flammable,)), at_most=None)}


# Bleach and acid give chlorine, bleach and ammonia chloramines: label wording EUH031 of Regulation (EC) 1272/2008 for
# hypochlorite (“contact with acids liberates toxic gas”); ammonia from memory.
@pytest.mark.parametrize("other", ["oxalic_acid", "citric_acid", "acetic_acid", "ammonia_water"])
def test_bleach_meets_neither_acid_nor_ammonia(other):
    first = cautions_for(Task("x", ("sodium_hypochlorite", other)))[0]
    assert first.level is Level.STOP
    assert first.says.startswith("Never let chlorine bleach meet")


def test_dichloromethane_is_stopped():
    # US: 40 CFR 751.105, no sale to consumers since 2019; EU and UK: REACH annex XVII entry 59.
    first = cautions_for(Task("strip", ("stripper_dcm",)))[0]
    assert (first.key, first.level) == ("dichloromethane", Level.STOP)
