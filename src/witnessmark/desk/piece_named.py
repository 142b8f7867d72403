"""A piece by what an address calls it: its id, or the code on its tape, as a tag has it."""

from django.http import Http404

from witnessmark.record import NoSuchPiece, StockRow, survey_of
from witnessmark.survey import Survey


def piece_named(name: str) -> Survey:
    """The survey of a piece by its id, or by its code where only one piece has that. Raises Http404."""
    try:
        return survey_of(name)
    except NoSuchPiece:
        found = pieces_coded(name)
    if len(found) != 1:
        raise Http404(f"no piece {name} is kept here" if not found else f"several pieces have {name} on their tape")
    return survey_of(found[0])


def pieces_coded(code: str) -> list[str]:
    """The ids of the pieces that have this code on their tape; those that are still here first."""
    rows = StockRow.objects.filter(code__iexact=code).values_list("piece", "stage")
    here = sorted(rows, key=lambda row: str(row[1]).lower() == "out")
    # A code that went out with one piece may be another's today: the one that is here is meant.
    still = [piece for piece, stage in here if str(stage).lower() != "out"]
    return still or [piece for piece, _ in here]
