"""Readings in a restorer's words, from a survey or one by one, as clues and looks; and the dating of a survey."""

from collections.abc import Iterable, Sequence

from witnessmark.documents import Fault, Faulty, Refused, nearest
from witnessmark.odds import How, Reading
from witnessmark.survey import ReadingAbout, Seen, Survey, YesNo

from .clues import Age, BadClue, Clue, weight_of
from .dating import Dating, date
from .features import NoSuchFeature, feature_named
from .marks import mark
from .stories import looks
from .styles import NoSuchStyle, style_named
from .wording import closely_dated

REGIONS = ("UK", "US", "FR", "DE", "any")
_NUMBERED = {"mark_us_patent_number": "Pat. No.", "mark_uk_rd_no": "Rd No"}
_HOW = {Seen.SEEN: How.SEEN, Seen.NOT_SEEN: How.NOT_SEEN, Seen.UNSURE: How.UNSURE}
_AGE = {YesNo.YES: Age.LATER, YesNo.NO: Age.UNDISTURBED, YesNo.UNKNOWN: None}


def dating_of(survey: Survey) -> Dating | None:
    """When the piece was made, by the survey's readings about its date; None where it has none.

    Raises Faulty with every reading that can't be read.
    """
    if not any(one.about is ReadingAbout.DATE for one in survey.reading):
        return None
    return Readings(survey).dating()


def years_read(survey: Survey) -> tuple[tuple[float, float], tuple[str, ...]] | None:
    """First and last year of the 90 % range of the survey's readings, and the readings it rests on.

    None where there are no such readings, or they disagree, or the whole is made up of two dates: then they rule
    nothing out.
    """
    dating = dating_of(survey)
    if dating is None or dating.conflicts or dating.later_half or dating.from_style or not closely_dated(dating):
        return None
    cites = tuple(f"reading.{at}" for at, one in enumerate(survey.reading, 1) if one.about is ReadingAbout.DATE)
    return (float(dating.range90[0]), float(dating.range90[1])), cites


class Readings:
    """Gathers what was read of one piece; keeps all that it can't read, to complain of once.

    It begins with the readings of the survey, if there is one. `region` is that of the survey where none is given.
    """

    def __init__(self, survey: Survey | None = None, region: str | None = None) -> None:
        self.survey = survey
        self.region = region or (survey.piece.region.value if survey else "any")
        self.faults: list[Fault] = []
        self._clues: dict[tuple[str, str], Clue] = {}
        self._looks: list[Reading] = []
        self._styles: list[str] = []
        self._known_looks = [feature.key for feature in looks().features]
        for at, one in enumerate(survey.reading if survey else (), 1):
            if one.about is ReadingAbout.DATE:
                self.add(f"reading.{at}", one.feature, one.state, _HOW[one.seen], one.part or "", _AGE[one.later])

    def add(
        self, place: str, words: str, state: str = "", how: How = How.SEEN, part: str = "", age: Age | None = None
    ) -> None:
        """One reading. `words` may end in “@part”; `place` is where it was said, for a fault.

        What is said to be later or older by its key alone speaks of every part that carries it.
        """
        key, _, at_part = (text.strip() for text in words.partition("@"))
        look = key.casefold().replace(" ", "_").replace("-", "_")
        if look in self._known_looks:
            if state in {"", "yes", "no"}:
                self._looks.append(Reading(look, state or "yes", how))
            else:
                self.faults.append(Fault(place, look, state, "yes or no"))
            return
        try:
            feature = feature_named(key, self.region).key
            year = _year_in(place, key, state, feature)
        except NoSuchFeature as error:
            near = error.near or nearest(look, self._known_looks)
            self.faults.append(Fault(place, "", key, _expected(error.several, "a feature that dates"), nearest=near))
            return
        except Faulty as error:
            self.faults += error.faults
            return
        except Refused as error:
            self.faults.append(Fault(place, key, state, f"a mark that can be read ({error})"))
            return
        name, half = self._part(at_part or part)
        known = [at for at in self._clues if at[0] == feature] if age in {Age.LATER, Age.OLDER} else []
        for at in known or [(feature, name)]:
            before = self._clues.get(at)
            clue = Clue(
                feature,
                before.how if before and known else how,
                before.part if before and known else name,
                before.half if before and known else half,
                age or (before.age if before else Age.UNKNOWN),
                year or (before.year if before else None),
            )
            try:
                weight_of(clue)
            except BadClue as error:
                self.faults.append(Fault(place, feature, state, f"the year that was read on it ({error})"))
            else:
                self._clues[at] = clue

    def style(self, place: str, words: str) -> None:
        """A style that the piece is in."""
        try:
            self._styles.append(style_named(words, self.region))
        except NoSuchStyle as error:
            expected = _expected(error.several, "a style, such as uk_regency")
            self.faults.append(Fault(place, "", words, expected, nearest=error.near))

    def dating(self) -> Dating:
        """What all of it says. Raises Faulty with all that could not be read."""
        if self.faults:
            raise Faulty(self.faults)
        return date(list(self._clues.values()), self._styles, self.region, self._looks)

    def _part(self, text: str) -> tuple[str, str]:
        """A part's name, and the half of the piece that it or a part it belongs to is."""
        if self.survey is None:
            bare = set(text.casefold().split()) <= {"upper", "lower", "half", "part"}
            return "" if bare else text, _half_in([text])
        parts = self.survey.parts_by_code()
        names, code = [text], text
        while code in parts and len(names) <= len(parts):  # a part may be said to be part of its own part
            names.append(parts[code].name)
            code = parts[code].of or ""
        return names[min(1, len(names) - 1)], _half_in(names)


def _expected(several: Sequence[str], otherwise: str) -> str:
    return f"one of {', '.join(several)}" if several else otherwise


def _half_in(names: Iterable[str]) -> str:
    words = {word for name in names for word in name.casefold().replace("_", " ").replace("-", " ").split()}
    return next((half for half in ("upper", "lower") if half in words), "")


def _year_in(place: str, words: str, state: str, feature: str) -> int | None:
    """The year that stands beside a feature, or that of the number or day of a mark that does."""
    if state in {"", "yes", "seen"}:
        return None
    if feature in _NUMBERED:
        return mark(f"{_NUMBERED[feature]} {state}").year
    if feature == "mark_us_patent_date" and not state.isdigit():
        return mark(f"Pat. {state}").year
    if not (state.isdecimal() and len(state) == 4):
        raise Faulty([Fault(place, words, state, "nothing here, or a year such as 1871")])
    return int(state)
