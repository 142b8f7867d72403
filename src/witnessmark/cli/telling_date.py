"""`tell date`: when the piece, and each part that dates itself, was made."""

from collections.abc import Callable, Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from witnessmark import evidence
from witnessmark.documents import Fault, Faulty, nearest
from witnessmark.odds import Reading

from .frame import Answer, answers
from .telling import Said, reading_options, said_in_the_survey, said_on_the_line, survey_in

if TYPE_CHECKING:
    from witnessmark.evidence import Clue, Dating
    from witnessmark.survey import Survey

_REGIONS = ("UK", "US", "FR", "DE", "any")
_SHOWN = 3  # looks and stories on the screen; all are in the JSON
_NUMBERED = {"mark_us_patent_number": "Pat. No.", "mark_uk_rd_no": "Rd No"}


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
    where = region or (_region_of(survey) if survey else "any")
    read = _Reader(where, survey)
    for one in said_in_the_survey(survey, "date") if survey else []:
        read.one(one, evidence.Age.LATER if one.later else evidence.Age.UNDISTURBED if one.original else None)
    # What is plainly later or older is said by its key alone, whether or not it was said to be seen.
    for told, age in ((said, None), (plainly_later, evidence.Age.LATER), (plainly_older, evidence.Age.OLDER)):
        for one in told:
            read.one(one, age)
    keys = [read.style(text) for text in styles]
    if read.faults:
        raise Faulty(read.faults)
    dating = evidence.date(list(read.clues.values()), keys, where, read.looks)
    if picture:
        _write(Path(picture), evidence.picture(dating))
    return Answer(_result(dating), _says(dating), [], _warnings(dating))


def _write(file: Path, drawing: str) -> None:
    try:
        file.write_text(drawing, "utf-8")
    except OSError as error:
        raise Faulty([Fault("--picture", "", str(file), f"a file that may be written ({error.strerror})")]) from None


class _Reader:
    """Turns what was said into clues and looks; keeps all that it can't read, to complain of once."""

    def __init__(self, region: str, survey: "Survey | None") -> None:
        self.region, self.survey = region, survey
        self.clues: dict[tuple[str, str], Clue] = {}
        self.looks: list[Reading] = []
        self.faults: list[Fault] = []
        self._known_looks = [feature.key for feature in evidence.looks().features]

    def one(self, said: Said, age: Any) -> None:
        key, _, part = (text.strip() for text in said.key.partition("@"))
        look = key.casefold().replace(" ", "_").replace("-", "_")
        if look in self._known_looks:
            self._look(look, said)
            return
        try:
            feature = evidence.feature_named(key, self.region).key
            year = _year_in(said, feature)
        except evidence.NoSuchFeature as error:
            near = error.near or nearest(look, self._known_looks)
            self.faults.append(Fault(said.place, "", key, _expected(error.several, "a feature that dates"),
                                     nearest=near))  # fmt: skip
            return
        except Faulty as error:
            self.faults += error.faults
            return
        name, half = self._part(part or said.part)
        known = [at for at in self.clues if at[0] == feature] if age in {evidence.Age.LATER, evidence.Age.OLDER} else []
        for at in known or [(feature, name)]:
            before = self.clues.get(at)
            self.clues[at] = evidence.Clue(
                feature,
                before.how if before and known else said.how,
                before.part if before and known else name,
                before.half if before and known else half,
                age or (before.age if before else evidence.Age.UNKNOWN),
                year or (before.year if before else None),
            )

    def _look(self, key: str, said: Said) -> None:
        if said.state not in {"", "yes", "no"}:
            self.faults.append(Fault(said.place, key, said.state, "yes or no"))
        else:
            self.looks.append(Reading(key, said.state or "yes", said.how))

    def _part(self, text: str) -> tuple[str, str]:
        """A part's name, and the half of the piece that it or a part it belongs to is."""
        if self.survey is None:
            bare = set(text.casefold().split()) <= {"upper", "lower", "half", "part"}
            return "" if bare else text, _half_in([text])
        parts = {part.code: part for part in self.survey.part}
        names, code = [text], text
        while code in parts:
            names.append(parts[code].name)
            code = parts[code].of or ""
        return names[min(1, len(names) - 1)], _half_in(names)

    def style(self, text: str) -> str:
        try:
            return evidence.style_named(text, self.region)
        except evidence.NoSuchStyle as error:
            self.faults.append(Fault("--style", "", text, _expected(error.several, "a style, such as uk_regency"),
                                     nearest=error.near))  # fmt: skip
            return ""


def _expected(several: Sequence[str], otherwise: str) -> str:
    return f"one of {', '.join(several)}" if several else otherwise


def _half_in(names: Iterable[str]) -> str:
    words = {word for name in names for word in name.casefold().replace("_", " ").replace("-", " ").split()}
    return next((half for half in ("upper", "lower") if half in words), "")


def _region_of(survey: "Survey") -> str:
    said = survey.piece.region.value
    return next((region for region in _REGIONS if region.casefold() == said.casefold()), "any")


def _year_in(said: Said, feature: str) -> int | None:
    """The year that stands after `=`, or that of the number or day of a mark that does."""
    text = said.state
    if text in {"", "yes", "seen"}:
        return None
    if feature in _NUMBERED:
        return evidence.mark(f"{_NUMBERED[feature]} {text}").year
    if feature == "mark_us_patent_date" and not text.isdigit():
        return evidence.mark(f"Pat. {text}").year
    if not (text.isdigit() and len(text) == 4):
        raise Faulty([Fault(said.place, said.key, text, "nothing here, or a year such as 1871")])
    return int(text)


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
