"""Stock: all pieces by stage, or by what they wait on; found in five seconds; small jobs in one line each."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.db.models import Count, Q, QuerySet
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_POST, require_safe

from witnessmark.daybook import Stage, What
from witnessmark.documents import Faulty
from witnessmark.record import (
    HERE,
    PlanKept,
    Revision,
    StockRow,
    daybook_of,
    first_of_each,
    found,
    keep_survey,
    new_id,
    plan_of,
    survey_checked,
)

from .changing import says
from .clock import now
from .daybook_posts import fresh_id, post_said
from .piece_named import piece_named

EACH = 12  # pieces of a stage on the first page; the rest by its own page
LAST_OUT = 5
A_PAGE = 50
FOUND = 12
PLANNED_NOW = 3  # of what was found, so many are planned afresh where their plan has aged
JOBS = 30
_NO_CARD = Q(job="")  # a job card stands among the small jobs, and once is enough


@dataclass(frozen=True)
class Line:
    """A piece as a list shows it. `safe` is the day one may say."""

    row: StockRow
    safe: date | None = None
    done: str = ""
    refused: str = ""
    price: str = ""
    entry: str = ""

    @property
    def name(self) -> str:
        row = self.row
        return row.job if row.job and row.title in {row.kind, ""} else row.title

    @property
    def late(self) -> bool:
        return bool(self.safe and self.row.promised and self.safe > self.row.promised)

    @property
    def is_done(self) -> bool:
        return self.row.stage in {Stage.TOGETHER, Stage.OUT}


@dataclass(frozen=True)
class Shelf:
    """One stage and the pieces that stand at it."""

    stage: Stage
    lines: Sequence[Line] = field(default=())
    count: int = 0


@require_safe
def stock(request: HttpRequest) -> HttpResponse:
    """The stock, by stage or by what each waits on; one stage alone where it is asked for."""
    asked = request.GET.get("stage", "").lower()
    if asked in list(Stage):
        return one_stage(request, Stage(asked))
    shown: dict[str, Any] = {"place": "stock", "by": "waits" if request.GET.get("by") == "waits" else "stage"}
    if shown["by"] == "waits":
        rows = StockRow.objects.filter(stage__in=HERE).order_by("waits_on", "promised")
        page = Paginator(rows, A_PAGE).get_page(request.GET.get("page"))
        shown |= {"lines": lines_of(page.object_list), "page": page, "asked": "by=waits"}
    else:
        shown["shelves"] = shelves()
        shown["nothing"] = not any(shelf.count for shelf in shown["shelves"])
    return render(request, "desk/stock.html", shown | jobs_shown())


def one_stage(request: HttpRequest, stage: Stage) -> HttpResponse:
    """Every piece of one stage, paged; of those that are out the last first."""
    page = Paginator(at_stage(stage), A_PAGE).get_page(request.GET.get("page"))
    shown = {"place": "stock", "stage": stage, "page": page, "lines": lines_of(page.object_list),
             "asked": f"stage={stage.value.replace(' ', '+')}"}  # fmt: skip
    return render(request, "desk/stock_stage.html", shown)


def at_stage(stage: Stage) -> QuerySet[StockRow]:
    """The rows of a stage: what is promised first comes first, of those that are out the last."""
    rows = StockRow.objects.filter(stage=stage.value)
    return rows.order_by("-touched") if stage is Stage.OUT else rows.order_by("promised", "-touched")


def shelves() -> list[Shelf]:
    """The seven stages, each with its first pieces: those with a promise first, by its day."""
    # “*”, since the index alone then tells.
    counts = dict(StockRow.objects.filter(_NO_CARD).values_list("stage").annotate(number=Count("*")))
    standing: dict[Stage, list[StockRow]] = {stage: [] for stage in Stage}
    for row in first_of_each(EACH, LAST_OUT):
        standing[Stage(row.stage)].append(row)
    lines = {line.row.piece: line for line in lines_of([row for rows in standing.values() for row in rows])}
    return [
        Shelf(stage, [lines[row.piece] for row in rows], counts.get(stage.value, 0)) for stage, rows in standing.items()
    ]


def lines_of(rows: Iterable[StockRow]) -> list[Line]:
    """The rows with what their plans as kept say: nothing is planned for a list."""
    rows = list(rows)
    plans = PlanKept.objects.defer("body").in_bulk([row.piece for row in rows])
    return [_line(row, plans.get(row.piece)) for row in rows]


def _line(row: StockRow, plan: PlanKept | None) -> Line:
    return Line(row, plan.safe_day, plan.done, plan.refused) if plan else Line(row)


# ---- find ----


@require_safe
def find(request: HttpRequest) -> HttpResponse:
    """What the words may mean: done, waiting on, the safe day to say, a line each. A fragment where htmx asks."""
    words = request.GET.get("q", "").strip()[:200]
    rows = found(words, FOUND + 1)
    shown = {"place": "stock", "q": words, "found": told_now(rows[:FOUND]), "more": len(rows) > FOUND}
    part = request.headers.get("HX-Request") == "true"
    return render(request, "desk/stock_found.html" if part else "desk/find.html", shown)


def told_now(rows: Sequence[StockRow]) -> list[Line]:
    """Lines with plans that hold today, as far as that is quick."""
    lines = lines_of(rows)
    fresh = [line for line in lines if line.row.stage != Stage.OUT][:PLANNED_NOW]
    again = {line.row.piece: _line(line.row, plan_of(line.row.piece, now())) for line in fresh}
    return [again.get(line.row.piece, line) for line in lines]


# ---- small jobs ----


def jobs_shown() -> dict[str, Any]:
    """The job cards that are still here, and the form for one more."""
    rows = list(StockRow.objects.exclude(job="").filter(stage__in=HERE).order_by("promised")[:JOBS])
    return {"jobs": job_lines(rows), "entry": fresh_id()}


def job_lines(rows: Sequence[StockRow]) -> list[Line]:
    """Job cards with the price that was said."""
    said = Revision.objects.filter(document__in=[row.piece for row in rows]).order_by("number")
    prices = dict(said.values_list("document", "body__piece__price_said"))
    return [Line(row, price=prices.get(row.piece) or "", entry=fresh_id()) for row in rows]


@require_POST
def new_job(request: HttpRequest) -> HttpResponse:
    """A job card: whose, what, the price said, the promised day."""
    typed = {key: request.POST.get(key, "").strip() for key in ("owner", "job", "price_said", "promised")}
    at = now()
    piece = {"kind": "other", "came": "customer's"} | {key: value for key, value in typed.items() if value}
    faults = {} if typed["job"] else {"job": "What is to be done, in one line."}
    try:
        survey = survey_checked({"id": request.POST.get("entry") or new_id(at), "piece": piece})
    except Faulty as error:
        faults |= {fault.key.removeprefix("piece."): says(fault) for fault in error.faults}
    if faults:
        shown = {"place": "stock", "by": "stage", "shelves": shelves()} | jobs_shown()
        return render(request, "desk/stock.html", shown | {"typed": typed, "faults": faults}, status=422)
    keep_survey(survey, str(request.user), at, "a job card")
    messages.success(request, f"Job card made: {typed['job']}.")
    return redirect("stock")


@require_POST
def tick(request: HttpRequest, piece: str) -> HttpResponse:
    """Ticks a job done, paid or out; a tick taken away corrects the entry that made it."""
    piece = piece_named(piece).id
    what = request.POST.get("what", "")
    try:
        if request.POST.get("untick"):
            _untick(request, piece, what)
        elif what == "paid":
            post_said(request, What.PAID, piece, sum=request.POST.get("sum", "").strip())
        elif what in {"done", "out"}:
            post_said(request, What.STAGE, piece, to=(Stage.TOGETHER if what == "done" else Stage.OUT).value)
    except Faulty as error:
        messages.error(request, "; ".join(says(fault) for fault in error.faults))
    if request.headers.get("HX-Request") == "true":
        line = job_lines([StockRow.objects.get(piece=piece)])[0]
        return render(request, "desk/stock_job.html", {"job": line})
    return redirect("stock")


def _untick(request: HttpRequest, piece: str, what: str) -> None:
    kind = What.PAID if what == "paid" else What.STAGE
    ticked = [entry for entry in daybook_of(piece).entries if entry.what is kind]
    if ticked:
        post_said(request, What.CORRECTS, piece, corrects=ticked[-1].id)
