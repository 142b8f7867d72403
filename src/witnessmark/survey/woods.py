"""The wood a survey names must be one the tables know, or “don't know”."""

from witnessmark.documents import amiss
from witnessmark.materials import AmbiguousName, UnknownName, wood_named
from witnessmark.quantities import is_unknown


def known_wood(text: str) -> str:
    """The text, if it names a wood or a group of woods. Raises a fault with the nearest right name."""
    if is_unknown(text):
        return text
    try:
        wood_named(text)
    except UnknownName as error:
        raise amiss("a wood we know, such as mahogany, or “don't know”", next(iter(error.nearest), None)) from None
    except AmbiguousName as error:
        raise amiss(f"which wood is meant: {', '.join(error.choices)}", error.choices[0]) from None
    return text
