"""People and the keys of the API: who may enter, and what programs they let in."""

import hashlib
import secrets
from datetime import datetime, timedelta

from django.contrib.sessions.models import Session
from django.db import transaction

from witnessmark.documents import Refused, nearest

from .models import Person, Role, Token

_KEY_BYTES = 32
_USED_AGAIN_AFTER = timedelta(hours=1)  # when a key was last used is written down no oftener: reading stays reading


class NoSuchPerson(Refused):
    """Somebody the record does not know."""


class LastOwner(Refused):
    """Without an owner nobody could let anybody in again."""


def person_named(name: str) -> Person:
    """Somebody by their name, in capitals or not. Raises NoSuchPerson."""
    found = Person.objects.filter(name__iexact=name.strip()).first()
    if found is None:
        near = nearest(name, Person.objects.values_list("name", flat=True))
        raise NoSuchPerson(f"nobody called “{name}” may enter here." + (f" Did you mean “{near}”?" if near else ""))
    return found


def keep_person(name: str, role: Role, password: str) -> tuple[Person, bool]:
    """Lets somebody in, or lets somebody known in again with this role and password; and whether they are new.

    Whoever was in by the old password is out, on every machine. Raises LastOwner.
    """
    with transaction.atomic():
        known = Person.objects.filter(name__iexact=name.strip()).first()
        if known is None:
            return Person.objects.create_user(name.strip(), role, password), True
        if role != Role.OWNER:
            _another_owner(known)
        known.role, known.is_active = role, True
        known.set_password(password)
        known.save()
        _end_sessions(known)
        return known, False


def shut_out(person: Person, at: datetime) -> None:
    """Somebody may no longer enter: their sessions end, their keys no longer open. What they did stays theirs.

    Raises LastOwner.
    """
    with transaction.atomic():
        _another_owner(person)
        person.is_active = False
        person.save()
        person.tokens.filter(withdrawn=None).update(withdrawn=at)
        _end_sessions(person)


def _another_owner(person: Person) -> None:
    owners = Person.objects.filter(role=Role.OWNER, is_active=True)
    if owners.filter(pk=person.pk).exists() and owners.count() == 1:
        raise LastOwner(f"{person} is the only owner: make somebody else an owner first")


def _end_sessions(person: Person) -> None:
    for session in Session.objects.iterator():
        if session.get_decoded().get("_auth_user_id") == str(person.pk):
            session.delete()


def token_for(person: Person) -> str:
    """A new key of the API for somebody. It is not kept, only its SHA-256: it can be read here and never again."""
    if not person.is_active:
        raise Refused(f"{person} may no longer enter")
    key = f"wm_{secrets.token_urlsafe(_KEY_BYTES)}"
    Token.objects.create(person=person, sha256=_digest(key))
    return key


def person_with(key: str, at: datetime) -> Person | None:
    """Whose key this is; None where it opens nothing."""
    token = Token.objects.select_related("person").filter(sha256=_digest(key), withdrawn=None).first()
    if token is None or not token.person.is_active:
        return None
    if token.used is None or at - token.used > _USED_AGAIN_AFTER:
        Token.objects.filter(pk=token.pk).update(used=at)
    return token.person


def _digest(key: str) -> str:
    return hashlib.sha256(key.encode("utf-8", "replace")).hexdigest()
