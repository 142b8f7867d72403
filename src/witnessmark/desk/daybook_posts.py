"""An entry from a form: who and when the desk says; its id was made when the page was, so two taps count once."""

from typing import Any

from django.http import HttpRequest

from witnessmark.record import DayBookEntry, Posted, new_id, post_entries

from .clock import now


def fresh_id() -> str:
    """An id for the entry that a form on this page may make."""
    return new_id(now())


def post_said(request: HttpRequest, what: str, piece: str, **said: Any) -> Posted:
    """Posts one entry about a piece; its id is the hidden field `entry` of the form. Raises Faulty."""
    at = now()
    ident = request.POST.get("entry") or new_id(at)
    # The same form again, by a second tap or a lost answer, is the same entry: it happened when it first did.
    before = DayBookEntry.objects.filter(id=ident).values_list("happened", flat=True).first()
    tables = {
        "id": ident,
        "what": what,
        "who": str(request.user),
        "happened": (before or at).isoformat(),
        "piece": piece,
    } | {key: value for key, value in said.items() if value not in (None, "", ())}
    return post_entries([tables], at)
