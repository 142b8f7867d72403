"""Evidence: clues go in; spans of years, stories about a piece, and what a mark dates come out.

`date([Clue("screw_lathe_blunt"), …], styles=[…])` gives a `Dating`: chances of each year, the 50 % and 90 % ranges,
each clue's part in it, conflicts, parts of another date, the stories weighed and the next look. `dating_of` a survey
is that of its readings; `Readings` takes them in a restorer's words. `ticket` words a dating, `picture` draws it,
`told` says what the picture shows. `mark` reads patent, design and registration marks. Words are read by
`feature_named` and `style_named`; `looks` is the question of the stories; `date_words` is what a survey may say.
"""

from typing import TYPE_CHECKING, Any

from .features import CARVED_DATE, NoSuchFeature, date_words, feature_named, features
from .marks import BadMark, Mark, corners_of, lozenge, mark

if TYPE_CHECKING:
    from .clues import Age as Age
    from .clues import BadClue as BadClue
    from .clues import Clue as Clue
    from .dating import Dating as Dating
    from .dating import date as date
    from .dating import story_name as story_name
    from .drawing import picture as picture
    from .drawing import told as told
    from .readings import Readings as Readings
    from .readings import dating_of as dating_of
    from .readings import years_read as years_read
    from .stories import looks as looks
    from .styles import NoSuchStyle as NoSuchStyle
    from .styles import style_named as style_named
    from .wording import closely_dated as closely_dated
    from .wording import ticket as ticket

# numpy costs more to load than most sums at the bench: it waits until a date is asked for.
_LATER = {
    "clues": ("Age", "BadClue", "Clue"),
    "dating": ("Dating", "date", "story_name"),
    "drawing": ("picture", "told"),
    "readings": ("Readings", "dating_of", "years_read"),
    "stories": ("looks",),
    "styles": ("NoSuchStyle", "style_named"),
    "wording": ("closely_dated", "ticket"),
}
_HOMES = {name: module for module, names in _LATER.items() for name in names}

__all__ = [
    "CARVED_DATE", "Age", "BadClue", "BadMark", "Clue", "Dating", "Mark", "NoSuchFeature", "NoSuchStyle",
    "Readings", "closely_dated", "corners_of", "date", "date_words", "dating_of", "feature_named", "features", "looks",
    "lozenge", "mark", "picture", "story_name", "style_named", "ticket", "told", "years_read",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
