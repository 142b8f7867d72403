"""The pages and the API: asks a room, shows its answer; no arithmetic here."""

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .clock import now as now
    from .demo_shop import keep_demo as keep_demo
    from .lan import Vouched as Vouched
    from .lan import host_names as host_names
    from .lan import lan_addresses as lan_addresses
    from .lan import vouched as vouched
    from .trust import answering as answering
    from .trust import pairing_page_data as pairing_page_data
    from .trust import trust_app as trust_app

# Django must be set up before some of these are read.
_HOMES = {
    "now": "clock", "keep_demo": "demo_shop", "Vouched": "lan", "host_names": "lan", "lan_addresses": "lan",
    "vouched": "lan", "answering": "trust", "pairing_page_data": "trust", "trust_app": "trust",
}  # fmt: skip

__all__ = [
    "Vouched", "answering", "host_names", "keep_demo", "lan_addresses", "now", "pairing_page_data", "trust_app",
    "vouched",
]  # fmt: skip


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
