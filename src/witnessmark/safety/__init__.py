"""Safety: a task (materials, dust, heat, what was found) goes in; the cautions that bind it come out."""

from .caution import Caution, Level, Task
from .cautions import DEFERS, UnknownFinding, cautions_for, cautions_of_plan, vapour_ladder
from .hazards import Hazard, hazards_in

__all__ = [
    "DEFERS", "Caution", "Hazard", "Level", "Task", "UnknownFinding", "cautions_for", "cautions_of_plan",
    "hazards_in", "vapour_ladder",
]  # fmt: skip
