"""Phones that are paired: somebody who entered shows a code, the phone that reads it is theirs for months."""

from typing import Any

from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, login
from django.contrib.auth.hashers import check_password, make_password
from django.db import transaction
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.safestring import mark_safe
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from witnessmark.record import PairedPhone, PairingCode, Person, Role

from .clock import now
from .door import for_role, onward, open_to_all, while_locked
from .entering import locked_out
from .lock import WRONG_CODES, pair_session, phone_of, try_counted, unlock, withdraw
from .pairing import kept_form, new_code, still_good
from .tries import may_try
from .trust import qr_svg

_ONES_PHONES = for_role(Role.HELPER, Role.HELPER)
_COUNTING = "01234567890 09876543210"


def _somebody(request: HttpRequest) -> Person:
    assert isinstance(request.user, Person)  # the door let them in
    return request.user


class PairForm(forms.Form):
    """The code off the other screen, what the phone is called, and the digits that unlock it."""

    code = forms.CharField(label="The code on the other screen", max_length=40)
    name = forms.CharField(label="What this phone is called", max_length=60, initial="My phone")
    lock = forms.CharField(
        label="Digits that unlock it",
        max_length=40,
        help_text="Four to eight digits; all your paired phones then take these.",
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off"}),
    )

    def clean_lock(self) -> str:
        lock: str = self.cleaned_data["lock"].strip()
        if not (lock.isascii() and lock.isdigit() and 4 <= len(lock) <= 8):
            raise forms.ValidationError("Four to eight digits, nothing else.")
        if len(set(lock)) == 1 or lock in _COUNTING:
            raise forms.ValidationError(
                "That is the first anybody would try. Choose digits that neither repeat nor count."
            )
        return lock


class UnlockForm(forms.Form):
    """The short code."""

    lock = forms.CharField(
        label="Your digits",
        max_length=40,
        widget=forms.PasswordInput(attrs={"inputmode": "numeric", "autocomplete": "off", "autofocus": True}),
    )


class AgainForm(forms.Form):
    """The whole password, after too many wrong codes."""

    password = forms.CharField(label="Your password", max_length=400, widget=forms.PasswordInput)


@_ONES_PHONES
@require_safe
def phones(request: HttpRequest) -> HttpResponse:
    """One's paired phones; an owner sees everybody's."""
    return _listed(request)


@_ONES_PHONES
@require_POST
def code(request: HttpRequest) -> HttpResponse:
    """A new pairing code, shown once; an older one of the same person is good no more."""
    person = _somebody(request)
    if not _reachable(request):
        return redirect("phones")
    made = new_code()
    with transaction.atomic():
        PairingCode.objects.filter(person=person).delete()
        PairingCode.objects.create(person=person, kept=kept_form(made, settings.SECRET_KEY), made=now())
    address = _address_for_phones(request) + reverse("pair", args=[made])
    return _listed(request, code=made, address=address, qr=mark_safe(qr_svg(address)))


@_ONES_PHONES
@require_POST
def withdrawn(request: HttpRequest, phone: int) -> HttpResponse:
    """A phone that was lost, sold or lent: out, from its next request on."""
    found = _theirs(_somebody(request)).filter(pk=phone).first()
    if found is None:
        raise Http404("no such phone")
    withdraw(found, now())
    messages.success(request, f"{found.name} is withdrawn: it must enter by the door.")
    return redirect("phones")


def _theirs(person: Person) -> Any:
    every = PairedPhone.objects.filter(withdrawn=None).select_related("person").order_by("person__name", "made")
    return every if person.owns else every.filter(person=person)


def _reachable(request: HttpRequest) -> bool:
    """Whether phones can reach this desk, and safely: pages go out encrypted."""
    return request.is_secure()


def _address_for_phones(request: HttpRequest) -> str:
    """The desk as a phone finds it: at the computer itself pages bear a name that is none elsewhere."""
    host = request.get_host()
    name, colon, port = host.rpartition(":") if not host.endswith("]") and ":" in host else (host, "", "")
    if name in settings.LOOPBACK and len(settings.ALLOWED_HOSTS) > len(settings.LOOPBACK):
        name = settings.ALLOWED_HOSTS[len(settings.LOOPBACK)]
    return f"https://{name}{colon}{port}"


def _listed(request: HttpRequest, **more: Any) -> HttpResponse:
    person = _somebody(request)
    told = {"place": "shop", "phones": _theirs(person), "reachable": _reachable(request), "this": phone_of(request)}
    return render(request, "desk/phones.html", told | more)


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def pair(request: HttpRequest, code: str = "") -> HttpResponse:
    """On the phone: the code that was read or is typed, and the lock. Looking alone spends no code."""
    form = PairForm(request.POST if request.method == "POST" else None, initial={"code": code, "name": "My phone"})
    if form.is_valid():
        if not may_try("pairing", request.META.get("REMOTE_ADDR", "")):
            return locked_out(request)
        said = form.cleaned_data
        with transaction.atomic():  # IMMEDIATE: of two at once the second finds the code spent
            found = PairingCode.objects.filter(kept=kept_form(said["code"], settings.SECRET_KEY)).first()
            good = (
                found is not None and still_good(found.made, now()) and found.person.is_active and found.person.may_work
            )
            if found is not None and good:
                person = found.person
                found.delete()
                person.lock = make_password(said["lock"])
                person.save(update_fields=["lock"])
                phone = PairedPhone.objects.create(person=person, name=said["name"].strip(), made=now(), seen=now())
        if good:
            request.session.flush()
            login(request, person, backend=settings.AUTHENTICATION_BACKENDS[-1])
            pair_session(request, phone)
            return redirect(settings.LOGIN_REDIRECT_URL)
        form.add_error("code", "That code is not good, or no longer: it lasts ten minutes, once. Make a new one.")
    return render(request, "desk/pair.html", {"form": form}, status=200 if not form.errors else 422)


@for_role(Role.READER)
@while_locked
@require_http_methods(["GET", "HEAD", "POST"])
def lock(request: HttpRequest) -> HttpResponse:
    """The lock of a paired phone. After five wrong codes it asks for the password."""
    phone = phone_of(request)
    if phone is None:
        return redirect(onward(request) if request.user.is_authenticated else "enter")
    data = request.POST if request.method == "POST" else None
    right = False
    form: forms.Form
    if phone.wrong < WRONG_CODES:
        form = UnlockForm(data)
        if form.is_valid():
            right = try_counted(phone) and check_password(form.cleaned_data["lock"].strip(), phone.person.lock)
            form.add_error("lock", "Those are not your digits.")
            if phone.wrong + 1 >= WRONG_CODES:
                form = AgainForm()
    else:
        form = AgainForm(data)
        if form.is_valid():
            person = authenticate(request, username=phone.person.name, password=form.cleaned_data["password"])
            if getattr(request, "axes_locked_out", False):
                return locked_out(request)
            right = person is not None and person.pk == phone.person.pk
            form.add_error("password", "That is not your password.")
    if right:
        unlock(phone, now())
        request.session.cycle_key()
        return redirect(onward(request))
    told = {"form": form, "next": onward(request), "whole": isinstance(form, AgainForm)}
    return render(request, "desk/lock.html", told, status=422 if data is not None else 200)
