"""What the three documents share: text comes in; a checked document, or all its faults with their places, goes out."""

from typing import TYPE_CHECKING, Any

from .faults import Fault, Faulty, Refused, nearest

if TYPE_CHECKING:
    from .reading import document_from as document_from
    from .reading import toml_from as toml_from
    from .written import Written as Written
    from .written import written as written

__all__ = ["Fault", "Faulty", "Refused", "Written", "document_from", "nearest", "toml_from", "written"]

# pydantic and the TOML grammar cost more to load than a whole bench sum: they wait until a document is read.
_LATER = {"document_from": "reading", "toml_from": "reading", "Written": "written", "written": "written"}


def __getattr__(name: str) -> Any:
    if name in _LATER:
        from importlib import import_module

        return getattr(import_module(f"witnessmark.documents.{_LATER[name]}"), name)
    raise AttributeError(name)
