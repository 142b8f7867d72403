"""Entering and leaving, one's password, and the first owner, who is made only with the code that `serve` prints."""

import hmac
from typing import Any

from axes.utils import reset as forget_failures
from django import forms
from django.conf import settings
from django.contrib import messages
from django.contrib.auth import authenticate, login, logout, update_session_auth_hash
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import DisallowedHost, RequestDataTooBig, TooManyFieldsSent, TooManyFilesSent
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.csrf import requires_csrf_token
from django.views.decorators.http import require_http_methods, require_POST

from witnessmark.documents import Faulty
from witnessmark.record import Person, Role, keep_shop
from witnessmark.shop import shop_in

from .clock import now
from .door import for_role, onward, open_to_all
from .lock import phone_of, withdraw
from .shop_forms import State
from .tries import may_try


def _password(label: str, known: bool, hint: str = "") -> forms.CharField:
    """A field for a password, which a browser may fill in where it is known."""
    widget = forms.PasswordInput(attrs={"autocomplete": "current-password" if known else "new-password"})
    return forms.CharField(label=label, max_length=400, help_text=hint, widget=widget)


class EnterForm(forms.Form):
    """A name and a password."""

    name = forms.CharField(
        label="Your name", max_length=200, widget=forms.TextInput(attrs={"autocomplete": "username"})
    )
    password = _password("Password", known=True)


class FirstOwnerForm(forms.Form):
    """The code from the terminal, and the name and password of the first owner."""

    code = forms.CharField(label="The code in the terminal", max_length=40)
    name = forms.CharField(label="Your name, as the day book shall say it", max_length=200)
    password = _password("A password", known=False, hint="At least ten characters.")

    def clean_password(self) -> str:
        password: str = self.cleaned_data["password"]
        validate_password(password)
        return password


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def enter(request: HttpRequest) -> HttpResponse:
    """The door."""
    if not Person.objects.exists():
        return redirect("first_owner")
    form = EnterForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        said = form.cleaned_data
        person = authenticate(request, username=said["name"].strip(), password=said["password"])
        if getattr(request, "axes_locked_out", False):
            return locked_out(request)
        if person is not None:
            login(request, person)
            return redirect(onward(request))
        form.add_error("password", "That name and password don’t go together. Try again, or ask an owner.")
    told = {"form": form, "next": onward(request)}
    return render(request, "desk/enter.html", told, status=200 if not form.errors else 422)


def locked_out(request: HttpRequest, *_: Any, **__: Any) -> HttpResponse:
    """Too many wrong passwords: said plainly."""
    return render(request, "desk/rest.html", status=429)


def _works_here(name: str) -> None:
    """The one person of a shop nobody has written down is the first owner: the work is for whoever is at the bench."""
    state = State.of()
    if state.number:
        return
    first, *others = state.body["person"]
    try:
        shop = shop_in(state.body | {"person": [first | {"name": name}, *others]}, "shop")
    except Faulty:  # a name the day book cannot say: the shop is written by hand
        return
    keep_shop(shop, name, now(), "the first owner works here")


@open_to_all
@require_http_methods(["GET", "HEAD", "POST"])
def first_owner(request: HttpRequest) -> HttpResponse:
    """The first owner, once: never when somebody is there already."""
    if Person.objects.exists():
        return redirect("enter")
    form = FirstOwnerForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        if not may_try(
            "first owner"
        ):  # from wherever: with 40 bits of code a guesser needs longer than furniture lasts
            return locked_out(request)
        right = settings.FIRST_CODE.replace("-", "").upper()
        code = form.cleaned_data["code"].replace("-", "").replace(" ", "").upper()
        if right and hmac.compare_digest(code.encode(), right.encode()):
            with transaction.atomic():  # IMMEDIATE: of two at once the second finds the first
                if Person.objects.exists():
                    return redirect("enter")
                said = form.cleaned_data
                person = Person.objects.create_user(said["name"].strip(), Role.OWNER, said["password"])
                _works_here(person.name)
            forget_failures()
            login(request, person, backend=settings.AUTHENTICATION_BACKENDS[-1])
            return redirect(settings.LOGIN_REDIRECT_URL)
        form.add_error("code", "That is not the code. It stands in the terminal where the desk was started.")
    return render(request, "desk/first_owner.html", {"form": form}, status=200 if not form.errors else 422)


@open_to_all
@require_POST
def leave(request: HttpRequest) -> HttpResponse:
    """Out of the door; a paired phone is no longer one."""
    phone = phone_of(request)
    if phone is not None:
        withdraw(phone, now())
    logout(request)
    return redirect("enter")


class PasswordForm(forms.Form):
    """The password so far, and a new one."""

    password = _password("Your password so far", known=True)
    new = _password("The new one", known=False, hint="At least ten characters.")

    def clean_new(self) -> str:
        new: str = self.cleaned_data["new"]
        validate_password(new)
        return new


@for_role(Role.HELPER, Role.HELPER)
@require_http_methods(["GET", "HEAD", "POST"])
def password(request: HttpRequest) -> HttpResponse:
    """Another password of one's own; every other machine and phone has to enter again."""
    person = request.user
    assert isinstance(person, Person)
    form = PasswordForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        if not may_try("password", str(person.pk)):
            return locked_out(request)
        if person.check_password(form.cleaned_data["password"]):
            person.set_password(form.cleaned_data["new"])
            person.save(update_fields=["password"])
            update_session_auth_hash(request, person)
            messages.success(request, "Your password is changed. Wherever else you were in, enter again.")
            return redirect("phones")
        form.add_error("password", "That is not your password so far.")
    return render(request, "desk/password.html", {"form": form}, status=200 if not form.errors else 422)


@open_to_all
def up(request: HttpRequest) -> HttpResponse:
    """Says that the desk answers."""
    return HttpResponse("up", content_type="text/plain")


@requires_csrf_token
def unreadable(request: HttpRequest, exception: Exception) -> HttpResponse:
    """What a browser sent and we can't take in: too much of it, broken, or to a name that is not ours."""
    if isinstance(exception, DisallowedHost):  # a page would repeat nothing, but links need a name to trust
        return HttpResponse("The desk does not answer to this name.\n", status=400, content_type="text/plain")
    status = 413 if isinstance(exception, RequestDataTooBig | TooManyFilesSent | TooManyFieldsSent) else 400
    return render(request, "400.html", {"too_much": status == 413}, status=status)
