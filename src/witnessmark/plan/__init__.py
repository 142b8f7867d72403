"""The plan: survey, shop, day book and an instant come in; one piece's whole plan goes out."""

from .outside import plan_as_json, plan_schema
from .piece_plan import Branch, Buy, Fact, Facts, MissingFact, Mix, PiecePlan, PlannedStep, Use, WayCosted
from .planning import plan_piece

__all__ = [
    "Branch", "Buy", "Fact", "Facts", "MissingFact", "Mix", "PiecePlan", "PlannedStep", "Use", "WayCosted",
    "plan_as_json", "plan_piece", "plan_schema",
]  # fmt: skip
