"""`import`, `export`, `backup`, `restore`: documents and whole shops into the record and out of it."""

from datetime import UTC, datetime
from pathlib import Path

import click

from witnessmark.documents import Fault, Faulty

from .data_folder import held, opened
from .frame import Answer, answers
from .serving import data_option

_SHOWN = 6


@click.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--who", help="Who takes it in; the first owner unless said.")
@data_option
@answers
def take_in(file: Path, who: str | None, folder: Path) -> Answer:
    """Take in a survey, the shop's document, a day book, a folder of these or an exported zip, with the photographs
    that lie beside. A survey that is here already gets a new state; entries that are here count once."""
    if not file.exists():
        raise Faulty([Fault(str(file), "", "no such file", "a file, a folder or a zip to take in")])
    opened(folder)
    from witnessmark.record import taken_in

    found = taken_in(file, _person(who), datetime.now(UTC))
    says = [
        _counted(len(found.surveys), "survey kept", "surveys kept"),
        _counted(len(found.known), "survey was here as it is", "surveys were here as they are"),
        "the shop's document kept" if found.shop else "",
        _counted(len(found.accepted), "entry kept", "entries kept"),
        _counted(len(found.entries_known), "entry was here already", "entries were here already"),
        _counted(len(found.photographs), "photograph kept", "photographs kept"),
    ]
    line = ", ".join(filter(None, says)) or "nothing that was not here already"
    warnings = []
    if found.missing:
        shown, more = found.missing[:_SHOWN], len(found.missing) - _SHOWN
        named = ", ".join(shown) + (f" and {more} more" if more > 0 else "")
        warnings.append(f"photographs that are named and do not lie beside: {named}")
    return Answer(vars(found), [f"{line[0].upper()}{line[1:]}."], [], warnings)


def _counted(count: int, one: str, many: str) -> str:
    return "" if not count else f"{count} {one if count == 1 else many}"


def _person(who: str | None) -> str:
    """The name to keep things under: of somebody who may enter, or of the first person of the shop."""
    from witnessmark.record import Person, Role, person_named, the_shop

    if who:
        return person_named(who).name if Person.objects.exists() else who
    owner = Person.objects.filter(role=Role.OWNER, is_active=True).order_by("made").first()
    return owner.name if owner else the_shop().person[0].name


@click.command("export")
@click.argument("piece")
@click.option("--out", required=True, type=click.Path(dir_okay=False, path_type=Path), help="The file: a .zip takes "
              "entries and photographs along; any other name the survey alone.")  # fmt: skip
@click.option("--to-others", is_flag=True, help="Leave place, time and names out of the photographs.")
@data_option
@answers
def give_out(piece: str, out: Path, to_others: bool, folder: Path) -> Answer:
    """Write a piece to a file that “import” reads back equal. PIECE is its id, its code, or words of its title."""
    opened(folder)
    from witnessmark.record import given_out, piece_meant

    survey = piece_meant(piece)
    photographs = given_out(survey, out, to_others)
    title = survey.piece.title or survey.piece.kind.value
    along = f", with {_counted(photographs, 'photograph', 'photographs')}" if photographs else ""
    warnings = []
    if photographs and not to_others:
        warnings.append("the photographs are the originals, with place and time; --to-others leaves those out")
    return Answer({"id": survey.id, "out": str(out), "photographs": photographs}, [f"{title} is in {out}{along}."], [],
                  warnings)  # fmt: skip


@click.command("backup")
@click.option("--out", required=True, type=click.Path(dir_okay=False, path_type=Path), help="The file to write.")
@data_option
@answers
def back_up(out: Path, folder: Path) -> Answer:
    """Write the whole shop into one file, while the desk is open. Keep it on another disk, out of strangers' hands."""
    from witnessmark.record import backed_up

    told = backed_up(folder, out, datetime.now(UTC))
    says = f"{told.pieces} pieces, {told.entries} entries and {told.photographs} photographs are in {out}."
    return Answer({"out": str(out), **vars(told)}, [says])


@click.command("restore")
@click.argument("file", type=click.Path(dir_okay=False, path_type=Path))
@click.option("--over", is_flag=True, help="Put the shop that is in the folder aside first.")
@data_option
@answers
def restore(file: Path, over: bool, folder: Path) -> Answer:
    """Put the shop in a backup into a folder. A shop that is there stays, unless --over puts it aside."""
    if not file.is_file():
        raise Faulty([Fault(str(file), "", "no such file", "a backup")])
    from witnessmark.record import restored

    with held(folder):
        told, aside = restored(file, folder, datetime.now(UTC), over)
        opened(folder)
    says = [f"{told.pieces} pieces, {told.entries} entries and {told.photographs} photographs are in {folder}, as they "
            f"stood at {told.at[:16].replace('T', ' ')} UTC. Everybody enters again."]  # fmt: skip
    if aside:
        says.append(f"What was there is kept in {aside}.")
    return Answer({"folder": str(folder), "aside": str(aside) if aside else None, **vars(told)}, says)


COMMANDS: dict[str, click.Command] = {"import": take_in, "export": give_out, "backup": back_up, "restore": restore}
