"""The closed sets of the shop's document."""

from enum import StrEnum


class Units(StrEnum):
    METRIC = "metric"
    INCHES = "inches"


class Vocabulary(StrEnum):
    """Whose words: rubber or pad, cramp or clamp, white spirit or mineral spirits."""

    UK = "UK"
    US = "US"


class Role(StrEnum):
    OWNER = "owner"
    HELPER = "helper"


class StoreKind(StrEnum):
    """What is laid by for later."""

    TIMBER = "timber"
    VENEER = "veneer"
    HARDWARE = "hardware"
