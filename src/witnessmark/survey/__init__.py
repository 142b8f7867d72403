"""The survey: what was seen, measured, wished and decided of one piece.

A TOML text comes in (`survey_from`), or tables that came as JSON (`survey_in`); a checked, frozen `Survey` goes
out, or all faults with their lines. Beside it: its areas, what it knows (`outline_of`), and starters to fill in.
"""

from .areas import Areas, FaceArea, Missing, area_faults, areas_answer, areas_of
from .checks import Words, key_of
from .condition import ConditionTerm, condition_named, condition_terms
from .model import (
    Air,
    Condition,
    Decision,
    Finish,
    Fixing,
    Joint,
    Moisture,
    Part,
    Photograph,
    Piece,
    Reading,
    Survey,
    Test,
    Trial,
    Wishes,
)
from .outline import Outline, outline_of
from .reading import survey_from, survey_in, survey_schema, survey_text, with_decision
from .starters import KINDS, starter
from .words import (
    About,
    Came,
    CameFrom,
    Carving,
    Ends,
    FixingKind,
    Held,
    JointState,
    Keep,
    OldFinish,
    PieceKind,
    ReadingAbout,
    Region,
    Sawn,
    Seen,
    Severity,
    Shape,
    Sheen,
    Use,
    Way,
    YesNo,
)

__all__ = [
    "KINDS", "About", "Air", "Areas", "Came", "CameFrom", "Carving", "Condition", "ConditionTerm", "Decision", "Ends",
    "FaceArea", "Finish", "Fixing", "FixingKind", "Held", "Joint", "JointState", "Keep", "Missing", "Moisture",
    "OldFinish", "Outline", "Part", "Photograph", "Piece", "PieceKind", "Reading", "ReadingAbout", "Region", "Sawn",
    "Seen", "Severity", "Shape", "Sheen", "Survey", "Test", "Trial", "Use", "Way", "Wishes", "Words", "YesNo",
    "area_faults", "areas_answer", "areas_of", "condition_named", "condition_terms", "key_of", "outline_of", "starter",
    "survey_from", "survey_in", "survey_schema", "survey_text",
    "with_decision",
]  # fmt: skip
