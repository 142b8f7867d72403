"""What a browser would send back of a form as it stands."""

from typing import Any

from django.test import Client


def form_of(client: Client, piece: str, table: str, row: str = "") -> dict[str, Any]:
    """The fields of a survey form with what is in them, and the state of the survey it was made from."""
    form = client.get(f"/p/{piece}/survey/{table}/{row}").context
    said: dict[str, Any] = {"number": form["number"]}
    for field in (*form["fields"], *(one for _, rows in form["inside"] for one in rows)):
        if field.kind != "tick" or field.value:
            said[field.name] = field.value
    return said
