"""A survey's way in and out: TOML or JSON to a checked `Survey`, and back."""

from collections.abc import Mapping
from functools import partial
from typing import Any

from witnessmark.documents import document_from, document_in, schema_of, set_in, toml_from, toml_text

from .checks import Words, across
from .model import FORM, Decision, Survey


def survey_from(text: str, where: str, context: Mapping[str, Any] | None = None, words: Words | None = None) -> Survey:
    """The survey in a TOML text. Raises Faulty with every fault, each with its key and line.

    `context` is the shop's gallon and currency (`Shop.context`); without one pints and pounds cut are US
    and a sum of money needs its sign. `words` are other rooms' words, for checking tests, features and steps.
    """
    return document_from(text, where, FORM, context, partial(across, words=words))


def survey_in(
    tables: dict[str, Any], where: str, context: Mapping[str, Any] | None = None, words: Words | None = None
) -> Survey:
    """The survey in tables that came as JSON (`documents.json_of` gives them). Raises Faulty, without lines."""
    return document_in(tables, where, FORM, context, partial(across, words=words))


def survey_text(survey: Survey) -> str:
    """The survey as a TOML text that reads back as the same survey: what was said, in the words it was said in."""
    return toml_text(survey.model_dump(by_alias=True, exclude_unset=True, exclude_none=True))


def with_decision(text: str, decision: Decision) -> str:
    """The survey's text with one more decision below the others; all else stays as the person wrote it."""
    number = len(toml_from(text, "survey").get("decision", ()))
    said = decision.model_dump(exclude_unset=True, exclude_none=True)
    return set_in(text, ("decision", number), said)


def survey_schema() -> dict[str, Any]:
    """The JSON Schema of a survey."""
    return schema_of(FORM)
