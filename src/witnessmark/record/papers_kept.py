"""Papers of a piece, set in the background and kept with the plan they came from.

Setting one again gives the same files in the same place, so a worker that was killed halfway does no harm.
"""

import json
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path

from django.conf import settings
from django.db import transaction
from django_tasks import task

from witnessmark.documents import Refused, nearest
from witnessmark.papers import WHICH, BadPaper, chosen_papers, keep, papers_of

from .models import PaperKept, PaperState
from .photographs import album
from .reading import daybook_for, plan_made, plan_of

PLAN_PAPERS = "plan"  # the plan, and what is printed with it
FOLDER = "papers"
PLAN_FILE = "plan.json"


def papers_wanted(piece: str, which: Sequence[str], who: str, now: datetime) -> list[PaperKept]:
    """A paper a key, of `papers.WHICH` or PLAN_PAPERS: those that are set from the plan as it stands, or are on the
    way, else new ones that a worker sets. Raises NoSuchPiece, and Refused where there is no such paper or no plan."""
    for key in which:
        if key not in (*WHICH, PLAN_PAPERS):
            near = nearest(key, WHICH)
            raise Refused(f"there is no paper “{key}”." + (f" Did you mean “{near}”?" if near else ""))
    plan = plan_of(piece, now)
    if plan.body is None:
        raise Refused(plan.refused)
    with transaction.atomic():
        return [_wanted(piece, key, plan.made_from, who, now) for key in dict.fromkeys(which)]


def _wanted(piece: str, key: str, made_from: str, who: str, now: datetime) -> PaperKept:
    kept = PaperKept.objects.filter(piece=piece, which=key).exclude(state=PaperState.FAILED).order_by("-pk")
    for paper in kept[:2]:
        under_way = paper.state in (PaperState.WAITING, PaperState.SETTING)
        if under_way or (paper.made_from == made_from and all(_place(paper, name).is_file() for name in paper.files)):
            return paper
    paper = PaperKept.objects.create(piece=piece, which=key, who=who, wanted=now, made_from=made_from)
    set_paper.enqueue(paper.pk)
    return paper


def paper_file(paper: PaperKept, name: str) -> bytes:
    """One of a paper's files, `plan.json` being the plan it came from. Raises Refused where it is not there."""
    if name not in (*paper.files, PLAN_FILE):
        raise Refused(f"{name} is no file of this paper")
    try:
        return _place(paper, name).read_bytes()
    except FileNotFoundError:
        raise Refused(f"{name} is missing from the folder of papers: ask for the paper again") from None


def _folder(paper: PaperKept) -> Path:
    folder: Path = settings.DATA / FOLDER / paper.piece / str(paper.pk)
    return folder


def _place(paper: PaperKept, name: str) -> Path:
    return _folder(paper) / name


@task()
def set_paper(number: int) -> str:
    """Sets a paper as of the moment it was wanted; how that ended. Nothing is done for one that is ready."""
    paper = PaperKept.objects.get(pk=number)
    if paper.state == PaperState.READY:
        return paper.state
    PaperKept.objects.filter(pk=number).update(state=PaperState.SETTING)
    try:
        fields = {"files": _set(paper), "made_from": paper.made_from, "state": PaperState.READY.value, "why": ""}
    except (Refused, BadPaper) as reason:
        fields = {"state": PaperState.FAILED.value, "why": str(reason)}
    PaperKept.objects.filter(pk=number).update(**fields)
    return str(fields["state"])


def _set(paper: PaperKept) -> list[str]:
    """Sets the files and keeps them; their names."""
    kept = plan_of(paper.piece, paper.wanted)
    paper.made_from = kept.made_from
    plan = plan_made(paper.piece, paper.wanted)
    if paper.which == PLAN_PAPERS:
        made = papers_of(plan, album().for_paper)
    else:
        made = chosen_papers([plan], daybook_for(paper.piece, paper.wanted), [paper.which], album().for_paper)
    keep(made | {PLAN_FILE: json.dumps(kept.body, ensure_ascii=False).encode()}, _folder(paper))
    return sorted(made)
