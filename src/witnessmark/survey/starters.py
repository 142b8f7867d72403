"""Starters: a short TOML text with comments, to be filled in in ten minutes. What is not known says “don't know”.

The head and the tail are one for all kinds; between them stand the parts such a piece usually has.
"""

from enum import StrEnum
from importlib import resources
from string import Template

from . import words
from .words import PieceKind

KINDS = tuple(kind.value for kind in PieceKind if kind is not PieceKind.OTHER)


def starter(kind: str, piece_id: str) -> str:
    """The starter of a survey of that kind, one of KINDS, with its id. Raises KeyError for any other kind."""
    if kind not in KINDS:
        raise KeyError(kind)
    parts = ("head.toml", f"{kind}.toml", "tail.toml")
    text = "".join(
        resources.files("witnessmark.survey").joinpath("starters", part).read_text("utf-8") for part in parts
    )
    return Template(text).substitute(_choices(), kind=kind, id=piece_id)


def _choices() -> dict[str, str]:
    """The words of every closed set by its name, as a comment lists them."""
    sets = {name: kind for name, kind in vars(words).items() if isinstance(kind, type) and issubclass(kind, StrEnum)}
    return {name: ", ".join(word.value for word in kind if word.value != "don't know") for name, kind in sets.items()}
