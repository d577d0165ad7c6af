"""Processes that stand for the one that draws, and jobs that are made with them."""

import os
import signal
import sys
import threading
from collections.abc import Callable
from pathlib import Path

from fieldlog.clock import new_id
from fieldlog.model.bounds import USUAL_FOR_PDF, PdfLimits
from fieldlog.pdf.jobs import PdfJobs
from fieldlog.pdf.process import ChildProcess, Drawing, Order
from fieldlog.pdf.shelf import Job, JobState, Shelf
from tests.conftest import Clock

PATIENCE_S = 60
BEGIN = (
    "import json, sys; order = json.loads(sys.stdin.readline()); at = order['folder'] + '/' + order['job']\n"
)
WAIT = "open(at + '.stage', 'w').write('drawing 7'); sys.stdin.read()"
WRITE = "import os; open(at + '.pdf', 'w', opener=lambda *a: os.open(*a, 0o600)).write(order['rig'])"
TAKE_MEMORY = "taken = b'x' * 200_000_000\n" + WAIT
FAIL = "raise RuntimeError('the wiring of everybody')"
# What draws, but for the drawing, which never ends: only with its watcher's process does it.
DRAW_FOR_EVER = """
import pathlib, threading
from fieldlog.pdf import child
def draw(order):
    pathlib.Path(order.folder, order.job + '.stage').write_text('drawing 7')
    threading.Event().wait()
child.main(draw)
"""
BEYOND_WHAT_IS_MAPPED = (
    "from fieldlog.pdf import child; child.main(lambda order: len(bytearray(3_000_000_000)))"
)
ADDRESS = "http://log.example/rigs/r/record"


class Workers:
    """Processes of a server over one folder, played by objects; what they begin is planted."""

    def __init__(self, folder: Path, clock: Clock, code: str = BEGIN + WAIT) -> None:
        self.folder, self.clock, self.code = folder, clock, code
        self.elapsed_s, self.looks = 0.0, 0
        self.begun: list[ChildProcess] = []
        self.all: list[PdfJobs] = []

    def another(self, limits: PdfLimits = USUAL_FOR_PDF) -> PdfJobs:
        """Give one more."""
        made = PdfJobs(
            self.folder,
            "sqlite:///nowhere",
            now=self.clock,
            new_id=new_id,
            limits=limits,
            begin=self._begin,
            elapsed_s=self._look,
        )
        self.all.append(made)
        return made

    def job_of(self, account: str) -> Job:
        """Give a job as it stands in the list, without polling it."""
        with Shelf(self.folder).jobs() as jobs:
            return next(job for job in jobs.values() if job.account == account)

    def ended(self, account: str) -> Job:
        """Wait for a job to end, without polling it."""
        until(lambda: not self.job_of(account).is_under_way)
        return self.job_of(account)

    def is_running_still(self, account: str) -> bool:
        """Say so once a watcher has looked at what is now, from beginning to end."""
        seen = self.looks
        until(lambda: self.looks > seen + 2 or self.job_of(account).state is not JobState.RUNNING)
        return self.job_of(account).state is JobState.RUNNING

    def kill_first(self) -> None:
        """Kill the process that was begun first."""
        until(lambda: bool(self.begun))
        os.kill(self.begun[0].pid, signal.SIGKILL)

    def close(self) -> None:
        """End all."""
        for each in self.all:
            each.close()

    def _begin(self, order: Order, held: int) -> Drawing:
        self.begun.append(ChildProcess(order, held, [sys.executable, "-c", self.code]))
        return self.begun[-1]

    def _look(self) -> float:
        self.looks += 1
        return self.elapsed_s


def until(is_so: Callable[[], bool]) -> None:
    """Wait for something that comes by itself."""
    pause = threading.Event()
    for _ in range(PATIENCE_S * 50):
        if is_so():
            return
        pause.wait(0.02)
    raise AssertionError("It did not come.")
