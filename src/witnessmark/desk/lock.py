"""The short lock of a paired phone: it stays entered for months, and shows nothing after it lay still for a while."""

from datetime import datetime, timedelta

from django.contrib.auth import logout
from django.db.models import F
from django.http import HttpRequest

from witnessmark.record import PairedPhone, Person

PAIRED_FOR = timedelta(days=90)
LOCKS_AFTER = timedelta(minutes=10)
NOTED_EVERY = timedelta(minutes=1)  # that a phone was seen: one write a minute is enough
WRONG_CODES = 5  # in a row; then the password is asked

_PHONE = "phone"  # in the session


def pair_session(request: HttpRequest, phone: PairedPhone) -> None:
    """Makes this session that of a paired phone."""
    request.session[_PHONE] = phone.pk
    request.session.set_expiry(int(PAIRED_FOR.total_seconds()))


def phone_of(request: HttpRequest) -> PairedPhone | None:
    """The paired phone that asks; None where it is another browser. A session whose phone was withdrawn ends here."""
    number = request.session.get(_PHONE)
    if number is None or not isinstance(request.user, Person):
        return None
    phone = PairedPhone.objects.select_related("person").filter(pk=number, person=request.user, withdrawn=None).first()
    if phone is None:
        logout(request)
    return phone


def locked(phone: PairedPhone, now: datetime) -> bool:
    """Whether it lay still too long, or its clock or ours was set."""
    return phone.wrong > 0 or abs(now - phone.seen) >= LOCKS_AFTER


def note_seen(phone: PairedPhone, now: datetime) -> None:
    """Somebody uses it. Never called for what a page does by itself, lest an open page keep the phone open."""
    if abs(now - phone.seen) >= NOTED_EVERY:
        PairedPhone.objects.filter(pk=phone.pk).update(seen=now)


def try_counted(phone: PairedPhone) -> bool:
    """Counts a try at the code before it is looked at, so that many at once gain nothing; False: no try is left."""
    return PairedPhone.objects.filter(pk=phone.pk, wrong__lt=WRONG_CODES).update(wrong=F("wrong") + 1) == 1


def unlock(phone: PairedPhone, now: datetime) -> None:
    PairedPhone.objects.filter(pk=phone.pk).update(wrong=0, seen=now)


def withdraw(phone: PairedPhone, now: datetime) -> None:
    """It is nobody's phone from its next request on."""
    PairedPhone.objects.filter(pk=phone.pk, withdrawn=None).update(withdrawn=now)
