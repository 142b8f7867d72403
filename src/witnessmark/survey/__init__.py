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
    Content,
    Decision,
    Finish,
    Fixing,
    HandedIn,
    Joint,
    Mark,
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
from .part_names import PartName, free_code, main_body_of, part_names_for, stem_for
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
    "KINDS", "About", "Air", "Areas", "Came", "CameFrom", "Carving", "Condition", "ConditionTerm", "Content",
    "Decision", "Ends", "FaceArea", "Finish", "Fixing", "FixingKind", "HandedIn", "Held", "Joint", "JointState",
    "Keep", "Mark", "Missing", "Moisture", "OldFinish", "Outline", "Part", "PartName", "Photograph", "Piece",
    "PieceKind", "Reading", "ReadingAbout", "Region", "Sawn", "Seen", "Severity", "Shape", "Sheen", "Survey",
    "Test", "Trial", "Use", "Way", "Wishes", "Words", "YesNo", "area_faults", "areas_answer", "areas_of",
    "condition_named", "condition_terms", "free_code", "key_of", "main_body_of", "outline_of", "part_names_for",
    "starter", "stem_for", "survey_from", "survey_in", "survey_schema", "survey_text", "with_decision",
]  # fmt: skip
