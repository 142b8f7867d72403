"""The plan: survey, shop, day book and an instant come in; one piece's whole plan goes out."""

from .apart import Apart
from .meant import PiecesMeant, called, pieces_meant, step_as_logged, steps_meant, work_not_planned
from .outside import plan_as_json, plan_schema
from .piece_plan import Branch, Buy, Fact, Facts, MissingFact, Mix, PiecePlan, PlannedStep, Use, WayCosted
from .planning import plan_piece
from .words import survey_words

__all__ = [
    "Apart", "Branch", "Buy", "Fact", "Facts", "MissingFact", "Mix", "PiecePlan", "PiecesMeant", "PlannedStep", "Use",
    "WayCosted", "called", "pieces_meant", "plan_as_json", "plan_piece", "plan_schema", "step_as_logged", "steps_meant",
    "survey_words", "work_not_planned",
]  # fmt: skip
