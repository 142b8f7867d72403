"""The plan: survey, shop, day book and an instant come in; one piece's whole plan goes out.

Beside it how things stand now, by what was logged: the stage of a piece, what is apart, what the jars hold, whose
clocks run, what is waited on. And the shop's days: plans as JSON come in; a calendar over all pieces, today's lists,
the one document the bench reads, and the wall go out.
"""

from .apart import Apart
from .apart_now import ApartNow, FixingNow, PartNow, Place, ToPutBack, apart_now
from .away import away_in
from .bench import bench_of, bench_schema
from .books import Books, InTheBooks, books_of
from .cupboard import cupboard_today
from .jars_now import JarNow, JarUse, MixToCome, Reach, jars_now, mixes_to_come
from .meant import PiecesMeant, called, pieces_meant, planned_as_logged, step_as_logged, steps_meant, work_not_planned
from .on_the_shelf import BurnsNow, BuyForAll, GoesIn, burns_now, goes_in, to_buy
from .outside import plan_as_json, plan_schema
from .piece_plan import Branch, Buy, Fact, Facts, MissingFact, Mix, PiecePlan, PlannedStep, Use, WayCosted
from .planning import plan_piece
from .said_of import table_said
from .shop_days import plan_shop, today_list
from .shop_problem import shop_problem
from .stages import Reached, Standing, stage_of, what_holds
from .timers import Running, closing_of, running_in
from .topping_up import more_of
from .vapour import air_of_step, finishing_room
from .waiting import On, WaitingOn, waiting_on
from .wall import wall_of
from .words import survey_words

__all__ = [
    "Apart", "ApartNow", "Books", "Branch", "BurnsNow", "Buy", "BuyForAll", "Fact", "Facts", "FixingNow", "GoesIn",
    "InTheBooks", "JarNow", "JarUse", "MissingFact", "Mix", "MixToCome", "On", "PartNow", "PiecePlan", "PiecesMeant",
    "Place", "PlannedStep", "Reach", "Reached", "Running", "Standing", "ToPutBack", "Use", "WaitingOn", "WayCosted",
    "air_of_step", "apart_now", "away_in", "bench_of", "bench_schema", "books_of", "burns_now", "called", "closing_of",
    "cupboard_today", "finishing_room", "goes_in", "jars_now", "mixes_to_come", "more_of", "pieces_meant",
    "plan_as_json", "plan_piece", "plan_schema", "plan_shop", "planned_as_logged", "running_in", "shop_problem",
    "stage_of", "step_as_logged", "steps_meant", "survey_words", "table_said", "to_buy", "today_list", "waiting_on",
    "wall_of", "what_holds", "work_not_planned",
]  # fmt: skip
