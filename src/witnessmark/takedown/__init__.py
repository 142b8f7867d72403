"""Taking apart: a survey's parts and joints go in; the order apart, and the order together, come out.

`takedown` opens loose joints and leaves sound ones shut, or frees one part at the least harm; `glue_stages` puts it
together again in stages that fit the open time. Facts of the glue (`Glue`) and the shop (`Hands`) are given to it.
"""

from .apart import part_named, takedown
from .glue import Glue, open_in_the_cold
from .glue_up import Cramps, Hands, Stage, closing_time, cramp_length, glue_stages
from .harm import harm_in_words
from .locks import CantPart
from .outside import takedown_as_json, workings_of
from .springing import Offered, Spring
from .taken import Freed, Refit, StillOff, Takedown, Taken

__all__ = [
    "CantPart", "Cramps", "Freed", "Glue", "Hands", "Offered", "Refit", "Spring", "Stage", "StillOff", "Takedown",
    "Taken", "closing_time", "cramp_length", "glue_stages", "harm_in_words", "open_in_the_cold", "part_named",
    "takedown", "takedown_as_json", "workings_of",
]  # fmt: skip
