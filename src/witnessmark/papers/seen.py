"""What was seen of a piece, as several papers say it: what it is, what is amiss and where, its photographs."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from witnessmark.evidence import features
from witnessmark.plan import PiecePlan
from witnessmark.survey import Condition, Mark, Photograph, Reading, Survey, YesNo, condition_named

from .heads import title_of
from .pictures import numbered, picture_of
from .voice import Voice, capital, listed, sentence, shortened

UNKNOWN = "don't know"
_STEP = {"slight": "1", "moderate": "2", "major": "3"}


@dataclass(frozen=True)
class Damage:
    """Something amiss, with the number it goes by on a paper and its photographs."""

    number: int
    seen: Condition
    what: str
    where: str
    extent: str
    severity: str
    means: str
    note: str

    @property
    def said(self) -> str:
        """It in one line: `2. Ring mark on the top, 2 places, slight.`"""
        extent = f", {self.extent}" if self.extent else ""
        severity = f", {self.severity}" if self.severity else ""
        return f"{self.number}. {self.what} on {self.where}{extent}{severity}."


def damages(survey: Survey, voice: Voice) -> tuple[Damage, ...]:
    """Everything amiss, numbered from one in the order it was written down."""
    found = []
    for number, (_, seen) in enumerate(survey.condition_facts(), 1):
        term = condition_named(seen.term)
        severity = "" if seen.severity == UNKNOWN else seen.severity.value
        found.append(
            Damage(
                number,
                seen,
                voice.ours(capital(term.term)),
                place_of(survey, seen.part),
                _extent(seen, voice),
                severity,
                voice.ours(_meaning(term.severity, severity)),
                seen.note,
            )
        )
    return tuple(found)


def place_of(survey: Survey, code: str | None) -> str:
    """`the top (TOP)`; the piece as a whole where no part is named."""
    part = survey.parts_by_code().get(code or "")
    if part is None:
        return f"part {code}" if code else "the whole piece"
    return f"the {part.name} ({part.code})"


def _extent(seen: Condition, voice: Voice) -> str:
    said = [f"{seen.count} places"] if seen.count > 1 else []
    said += [voice.amount(written.value) for written in (seen.length, seen.area) if written and written.known]
    return ", ".join(said)


def _meaning(scale: str, severity: str) -> str:
    """What this severity means of this term: the scale is written `1 …; 2 …; 3 …`."""
    steps = [step.strip().partition(" ") for step in scale.split(";")]
    words = next((words for number, _, words in steps if number == _STEP.get(severity)), "")
    return "" if words == severity else words.removeprefix(f"{severity}: ")


def what_it_is(plan: PiecePlan, voice: Voice) -> list[tuple[str, str]]:
    """What singles the piece out, in the order of the Object ID checklist; empty where nobody has said."""
    piece, o = plan.survey.piece, voice.ours
    woods = [piece.show_wood] if piece.show_wood != UNKNOWN else []
    woods += [f"{piece.other_wood} inside"] if piece.other_wood != UNKNOWN else []
    if piece.veneered is YesNo.YES:
        thick = piece.veneer_thickness
        woods.append(f"veneered{f', {voice.amount(thick.value)} thick' if thick and thick.known else ''}")
    marks = [piece.marks] if piece.marks else []
    marks += [f"{part.code}: {part.maker_mark}" for part in plan.survey.part if part.maker_mark]
    made = "" if piece.made == UNKNOWN else piece.made
    return [
        ("Kind of piece", f"{capital(piece.kind.value)}: {title_of(plan)}"),
        ("Made of", o("; ".join(woods))),
        ("Size", written_size(plan, voice)),
        ("Weight", voice.amount(piece.weight.value) if piece.weight and piece.weight.known else ""),
        ("Marks and labels", "; ".join(marks)),
        ("Made", made),
        ("Made where", "" if piece.region.value == "any" else piece.region.value),
        ("Our number", piece.code),
        ("Owner", piece.owner or ("the shop" if piece.came.value in {"bought", "shop's own"} else "")),
    ]


def written_size(plan: PiecePlan, voice: Voice) -> str:
    """`1080 × 510 × 1145 mm (wide × deep × high)`, in the shop's own measure."""
    size = plan.survey.piece.size
    if size is None or not size.known:
        return ""
    sides = [voice.amount(side) for side in size.value]
    ends = {side.rpartition(" ")[2] for side in sides}
    if len(ends) == 1:
        unit = ends.pop()
        sides = [side.removesuffix(f" {unit}") for side in sides]
        return f"{' × '.join(sides)} {unit}, wide × deep × high"
    return f"{' × '.join(sides)}, wide × deep × high"


def photographs(
    plan: PiecePlan, voice: Voice, photograph: Callable[[str], bytes | None], at_most: int = 12
) -> list[dict[str, Any]]:
    """The photographs that are there, each with the numbers of what is amiss on the parts it shows.

    Those with damage marked on them come first: the numbers are drawn on, and said beneath.
    """
    found = damages(plan.survey, voice)
    marked: dict[str, list[tuple[int, Mark]]] = {}
    for number, sha256, mark in plan.survey.damage_marks():
        marked.setdefault(sha256, []).append((number, mark))
    shown: list[dict[str, Any]] = []
    for taken in sorted(plan.survey.photograph, key=lambda one: one.sha256 not in marked):
        content = photograph(taken.sha256) if len(shown) < at_most else None
        picture = picture_of(content) if content else None
        if picture is None:
            continue
        marks = marked.get(taken.sha256, [])
        picture = numbered(picture, [(number, mark.x, mark.y) for number, mark in marks])
        drawn = {number for number, _ in marks}
        numbers = [one.number for one in found if one.seen.part in taken.shows and one.number not in drawn]
        when = f"Taken {voice.moment(taken.taken)}" if taken.taken else "Not dated"
        lines = [when]
        lines += [f"{number}  {sentence(mark.says or '')}" for number, mark in sorted(marks, key=lambda one: one[0])]
        if numbers:
            lines.append(f"Shows{' also' if marks else ''} {listed(numbers)} of the list: ring each with a pen.")
        shown.append(
            {
                "svg": picture.svg,
                "wide": picture.width >= picture.height,
                "caption": shortened(taken.caption, 120),
                "alt": " ".join(["Photograph of the piece.", taken.caption, *lines[1:]]).strip(),
                "lines": lines,
            }
        )
    return shown


def missing_pictures(plan: PiecePlan, photograph: Callable[[str], bytes | None]) -> list[Photograph]:
    """The photographs the survey names and nobody could hand over."""
    return [taken for taken in plan.survey.photograph if not photograph(taken.sha256)]


def finish_seen(plan: PiecePlan, voice: Voice) -> str:
    """The old finish in a sentence; nothing where nobody knows it."""
    finish = plan.survey.finish
    said = [] if finish.kind == UNKNOWN else [voice.ours(capital(finish.kind.value))]
    said += [finish.state] if finish.state != UNKNOWN else []
    said += ["waxed over"] if finish.waxed_over is YesNo.YES else []
    return sentence(", ".join(said))


def feature_words(reading: Reading) -> str:
    """What was looked for, in the words of its table; the key's own words where no table names it."""
    known = features().get(reading.feature)
    state = f": {reading.state.replace('_', ' ')}" if reading.state else ""
    return f"{known.name if known else reading.feature.replace('_', ' ')}{state}"


def accessories(survey: Survey) -> list[str]:
    """What belongs to it and comes off: keys and loose bits, fittings, glass, cloth."""
    loose = {"hardware", "glass", "mirror", "cloth", "leather"}
    fittings = [
        f"{part.name}{f', {part.count}' if part.count > 1 else ''} ({part.code})"
        for part in survey.part
        if part.shape.value in loose
    ]
    return [*survey.piece.loose_bits, *fittings]
