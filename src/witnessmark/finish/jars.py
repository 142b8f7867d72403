"""A mix in its jar: how long it dissolves, how often it is stirred, and in what warmth, how long it keeps."""

from witnessmark.quantities import Span, Temperature
from witnessmark.sources import Figure, row


def _figure(key: str, column: str, kind: type[Temperature] | None = None) -> Figure:
    cells = row("finish", "shellac_properties.csv", key)
    figure = cells.figure(column, kind or {"h": Span.hours, "month": _months}[cells["unit"]])
    assert figure is not None, f"{cells.table}, line {cells.line}, {column}: no figure"
    return figure


def _months(number: float) -> Span:
    return Span.days(number * 365.25 / 12)


def dissolving_time() -> Figure:
    """How long whole flakes stand in alcohol until the mix is ready. Ground to powder: a few hours."""
    return _figure("dissolve_time_whole_flakes", "typical")


def stirring_interval() -> Figure:
    """How often a mix is stirred or shaken while somebody is there."""
    return _figure("stir_interval_while_dissolving", "typical")


def dissolving_temperature() -> Figure:
    """Below this flakes hardly dissolve. Warm the jar in water only, never over heat."""
    return _figure("dissolve_min_temperature_alcohol_and_flakes", "min", Temperature)


def keeps_for() -> Figure:
    """How long a mix is trusted, by the most careful source; another says a year. A drop on glass decides."""
    return _figure("shelf_life_mixed_flakes_dissolved_in_alcohol", "typical")
