"""The worker that does what need not be waited for, in a thread beside the pages; its leases, and the reaper.

The queue runs a task once and forgets it where its worker is killed. So a worker holds a lease on what it has in
hand and renews it; a task whose lease ran out is put back, a few times, and then called failed. Tasks do no harm when
they run again.
"""

import logging
import threading
from collections.abc import Callable
from datetime import datetime, timedelta
from typing import Any
from uuid import uuid4

from django.db import DatabaseError, connections, transaction
from django.utils import timezone
from django_tasks.base import TaskResultStatus
from django_tasks_db.management.commands.db_worker import Worker
from django_tasks_db.models import DBTaskResult

from .models import Lease, PaperKept, PaperState

LEASE = timedelta(seconds=20)
RENEWED = 5.0  # seconds
POLLED = 0.5  # seconds
TRIES = 3
_log = logging.getLogger(__name__)


class LeasedWorker(Worker):
    """A worker that holds a lease on the task it has in hand."""

    def __init__(self, batch: bool = False) -> None:
        super().__init__(
            queue_names=["*"], interval=POLLED, batch=batch, backend_name="default", startup_delay=False,
            max_tasks=None, worker_id=uuid4().hex, excluded_queue_names=[],
        )  # fmt: skip

    def run_task(self, db_task_result: DBTaskResult[..., Any]) -> None:
        """One task, and the lease on it for as long as it takes."""
        task, done = str(db_task_result.pk), threading.Event()
        with transaction.atomic():
            lease, fresh = Lease.objects.get_or_create(
                task=task, defaults={"holder": self.worker_id, "until": timezone.now() + LEASE}
            )
            if not fresh:
                lease.holder, lease.until, lease.begun = self.worker_id, timezone.now() + LEASE, lease.begun + 1
                lease.save()
        renewing = threading.Thread(target=self._renew, args=(task, done), daemon=True)
        renewing.start()
        try:
            super().run_task(db_task_result)
        finally:
            done.set()
            renewing.join()
        Lease.objects.filter(task=task, holder=self.worker_id).delete()

    def _renew(self, task: str, done: threading.Event) -> None:
        while not done.wait(RENEWED):
            Lease.objects.filter(task=task, holder=self.worker_id).update(until=timezone.now() + LEASE)
        connections.close_all()


def reaped(now: datetime) -> int:
    """Puts back every task whose worker is no longer heard of; how many. After TRIES it is called failed."""
    back = 0
    with transaction.atomic():
        running = DBTaskResult.objects.filter(status=TaskResultStatus.RUNNING)
        held = set(Lease.objects.filter(until__gt=now).values_list("task", flat=True))
        for task in running.filter(started_at__lte=now - LEASE / 2):
            if str(task.pk) in held:
                continue
            lease = Lease.objects.filter(task=str(task.pk)).first()
            if lease and lease.begun >= TRIES:
                task.status, task.finished_at = TaskResultStatus.FAILED, now
                task.save(update_fields=["status", "finished_at"])
                lease.delete()
                _given_up(task)
                continue
            task.status = TaskResultStatus.READY
            task.save(update_fields=["status"])
            back += 1
    return back


def _given_up(task: DBTaskResult[..., Any]) -> None:
    """A paper whose setting ended every worker is not waited for any longer."""
    if task.task_path.endswith(".set_paper"):
        why = "setting it ended the worker every time"
        PaperKept.objects.filter(pk__in=task.args_kwargs["args"]).exclude(state=PaperState.READY).update(
            state=PaperState.FAILED, why=why
        )


def start_worker() -> LeasedWorker:
    """Starts the worker of a desk that has its folder to itself, and the reaper beside it.

    What an earlier desk left running is put back at once. The worker ends with the process, or after the task in hand
    once its `running` is False.
    """
    worker = LeasedWorker()

    def work() -> None:
        while worker.running:
            _kept_at(worker.run)

    def reap() -> None:
        _kept_at(lambda: reaped(timezone.now() + LEASE * 2))
        threading.Thread(target=work, daemon=True, name="worker").start()
        while worker.running:
            threading.Event().wait(RENEWED)
            _kept_at(lambda: reaped(timezone.now()))
            connections.close_all()

    threading.Thread(target=reap, daemon=True, name="reaper").start()
    return worker


def _kept_at(act: Callable[[], object]) -> None:
    """What fails for the database's sake is told, and tried again a little later."""
    try:
        act()
    except DatabaseError:
        _log.exception("The worker could not reach the database; it tries again.")
        connections.close_all()
        threading.Event().wait(RENEWED)
