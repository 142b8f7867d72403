"""Every address the desk answers at, found by walking its urls, with arguments at which the demo shop has something."""

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from django.urls import URLPattern, URLResolver, get_resolver

from witnessmark.desk.door import LOOKING
from witnessmark.record import DayBookEntry, Photograph, Role

RANK = {Role.READER: 0, Role.HELPER: 1, Role.OWNER: 2}


@dataclass(frozen=True)
class Address:
    """One address: the name it is reversed by, its pattern with {names} of arguments, its view."""

    name: str
    pattern: str
    view: Callable[..., Any]

    @property
    def is_api(self) -> bool:
        return self.pattern.startswith("/api/")

    @property
    def open(self) -> bool:
        return getattr(self.view, "open_to_all", False)

    def wants(self, method: str) -> Role:
        """The least role that may use it: what the door reads off the view."""
        if method in LOOKING:
            return getattr(self.view, "to_look", Role.READER)
        return getattr(self.view, "role", Role.HELPER)

    def at(self, arguments: dict[str, str]) -> str:
        arguments = arguments | OF_ITS_OWN.get(self.name, {})
        return re.sub(r"\{(\w+)\}", lambda found: arguments[found[1]], self.pattern)


# Where a page means something else by a word than most do.
OF_ITS_OWN = {
    "shop_table": {"kept": "shop"},
    "shop_row": {"several": "person"},
}


def addresses() -> list[Address]:
    return list(_walk(get_resolver(), "/", ""))


def _walk(resolver: URLResolver, before: str, space: str) -> Iterator[Address]:
    for one in resolver.url_patterns:
        text = before + _plain(str(one.pattern))
        if isinstance(one, URLResolver):
            inner = f"{space}{one.namespace}:" if one.namespace else space
            yield from _walk(one, text, inner)
        elif isinstance(one, URLPattern):
            yield Address(f"{space}{one.name}", text, one.callback)


def _plain(pattern: str) -> str:
    """A pattern of `path` or `re_path` with its arguments as {name}."""
    pattern = re.sub(
        r"<(?:\w+:)?(\w+)>", r"{\1}", re.sub(r"\(\?P<(\w+)>(?:\[[^\]]*\]\S?|[^()\[\]])*?\)", r"{\1}", pattern)
    )
    return pattern.removeprefix("^").removesuffix("$").removesuffix("/?")


def arguments_of(piece: str) -> dict[str, str]:
    """Arguments at which the demo shop has something: those of one piece."""
    photograph = Photograph.objects.first()
    return {
        "piece": piece, "piece_id": piece, "code": "TOP", "entry": DayBookEntry.objects.filter(piece=piece).last().id,
        "number": "1", "row": "1", "table": "part", "about": "wood", "size": "small",
        "sha256": photograph.sha256 if photograph else "0" * 64, "phone": "1",
        "key": "plan",
        "kept": "costs", "several": "person", "name": "receipt.pdf",
    }  # fmt: skip
