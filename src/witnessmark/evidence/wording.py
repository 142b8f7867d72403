"""The wording to print on a ticket: years a dealer can stand behind, and no percentages."""

import re

from witnessmark.sources import rule

from .dating import Dating, PartDate
from .stories import stories

# What follows says where the part sits: “cleats beneath the top” are cleats.
_PLACED = re.compile(r" (?:of|in|on|at|under|beneath|above|between|behind|inside|round|below|for|with) ")


def _about(begins: int, ends: int) -> tuple[int, int]:
    """Rounded outward to five years: nothing here is closer."""
    return begins // 5 * 5, -(-ends // 5) * 5


def _span(begins: int, ends: int) -> str:
    first, last = _about(begins, ends)
    return f"{first}–{last}" if first != last else f"{first}"


def made_about(dating: Dating) -> str:
    """When the piece was made: “made about 1880–1905”, wider where it must be, or that it can't be told."""
    begins, ends = dating.range90
    wide = ends - begins > float(rule("evidence", "wide").value)
    if dating.from_style and not dating.styles:
        return "date not known: nothing that dates it has been seen"
    if dating.story == "none_of_these":
        return "date not known: what was seen does not fit together"
    if wide and dating.range50[1] - dating.range50[0] > float(rule("evidence", "narrow").value):
        return "not closely dated by what has been seen"
    if ends - begins <= float(rule("evidence", "narrow").value):
        said = f"made about {_span(begins, ends)}"
    else:
        said = f"made about {_span(*dating.range50)}, at the outside {_span(begins, ends)}"
    return f"{said}, by its style alone" if dating.from_style else said


def closely_dated(dating: Dating) -> bool:
    """Whether years stand on the ticket."""
    return made_about(dating).startswith("made about")


def _dates_itself(part: PartDate) -> str:
    years = f"{part.begins} or later" if part.to is None else _span(part.begins, part.to)
    if part.begins == part.to:
        years = str(part.begins)
    named = part.part.partition(",")[0]
    last = _PLACED.split(named)[0].split()[-1]
    return f"the {named}, {years}, {'date' if last.endswith('s') else 'dates'} the {last}"


def _story(dating: Dating) -> str:
    """The story, where it may be told, or the likelier one with “perhaps”."""
    lead = dating.story
    if lead not in stories() or dating.looked.probabilities[lead] < 0.5:
        return ""
    words = stories()[lead]["ticket"]
    if lead == "marriage" and dating.later_half:
        half, span = dating.later_half
        words = f"a marriage: the {half} half, about {_span(*span)}, is associated"
    return words if dating.looked.told or not words else f"perhaps {words}"


def ticket(dating: Dating) -> str:
    """One line for the ticket: when it was made, its story where it may be told, and parts of another date."""
    bar = float(rule("evidence", "probably_later").value)
    other_half = f"of the {dating.later_half[0]} half" if dating.later_half else None
    apart = [
        _dates_itself(part)
        for part in dating.parts
        if (part.later >= bar or part.older >= bar) and not (other_half and part.part.endswith(other_half))
    ]
    said = [made_about(dating), _story(dating), *apart]
    return "; ".join(phrase for phrase in said if phrase)
