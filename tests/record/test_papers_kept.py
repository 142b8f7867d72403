"""Papers are set in the background, once; a worker that is killed halfway leaves nothing half done."""

import json
import os
import signal
from datetime import timedelta

import pytest
from django.utils import timezone
from django_tasks.base import TaskResultStatus
from django_tasks_db.models import DBTaskResult

import pieces
from entries import entry
from own_process import MIGRATED, process
from witnessmark.documents import Refused, json_of
from witnessmark.record import (
    PLAN_PAPERS,
    PaperKept,
    PaperState,
    keep_shop,
    keep_survey,
    paper_file,
    papers_wanted,
    plan_of,
    post_entries,
)
from witnessmark.record.models import Lease
from witnessmark.record.papers_kept import set_paper
from witnessmark.record.tasks import LEASE, TRIES, reaped

pytestmark = pytest.mark.django_db


@pytest.fixture
def chair(settings, tmp_path):
    settings.DATA = tmp_path
    keep_shop(pieces.shop(), "Ines", pieces.NOW)
    keep_survey(pieces.chair(), "Ines", pieces.NOW)
    return pieces.chair().id


def queued() -> list[DBTaskResult]:
    return list(DBTaskResult.objects.filter(status=TaskResultStatus.READY))


def test_a_paper_is_waited_for_then_ready_with_the_plan_it_came_from(chair):
    (paper,) = papers_wanted(chair, ["care_card"], "Ines", pieces.NOW)
    assert (paper.state, len(queued())) == (PaperState.WAITING, 1)
    assert set_paper.call(paper.pk) == PaperState.READY
    paper.refresh_from_db()
    assert paper.files == ["care-card.pdf"]
    assert paper_file(paper, "care-card.pdf").startswith(b"%PDF")
    assert json.loads(paper_file(paper, "plan.json")) == plan_of(chair, pieces.NOW).body
    with pytest.raises(Refused, match="no file of this paper"):
        paper_file(paper, "../../secret")


def test_a_paper_is_set_once_till_its_plan_has_moved_on(chair):
    (paper,) = papers_wanted(chair, ["care_card", "care_card"], "Ines", pieces.NOW)
    assert papers_wanted(chair, ["care_card"], "Tobias", pieces.NOW) == [paper]
    set_paper.call(paper.pk)
    before = paper_file(PaperKept.objects.get(), "care-card.pdf")
    assert papers_wanted(chair, ["care_card"], "Tobias", pieces.NOW) == [paper]
    set_paper.call(paper.pk)
    post_entries([json_of(entry(1, "worked", piece=chair, minutes="1 h"))], pieces.NOW)
    (newer,) = papers_wanted(chair, ["care_card"], "Tobias", pieces.NOW)
    assert newer.pk != paper.pk
    assert len(queued()) == 2
    assert paper_file(PaperKept.objects.get(pk=paper.pk), "care-card.pdf") == before


def test_a_paper_whose_files_were_lost_is_set_again(chair, tmp_path):
    (paper,) = papers_wanted(chair, ["care_card"], "Ines", pieces.NOW)
    set_paper.call(paper.pk)
    next(tmp_path.rglob("care-card.pdf")).unlink()
    with pytest.raises(Refused, match="ask for the paper again"):
        paper_file(PaperKept.objects.get(), "care-card.pdf")
    assert papers_wanted(chair, ["care_card"], "Ines", pieces.NOW) != [paper]


def test_the_plan_is_printed_with_all_that_goes_with_it(chair):
    (paper,) = papers_wanted(chair, [PLAN_PAPERS], "Ines", pieces.NOW)
    set_paper.call(paper.pk)
    assert {"plan.pdf", "labels.pdf", "calendar.ics"} <= set(PaperKept.objects.get().files)


def test_a_paper_nobody_knows_is_refused(chair):
    with pytest.raises(Refused, match="Did you mean “care_card”"):
        papers_wanted(chair, ["care_crad"], "Ines", pieces.NOW)


def running(paper: PaperKept) -> DBTaskResult:
    task = DBTaskResult.objects.get()
    task.claim("a worker that was killed")
    Lease.objects.create(task=str(task.pk), holder="a worker that was killed", until=timezone.now() + LEASE)
    return task


def test_a_task_is_put_back_only_when_nobody_renews_its_lease(chair):
    (paper,) = papers_wanted(chair, ["care_card"], "Ines", pieces.NOW)
    running(paper)
    assert reaped(timezone.now() + LEASE / 2 + timedelta(seconds=1)) == 0
    assert reaped(timezone.now() + LEASE + timedelta(seconds=1)) == 1
    assert len(queued()) == 1


def test_a_task_that_ends_every_worker_is_called_failed(chair):
    (paper,) = papers_wanted(chair, ["care_card"], "Ines", pieces.NOW)
    task = running(paper)
    Lease.objects.update(begun=TRIES)
    assert reaped(timezone.now() + LEASE * 2) == 0
    task.refresh_from_db()
    assert task.status == TaskResultStatus.FAILED
    assert PaperKept.objects.get().state == PaperState.FAILED
    assert "ended the worker" in PaperKept.objects.get().why


# ---- in processes of their own ----

KEPT = """
import pieces
from witnessmark.record import keep_shop, keep_survey, papers_wanted
keep_shop(pieces.shop(), "Ines", pieces.NOW)
keep_survey(pieces.chair(), "Ines", pieces.NOW)
papers_wanted(pieces.chair().id, ["care_card"], "Ines", pieces.NOW)
"""
HALFWAY = """
import time
from witnessmark.record import papers_kept
from witnessmark.record.tasks import LeasedWorker

def halfway(made, folder):
    print("halfway", flush=True)
    time.sleep(600)

papers_kept.keep = halfway
LeasedWorker(batch=True).run()
"""
AGAIN = """
import json
from django.utils import timezone
from django_tasks_db.models import DBTaskResult
from witnessmark.record import PaperKept
from witnessmark.record.models import Lease
from witnessmark.record.tasks import LEASE, LeasedWorker, reaped
before = [task.status for task in DBTaskResult.objects.all()]
back = [reaped(timezone.now() + LEASE * 2), reaped(timezone.now() + LEASE * 2)]
LeasedWorker(batch=True).run()
LeasedWorker(batch=True).run()
print(json.dumps({"before": before, "back": back, "after": [task.status for task in DBTaskResult.objects.all()],
                  "papers": [paper.state for paper in PaperKept.objects.all()], "leases": Lease.objects.count()}))
"""


def test_a_worker_killed_halfway_leaves_one_paper_when_another_runs_it_again(tmp_path):
    with process(tmp_path, MIGRATED + KEPT) as prepared:
        assert prepared.wait(60) == 0
    with process(tmp_path, HALFWAY) as first:
        assert first.stdout.readline().strip() == "halfway"
        os.kill(first.pid, signal.SIGKILL)
        assert first.wait(10) == -signal.SIGKILL
    assert not list(tmp_path.rglob("care-card.pdf"))
    with process(tmp_path, AGAIN) as second:
        told = json.loads(second.communicate(timeout=60)[0])
    assert told == {"before": ["RUNNING"], "back": [1, 0], "after": ["SUCCESSFUL"], "papers": ["ready"], "leases": 0}
    assert len(list(tmp_path.rglob("care-card.pdf"))) == 1
