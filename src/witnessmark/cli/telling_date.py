"""`tell date`: when the piece, and each part that dates itself, was made."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from witnessmark import evidence
from witnessmark.documents import Fault, Faulty

from .frame import Answer, answers
from .telling import reading_options, said_on_the_line, survey_in

if TYPE_CHECKING:
    from witnessmark.evidence import Dating

_REGIONS = ("UK", "US", "FR", "DE", "any")
_SHOWN = 3  # looks and stories on the screen; all are in the JSON


@click.command("date")
@reading_options
@click.option("--later", multiple=True, metavar="KEY", help="Seen, and plainly later than the piece.")
@click.option("--older", multiple=True, metavar="KEY", help="Seen, and plainly older than the piece.")
@click.option("--style", "styles", multiple=True, help="The style it is in; more than one where it stands between.")
@click.option("--region", type=click.Choice(_REGIONS), help="Where it was made.")
@click.option("--picture", type=click.Path(dir_okay=False), help="Write a drawing of the evidence here, as SVG.")
@answers
def tell_date(
    file: str | None,
    seen: Sequence[str],
    absent: Sequence[str],
    unsure: Sequence[str],
    later: Sequence[str],
    older: Sequence[str],
    styles: Sequence[str],
    region: str | None,
    picture: str | None,
) -> Answer:
    """When the piece, and each part that dates itself, was made. KEY@PART says which part carries it."""
    survey = survey_in(file) if file else None
    said = said_on_the_line(seen, absent, unsure)
    plainly_later, plainly_older = (said_on_the_line(keys, (), ()) for keys in (later, older))
    if not (file or said or plainly_later or plainly_older or styles):
        raise Faulty([Fault("command line", "", "nothing", "a survey, a --seen KEY or a --style")])
    read = evidence.Readings(survey, region)
    # What is plainly later or older is said by its key alone, whether or not it was said to be seen.
    for told, age in ((said, None), (plainly_later, evidence.Age.LATER), (plainly_older, evidence.Age.OLDER)):
        for one in told:
            read.add(one.place, one.key, one.state, one.how, age=age)
    for style in styles:
        read.style("--style", style)
    dating = read.dating()
    if picture:
        _write(Path(picture), evidence.picture(dating))
    return Answer(_result(dating), _says(dating), [], _warnings(dating))


def _write(file: Path, drawing: str) -> None:
    try:
        file.write_text(drawing, "utf-8")
    except OSError as error:
        raise Faulty([Fault("--picture", "", str(file), f"a file that may be written ({error.strerror})")]) from None


# --- the answer ---


def _result(dating: "Dating") -> dict[str, Any]:
    stories = {**dating.looked.probabilities, "none_of_these": dating.looked.none_of_these}
    return {
        "candidates": [{"key": key, "name": name, "probability": chance} for key, name, chance in dating.decades],
        "none_of_these": dating.looked.none_of_these,
        "group": dating.century and {"key": dating.century[0], "probability": dating.century[1]},
        "range50": list(dating.range50),
        "range90": list(dating.range90),
        "readings": [
            {"key": one.key, "state": one.state, "part": one.part, "ratio": one.ratio, "says": one.says,
             "counted": one.counted}
            for one in dating.readings
        ],
        "conflicts": [
            {"key": one.key, "part": one.part, "ratio": one.ratio, "says": one.says} for one in dating.conflicts
        ],
        "next": [
            {"look": look.key, "what": look.name, "gain": look.gain, "harm": look.harm, "minutes": look.minutes}
            for look in dating.next_looks
        ],
        "enough": dating.enough,
        "stories": [
            {"key": key, "name": evidence.story_name(key), "probability": chance}
            for key, chance in sorted(stories.items(), key=lambda item: -item[1])
        ],
        "associated": dating.later_half and {"half": dating.later_half[0], "range50": list(dating.later_half[1])},
        "parts": [
            {"part": one.part, "keys": list(one.keys), "from": one.begins, "to": one.to, "later": one.later,
             "older": one.older, "says": one.says}
            for one in dating.parts
        ],
        "from_style_only": dating.from_style,
        "ticket": evidence.ticket(dating),
    }  # fmt: skip


def _says(dating: "Dating") -> list[str]:
    half, wide = ("–".join(map(str, span)) for span in (dating.range50, dating.range90))
    says = [
        f"For the ticket: {evidence.ticket(dating)}.",
        f"As likely as not {half}; nine times in ten {wide}.",
    ]
    if dating.readings:
        says += ["", "What each clue says", *(f"  {one.says}" for one in dating.readings)]
    says += _block("What disagrees", dating.conflicts, lambda one: one.says)
    says += _block("Parts with a date of their own", dating.parts, lambda one: one.says)
    stories = {**dating.looked.probabilities, "none_of_these": dating.looked.none_of_these}
    best = sorted(stories.items(), key=lambda item: -item[1])[:_SHOWN]
    says += _block("The stories", best, lambda item: f"{evidence.story_name(item[0])}: {item[1]:.0%}")
    says += _block("Look next", dating.next_looks[:_SHOWN],
                   lambda look: f"{look.key}: {look.name} ({look.minutes:g} min, harm {look.harm})")  # fmt: skip
    return [*says, "", f"Enough: {dating.enough}."] if dating.enough else says


def _block(title: str, items: Sequence[Any], words: Callable[[Any], str]) -> list[str]:
    return ["", title, *(f"  {words(item)}" for item in items)] if items else []


def _warnings(dating: "Dating") -> list[str]:
    warnings = []
    if dating.from_style:
        warnings.append("no clue dates this piece: the years are those of the style, which is the weakest evidence"
                        if dating.styles else "nothing that dates the piece was seen")  # fmt: skip
    if any(one.key == evidence.CARVED_DATE for one in dating.readings):
        warnings.append("a carved date dates nothing by itself and was left out of the sum")
    return warnings


COMMAND = tell_date
