"""The closed sets of the shop's document."""

from enum import StrEnum


class Units(StrEnum):
    METRIC = "metric"
    INCHES = "inches"


class Vocabulary(StrEnum):
    UK = "UK"
    US = "US"


class Role(StrEnum):
    OWNER = "owner"
    HELPER = "helper"
