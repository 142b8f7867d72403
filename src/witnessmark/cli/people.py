"""`person` and `token`: who may enter the desk, and the keys of its API."""

import sys
from datetime import UTC, datetime
from pathlib import Path

import click

from witnessmark.documents import Fault, Faulty

from .data_folder import opened
from .frame import Answer, answers
from .serving import data_option

ROLES = ("owner", "helper", "reader")


@click.group("person")
def person() -> None:
    """Let people in, change what they may do, and shut them out again."""


@person.command("add")
@click.argument("name")
@click.option("--role", required=True, type=click.Choice(ROLES), help="An owner may do all, a helper works, a reader "
              "looks.")  # fmt: skip
@click.option("--password-stdin", is_flag=True, help="Read the password from the standard input, not the keyboard.")
@data_option
@answers
def add(name: str, role: str, password_stdin: bool, folder: Path) -> Answer:
    """Let somebody in. Somebody known gets this role and a new password, and is signed out everywhere."""
    opened(folder)
    from django.contrib.auth.password_validation import validate_password
    from django.core.exceptions import ValidationError

    from witnessmark.record import Role, keep_person

    if not name.strip() or len(name) > 200:
        raise Faulty([Fault("NAME", "", name[:80], "a name of at most 200 letters, as the day book shall say it")])
    password = _password(password_stdin)
    try:
        validate_password(password)
    except ValidationError as error:
        why = " ".join(error.messages)
        raise Faulty([Fault("the password", "", "", f"another one. {why}".rstrip("."))]) from None
    somebody, fresh = keep_person(name, Role(role), password)
    says = f"{somebody.name} may enter, as {role}." if fresh else (
        f"{somebody.name} was known: has this password from now on, is {role}, and is signed out everywhere."
    )  # fmt: skip
    return Answer({"name": somebody.name, "role": role, "new": fresh}, [says])


def _password(from_input: bool) -> str:
    if from_input:
        return sys.stdin.readline().rstrip("\r\n")
    typed: str = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    return typed


@person.command("list")
@data_option
@answers
def listed(folder: Path) -> Answer:
    """Who may enter, and who no longer may."""
    opened(folder)
    from witnessmark.record import Person

    people = [
        {"name": one.name, "role": one.role, "may_enter": one.is_active} for one in Person.objects.order_by("name")
    ]
    says = [f"{one['name']}: {one['role']}{'' if one['may_enter'] else ', shut out'}" for one in people]
    return Answer({"people": people}, says or ["Nobody yet: “person add NAME --role owner” makes the first owner."])


@person.command("remove")
@click.argument("name")
@data_option
@answers
def remove(name: str, folder: Path) -> Answer:
    """Shut somebody out: their sessions end and their keys open nothing. What they did stays theirs."""
    opened(folder)
    from witnessmark.record import person_named, shut_out

    somebody = person_named(name)
    shut_out(somebody, datetime.now(UTC))
    return Answer({"name": somebody.name}, [f"{somebody.name} may no longer enter; “person add” lets them in again."])


@click.command("token")
@click.argument("name")
@data_option
@answers
def token(name: str, folder: Path) -> Answer:
    """Make a key of the API for somebody. It is printed this once and kept nowhere."""
    opened(folder)
    from witnessmark.record import person_named, token_for

    somebody = person_named(name)
    key = token_for(somebody)
    return Answer(
        {"name": somebody.name, "token": key},
        [key, f"The key of {somebody.name}: send it as “Authorization: Bearer …”. It can't be shown again."],
    )


COMMANDS: dict[str, click.Command] = {"person": person, "token": token}
