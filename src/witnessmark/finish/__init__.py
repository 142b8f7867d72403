"""Finish: tests of an old one go in, what it is comes out; and what coatings, glues and mixes take."""

from typing import TYPE_CHECKING, Any

from .adhesives import Adhesive, UnknownAdhesive, adhesive, adhesives
from .coatings import (
    PADDED,
    Coating,
    NoCoverage,
    UnknownCoating,
    brushed_shellac,
    coating,
    coatings,
    coatings_for,
    coverage_of,
    usual_cut,
)
from .jars import dissolving_temperature, dissolving_time, keeps_for, stirring_interval
from .mixes import (
    BadAmount,
    BadCut,
    BadSample,
    brush_transfer,
    brush_volume,
    by_simple_dilution,
    coats_from,
    cut_from_sample,
    film_rate,
    flakes_for,
    flakes_to_make,
    resin_density,
    rubber_charge,
    rubber_rate,
    rubber_volume,
    sessions_after_flattening,
    sessions_of,
    sessions_to_body_up,
    short_by,
    solvent_for,
    solvent_in,
    thinned_volume,
    to_thin,
    volume_of,
    volume_over,
    whole_coats,
)
from .spot_tests import SpotTest, spot_tests
from .strippers import Stripper, UnknownStripper, stripper, strippers

if TYPE_CHECKING:
    from .blends import BadBlend as BadBlend
    from .blends import Distance as Distance
    from .blends import Offered as Offered
    from .blends import Pour as Pour
    from .blends import cost_of_blend as cost_of_blend
    from .blends import distances as distances
    from .blends import evaporation_of as evaporation_of
    from .blends import flash_point_of as flash_point_of
    from .blends import mildest as mildest
    from .blends import on_a_map as on_a_map
    from .blends import shares_of as shares_of
    from .blends import sum_of_fractions as sum_of_fractions
    from .blends import teas_of as teas_of
    from .compatibility import LayerRule as LayerRule
    from .compatibility import Over as Over
    from .compatibility import Verdict as Verdict
    from .compatibility import layer_rules as layer_rules
    from .compatibility import over as over
    from .old_finish import WAX as WAX
    from .old_finish import Layer as Layer
    from .old_finish import OldFinishTold as OldFinishTold
    from .old_finish import Surface as Surface
    from .old_finish import Tried as Tried
    from .old_finish import by_finish as by_finish
    from .old_finish import finish_question as finish_question
    from .old_finish import finish_words as finish_words
    from .old_finish import old_finishes as old_finishes
    from .old_finish import survey_words as survey_words
    from .old_finish import tell_finish as tell_finish
    from .old_finish import told as told
    from .old_finish import tried_in as tried_in

# `mix` is quicker without these: telling an old finish brings the odds along, a blend its maps, a layer its rules.
_LATER = {
    "blends": (
        "BadBlend",
        "Distance",
        "Offered",
        "Pour",
        "cost_of_blend",
        "distances",
        "evaporation_of",
        "flash_point_of",
        "mildest",
        "on_a_map",
        "shares_of",
        "sum_of_fractions",
        "teas_of",
    ),
    "compatibility": ("LayerRule", "Over", "Verdict", "layer_rules", "over"),
    "old_finish": (
        "WAX",
        "Layer",
        "OldFinishTold",
        "Surface",
        "Tried",
        "by_finish",
        "finish_question",
        "finish_words",
        "old_finishes",
        "survey_words",
        "tell_finish",
        "told",
        "tried_in",
    ),
}
_HOMES = {name: module for module, names in _LATER.items() for name in names}

__all__ = [
    "PADDED",
    "WAX",
    "Adhesive",
    "BadAmount",
    "BadBlend",
    "BadCut",
    "BadSample",
    "Coating",
    "Distance",
    "Layer",
    "LayerRule",
    "NoCoverage",
    "Offered",
    "OldFinishTold",
    "Over",
    "Pour",
    "SpotTest",
    "Stripper",
    "Surface",
    "Tried",
    "UnknownAdhesive",
    "UnknownCoating",
    "UnknownStripper",
    "Verdict",
    "adhesive",
    "adhesives",
    "brush_transfer",
    "brush_volume",
    "brushed_shellac",
    "by_finish",
    "by_simple_dilution",
    "coating",
    "coatings",
    "coatings_for",
    "coats_from",
    "cost_of_blend",
    "coverage_of",
    "cut_from_sample",
    "dissolving_temperature",
    "dissolving_time",
    "distances",
    "evaporation_of",
    "film_rate",
    "finish_question",
    "finish_words",
    "flakes_for",
    "flakes_to_make",
    "flash_point_of",
    "keeps_for",
    "layer_rules",
    "mildest",
    "old_finishes",
    "on_a_map",
    "over",
    "resin_density",
    "rubber_charge",
    "rubber_rate",
    "rubber_volume",
    "sessions_after_flattening",
    "sessions_of",
    "sessions_to_body_up",
    "shares_of",
    "short_by",
    "solvent_for",
    "solvent_in",
    "spot_tests",
    "stirring_interval",
    "stripper",
    "strippers",
    "sum_of_fractions",
    "survey_words",
    "teas_of",
    "tell_finish",
    "thinned_volume",
    "to_thin",
    "told",
    "tried_in",
    "usual_cut",
    "volume_of",
    "volume_over",
    "whole_coats",
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
