"""What was acknowledged stays: the desk is killed in the middle of posting, again and again; and two work at once."""

import http.client
import json
import os
import random
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

import pieces
from own_process import MIGRATED, process
from witnessmark.documents import uuid7

TIMES = 50
MINUTES = 6
PREPARED = """
import pieces
from witnessmark.record import Role, keep_person, keep_shop, keep_survey, token_for
keep_shop(pieces.shop(), "Ines", pieces.NOW)
keep_survey(pieces.chair(), "Ines", pieces.NOW)
print(token_for(keep_person("Ines", Role.OWNER, "a plane and a rasp")[0]))
"""
# What answers is split off one that has read all it needs: after a kill it is up again in a moment.
DESK = """
import asyncio, os, signal
from django.db import connections
from granian.constants import Interfaces
from granian.server.embed import Server
import witnessmark.desk.urls, witnessmark.record.projecting
from witnessmark.desk.asgi import application

connections.close_all()
answering = 0

def stop(*_):
    if answering:  # 0 would be everybody
        os.kill(answering, signal.SIGKILL)
    os._exit(0)

signal.signal(signal.SIGTERM, stop)
while True:
    answering = os.fork()
    if not answering:
        asyncio.run(Server(application, address="127.0.0.1", port=int(os.environ["PORT"]), interface=Interfaces.ASGINL,
                           log_enabled=False, websockets=False).serve())
        os._exit(0)
    os.waitpid(answering, 0)
"""


@pytest.fixture
def shop(tmp_path) -> tuple[Path, str]:
    """A folder with the chair in it, and a key of its API."""
    with process(tmp_path, MIGRATED + PREPARED) as prepared:
        return tmp_path, prepared.communicate(timeout=60)[0].strip()


@contextmanager
def desk(folder: Path) -> Iterator[tuple[int, int]]:
    """The desk, answering on loopback: its process and its port."""
    with socket.socket() as asking:
        asking.bind(("127.0.0.1", 0))
        port = asking.getsockname()[1]
    with process(folder, DESK, PORT=str(port)) as serving:
        try:
            yield serving.pid, port
        finally:
            serving.send_signal(signal.SIGTERM)
            try:
                serving.wait(10)
            except subprocess.TimeoutExpired:
                serving.kill()


def worker_of(parent: int) -> int | None:
    """The process that answers, below the one that was started."""
    told = subprocess.run(["ps", "-A", "-o", "pid=,ppid="], capture_output=True, text=True, check=True).stdout
    below = [int(pid) for pid, of in (line.split() for line in told.splitlines()) if int(of) == parent]
    return max(below, default=None)


class Poster(threading.Thread):
    """Posts entries of the chair, a few at a time, as fast as it can; remembers what was acknowledged."""

    def __init__(self, port: int, key: str, seed: int) -> None:
        super().__init__(daemon=True)
        self.port, self.key, self.rng = port, key, random.Random(seed)
        self.acknowledged: set[str] = set()
        self.answers: list[int] = []
        self.enough = False

    def run(self) -> None:
        waiting: list[dict[str, Any]] = []
        while not self.enough:
            # What was not acknowledged is sent again, with what is new, as a phone does.
            waiting = [*waiting, *(self._entry() for _ in range(self.rng.randint(1, 3)))][-20:]
            try:
                status, told = self._sent(waiting)
            except (OSError, http.client.HTTPException, json.JSONDecodeError):
                time.sleep(0.01)
                continue
            self.answers.append(status)
            if status == 200:
                self.acknowledged |= {*told["accepted"], *told["known"]}
                waiting = []
            elif status == 429:
                time.sleep(0.1)

    def _entry(self) -> dict[str, Any]:
        ident = uuid7(pieces.NOW, self.rng.randbytes(10))
        return {"id": ident, "what": "worked", "who": "Ines", "happened": "2026-11-25T09:00:00Z",
                "piece": pieces.chair().id, "minutes": f"{MINUTES} min"}  # fmt: skip

    def _sent(self, entries: list[dict[str, Any]]) -> tuple[int, Any]:
        asking = http.client.HTTPConnection("127.0.0.1", self.port, timeout=5)
        try:
            headers = {"Authorization": f"Bearer {self.key}", "Content-Type": "application/json"}
            asking.request("POST", "/api/v1/daybook", json.dumps(entries), headers)
            answer = asking.getresponse()
            return answer.status, json.loads(answer.read())
        finally:
            asking.close()


def kept(folder: Path) -> tuple[set[str], float, str]:
    """The ids in the day book, the minutes in the list, and what SQLite says of the file."""
    connection = sqlite3.connect(folder / "witnessmark.sqlite3")
    try:
        ids = [row[0] for row in connection.execute("SELECT id FROM record_daybookentry")]
        (minutes,) = connection.execute("SELECT minutes FROM record_stockrow").fetchone()
        (sound,) = connection.execute("PRAGMA integrity_check").fetchone()
    finally:
        connection.close()
    assert len(ids) == len(set(ids))
    return set(ids), minutes, sound


@pytest.mark.skipif(sys.platform == "win32", reason="no kill -9 there")
def test_every_acknowledged_entry_is_there_after_the_desk_was_killed_fifty_times(shop):
    folder, key = shop
    rng = random.Random(9)
    with desk(folder) as (parent, port):
        poster = Poster(port, key, seed=1)
        poster.start()
        killed: set[int] = set()
        until = time.monotonic() + 150
        while len(killed) < TIMES and time.monotonic() < until:
            before = len(poster.answers)
            while len(poster.answers) == before and time.monotonic() < until:
                time.sleep(0.002)
            time.sleep(rng.uniform(0, 0.05))
            worker = worker_of(parent)
            if worker and worker not in killed:
                os.kill(worker, signal.SIGKILL)
                killed.add(worker)
        poster.enough = True
        poster.join(10)
    ids, minutes, sound = kept(folder)
    assert len(killed) == TIMES
    assert len(poster.acknowledged) >= TIMES
    assert poster.acknowledged <= ids
    assert (minutes, sound) == (MINUTES * len(ids), "ok")
    assert not [status for status in poster.answers if status >= 500]


def test_four_who_post_at_once_are_all_answered(shop):
    folder, key = shop
    with desk(folder) as (_, port):
        posters = [Poster(port, key, seed) for seed in range(4)]
        for poster in posters:
            poster.start()
        until = time.monotonic() + 20
        while min(len(poster.answers) for poster in posters) < 15 and time.monotonic() < until:
            time.sleep(0.05)
        for poster in posters:
            poster.enough = True
        for poster in posters:
            poster.join(20)
    assert min(len(poster.answers) for poster in posters) >= 15
    assert {status for poster in posters for status in poster.answers} <= {200, 429}
    ids, minutes, _ = kept(folder)
    assert set().union(*(poster.acknowledged for poster in posters)) == ids
    assert minutes == MINUTES * len(ids)
