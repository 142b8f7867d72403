"""`serve` and `demo`: the desk, from one process on one folder; `rebuild`, `person` and `token` beside it."""

import secrets
from datetime import UTC, datetime
from pathlib import Path

import click

from .answering import AS_SERVED, for_phones, served, stop_quietly
from .data_folder import held, opened
from .frame import Answer, answers

FOLDER = "witnessmark-data"
DEMO_FOLDER = "witnessmark-demo"
DEMO_MORNING = datetime(2026, 11, 25, 8, tzinfo=UTC)  # the morning after its day book ends
PORT = 8765
data_option = click.option(
    "--data", "folder", default=FOLDER, show_default=True, type=click.Path(file_okay=False, path_type=Path),
    help="The folder the shop is kept in.",
)  # fmt: skip
# No 0 or O, no 1, I or L: a code is read off one screen and typed on another.
LETTERS = "ABCDEFGHJKMNPQRSTUVWXYZ23456789"


def first_code() -> str:
    """A one-time code of 40 bits, in two groups that can be read aloud."""
    letters = [secrets.choice(LETTERS) for _ in range(8)]
    return f"{''.join(letters[:4])}-{''.join(letters[4:])}"


@click.command("serve")
@data_option
@click.option(
    "--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="0 takes any that is free."
)
@click.option("--lan", is_flag=True, help="Answer phones on the shop's own network too, encrypted.")
def serve(folder: Path, port: int, lan: bool) -> None:
    """Open the desk on this machine: pages for the computer in the corner and, with --lan, the phone at the bench."""
    stop_quietly()
    with held(folder):
        phones = for_phones(folder) if lan else None
        code = first_code()
        opened(folder, WITNESSMARK_FIRST_CODE=code, **AS_SERVED, **(phones.settings if phones else {}))
        from witnessmark.record import Person

        says = [] if Person.objects.exists() else [f"The first owner enters with this code, once: {code}"]
        served(port, says, phones)


@click.command("demo")
@click.option(
    "--data", "folder", default=DEMO_FOLDER, show_default=True, type=click.Path(file_okay=False, path_type=Path),
    help="The folder the demo is kept in: never your shop's.",
)  # fmt: skip
@click.option("--port", default=PORT, show_default=True, type=click.IntRange(0, 65535), help="0: any that is free.")
def demo(folder: Path, port: int) -> None:
    """Open the desk of an invented shop, in a folder of its own: look round, try things, delete it when done."""
    stop_quietly()
    with held(folder):
        opened(folder, WITNESSMARK_AHEAD=str(ahead(folder / "demo-began")), **AS_SERVED)
        served(port, demo_kept(folder))


def demo_kept(folder: Path) -> list[str]:
    """The demo shop, kept in the folder just opened, and what to say of it."""
    from witnessmark.desk import keep_demo, now
    from witnessmark.record import Person, Role, the_shop

    pieces = keep_demo(demo_documents(), now())
    says = [f"The demo shop, invented: {pieces} pieces, kept in {folder}"]
    for person, role in zip(the_shop().person, (Role.OWNER, Role.HELPER), strict=False):
        password = f"{first_code()}-{first_code()}".lower()
        known = Person.objects.filter(name=person.name).first()
        somebody = known or Person.objects.create_user(person.name, role)
        somebody.set_password(password)
        somebody.save()
        says.append(f"Enter as {person.name} ({role.label.lower()}), password {password}")
    return says


def ahead(began: Path) -> float:
    """Seconds from the clock on the wall to the demo's own, which began on its first morning when it was made."""
    began.parent.mkdir(parents=True, exist_ok=True)
    try:
        start = datetime.fromisoformat(began.read_text("ascii"))
    except (FileNotFoundError, ValueError):
        start = datetime.now(UTC)
        began.write_text(start.isoformat(), "ascii")
    return (DEMO_MORNING - start).total_seconds()


def demo_documents() -> Path:
    """Where the demo's documents stand: beside the code in a checkout, within the package where it was installed."""
    import witnessmark

    package = Path(witnessmark.__file__).parent
    return next(place for place in (package / "demo", package.parents[1] / "demo") if place.is_dir())


@click.command("rebuild")
@data_option
@answers
def rebuild(folder: Path) -> Answer:
    """Make the lists again from what is kept."""
    opened(folder)
    from witnessmark.record import rebuild as rebuilt

    pieces = rebuilt()
    return Answer({"pieces": pieces}, [f"Made again: {pieces} pieces."])


COMMANDS = {"serve": serve, "demo": demo, "rebuild": rebuild}
