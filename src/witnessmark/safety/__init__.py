"""Safety: a task, a solvent, a load or a whole piece goes in; cautions, sums of air and weight, and law come out."""

from .air import (
    BadRoom,
    NoVapourFigures,
    Solvent,
    aimed_at,
    air_changes_of,
    air_to_explode,
    all_released,
    build_up,
    day_average,
    decay,
    flow_for_all,
    flow_for_fire,
    flow_for_health,
    mixture_index,
    parts_per_million,
    release_of,
    solvent_named,
    time_to_clear,
    time_to_reach,
    vapour_of,
)
from .cabinet import CabinetLimit, cabinet_limits, litres_out
from .caution import Caution, Level, Task
from .cautions import DEFERS, ON_A_CARD, UnknownFinding, cautions_for, cautions_of_plan, vapour_ladder
from .conditions import BEING, Facts
from .hazards import Hazard, hazards_in
from .law import Decision, Law, Ruling, UnknownPlace, instead_of, is_listed, law_of, law_of_any_piece
from .lifting import BadLift, Grip, Lift, Units, close_lift, hands_for, index_of, limit_of
from .listed import laws_of, listed_in
from .room_air import Poured, RoomAir, air_of_room, cautions_of_room
from .task_air import air_of_task, cautions_of_task, listed_solvents, solvents_in
from .tipping import BadStance, Pulled, Stance, stances
from .when_made import years_in, years_vouched

__all__ = [
    "BEING", "DEFERS", "ON_A_CARD", "BadLift", "BadRoom", "BadStance", "CabinetLimit", "Caution", "Decision", "Facts",
    "Grip", "Hazard", "Law", "Level", "Lift", "NoVapourFigures", "Poured", "Pulled", "RoomAir", "Ruling", "Solvent",
    "Stance", "Task", "Units", "UnknownFinding", "UnknownPlace", "aimed_at", "air_changes_of", "air_of_room",
    "air_of_task", "air_to_explode", "all_released", "build_up", "cabinet_limits", "cautions_for", "cautions_of_plan",
    "cautions_of_room", "cautions_of_task", "close_lift", "day_average", "decay", "flow_for_all", "flow_for_fire",
    "flow_for_health", "hands_for", "hazards_in", "index_of", "instead_of", "is_listed", "law_of", "law_of_any_piece",
    "laws_of", "limit_of", "listed_in", "listed_solvents", "litres_out", "mixture_index", "parts_per_million",
    "release_of", "solvent_named", "solvents_in", "stances", "time_to_clear", "time_to_reach", "vapour_ladder",
    "vapour_of", "years_in", "years_vouched",
]  # fmt: skip
