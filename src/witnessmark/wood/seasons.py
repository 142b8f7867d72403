"""How dry and how damp a house makes its furniture between winter and summer."""

from witnessmark.quantities import Percent
from witnessmark.sources import Figure, row

_HOUSES = {
    "US": ("us_home_winter_typical", "us_northern_summer"),
    "UK": ("uk_central_heated_winter", "uk_summer"),
}


def driest_and_dampest(region: str) -> tuple[Figure, Figure]:
    """Moisture content at the dry end of a heated winter and the damp end of summer, % of dry mass.

    For a region without rows of its own the UK house stands in. Source: `climate.csv`, planning assumptions.
    """
    winter, summer = _HOUSES.get(region, _HOUSES["UK"])
    dry = row("wood", "climate.csv", winter).figure("mc_low_pct", Percent, "mc")
    damp = row("wood", "climate.csv", summer).figure("mc_high_pct", Percent, "mc")
    if dry is None or damp is None:
        raise KeyError(f"wood/climate.csv: {winter} or {summer} gives no moisture content")
    return dry, damp
