"""Small surveys for tests: a piece in a few lines, so that each test shows the one fact it is about."""

from witnessmark.survey import Survey, survey_from

ID = "0190a5b2-0000-7000-8000-000000000001"

CHEST = """
[piece]
kind = "chest"
size = "1105 x 500 x 1080 mm"
show_wood = "mahogany"
region = "UK"
"""

TOP = """
[[part]]
code = "TOP"
name = "top"
wood = "mahogany"
shape = "board"
size = "1105 x 500 x 20 mm"
show = ["top", "front edge", "ends"]
[[part]]
code = "SIDE"
name = "sides"
count = 2
wood = "mahogany"
shape = "board"
size = "1000 x 480 x 18 mm"
show = ["outside"]
"""


def survey_with(*tables: str, piece: str = CHEST) -> Survey:
    """A survey of `piece` and these tables."""
    return survey_from("\n".join([f'schema = 1\nid = "{ID}"', piece, *tables]), "test.toml")


def finish(kind: str, extra: str = "") -> str:
    return f'[finish]\nkind = "{kind}"\n{extra}\n'


def condition(term: str, part: str = "", severity: str = "moderate", count: int = 1) -> str:
    where = f'part = "{part}"\n' if part else ""
    return f'[[condition]]\nterm = "{term}"\nseverity = "{severity}"\ncount = {count}\n{where}'


def wishes(**said: str) -> str:
    return "[wishes]\n" + "".join(f'{wish} = "{answer}"\n' for wish, answer in said.items())


def decision(about: str, **said: str) -> str:
    lines = "".join(f'{key} = "{value}"\n' for key, value in said.items())
    return f'[[decision]]\nabout = "{about}"\nwho = "Ann"\non = 2026-11-20\nwhy = "tried it"\n{lines}'
