"""PDFs that are asked for, polled, and given up when nobody polls any more: one an account, two a server."""

import logging
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from pathlib import Path
from time import monotonic
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.model.bounds import USUAL_FOR_PDF, PdfLimits
from fieldlog.pdf.process import ChildProcess, Drawing, Order
from fieldlog.pdf.shelf import Job, Jobs, JobState, Shelf
from fieldlog.pdf.watcher import BROKE_OFF, STOPPED, Outcome, Watcher, is_given_up, pdf_of

MOST_RUNNING: Final = 2
KEPT: Final = timedelta(minutes=15)
KEPT_ONCE_FETCHED: Final = timedelta(minutes=3)
SWEEP_S: Final = 60
CLOSING_S: Final = 5

log = logging.getLogger("fieldlog")


class OtherPdfAsked(FieldlogError):
    """The account has another PDF in the making."""

    def __init__(self, rig: str) -> None:
        self.rig = rig
        super().__init__(
            "Another PDF is being made for this account, and one is made at a time. Wait until it is there, "
            "or close its page: it is given up 15 s later. Then ask again."
        )


class PdfFolderUnavailable(FieldlogError):
    """The folder of the PDFs cannot be used."""

    def __init__(self, reason: str) -> None:
        super().__init__(
            f"No PDF can be made now: the server cannot use its folder for them ({reason}). Print the "
            "record’s page from the browser; whoever runs the server finds the folder in FIELDLOG_DATA."
        )


@dataclass(frozen=True)
class JobStanding:
    """A job as it stands, the stage that its process told last, and how many others wait before it."""

    job: Job
    stage: str
    before: int


class PdfJobs:
    """The jobs of a server; each of its processes has its own of these over the one folder."""

    def __init__(
        self,
        folder: Path,
        database: str,
        *,
        now: Callable[[], datetime],
        new_id: Callable[[], str],
        limits: PdfLimits = USUAL_FOR_PDF,
        begin: Callable[[Order, int], Drawing] = ChildProcess,
        elapsed_s: Callable[[], float] = monotonic,
        signing: str = "",
        photos: str = "",
    ) -> None:
        self.limits = limits
        self._now, self._new_id = now, new_id
        self._shelf = Shelf(folder)
        self._closing = threading.Event()
        self._watcher = Watcher(
            self._shelf, database, limits, now, elapsed_s, begin, self._closing, signing, photos
        )
        self._threads: list[threading.Thread] = []

    def ask(self, account: str, rig: str, paper: str, address: str, *, has_pictures: bool = False) -> None:
        """Begin a PDF of a rig, or join the one that the account has in the making.

        Raises OtherPdfAsked where that is of another rig or paper, or with pictures where this is without.
        """
        with self._jobs() as jobs:
            own = _of(jobs, account)
            if own is not None and own.is_under_way:
                if (own.rig, own.paper, own.has_pictures) != (rig, paper, has_pictures):
                    raise OtherPdfAsked(own.rig)
                jobs[own.id] = replace(own, polled_at=self._now())
            else:
                jobs.pop(own.id if own else "", None)
                job = self._new(account, rig, paper, address, has_pictures=has_pictures)
                jobs[job.id] = job
            self._begin_whose_turn_it_is(jobs)

    def look(self, account: str, rig: str) -> JobStanding | None:
        """Say how far the account's PDF of a rig is, if it has one; whoever looks wants it still."""
        with self._jobs() as jobs:
            own = _of(jobs, account)
            if own is None or own.rig != rig:
                return None
            if own.is_under_way:
                jobs[own.id] = replace(own, polled_at=self._now())
            self._begin_whose_turn_it_is(jobs)
            waiting = [job.id for job in jobs.values() if job.state is JobState.WAITING]
            before = waiting.index(own.id) if own.id in waiting else 0
            stage = (self._shelf.read(f"{own.id}.stage") or b"").decode()
            return JobStanding(jobs[own.id], stage, before)

    def fetch(self, account: str, rig: str) -> bytes | None:
        """Give the account's PDF of a rig, if it is there; from then on it is kept for some minutes only."""
        with self._jobs() as jobs:
            own = _of(jobs, account)
            if own is None or own.rig != rig or own.state is not JobState.READY:
                return None
            jobs[own.id] = replace(own, fetched_at=own.fetched_at or self._now())
            return self._shelf.read(str(pdf_of(own)))

    def clear(self) -> None:
        """Take away what has lain long enough, if there is a folder."""
        if self._shelf.folder.is_dir():
            with self._jobs():
                pass

    def close(self) -> None:
        """End what is being drawn here, and wait until that is done."""
        self._closing.set()
        for thread in self._threads:
            thread.join(CLOSING_S)

    @contextmanager
    def _jobs(self) -> Iterator[Jobs]:
        try:
            with self._shelf.jobs() as jobs:
                self._settle(jobs)
                yield jobs
        except OSError as error:
            raise PdfFolderUnavailable(error.strerror or "it answers strangely") from error

    def _settle(self, jobs: Jobs) -> None:
        """Note whose processes have gone, and forget what nobody waits for or has lain long enough."""
        now = self._now()
        for job in list(jobs.values()):
            if job.state is JobState.RUNNING and not self._shelf.is_held(job.id):
                jobs[job.id] = replace(job, state=JobState.FAILED, ended_at=now, sentence=STOPPED)
            is_left = job.state is JobState.WAITING and is_given_up(job, now)
            if is_left or _is_over(job, now):
                del jobs[job.id]

    def _new(self, account: str, rig: str, paper: str, address: str, *, has_pictures: bool) -> Job:
        now = self._now()
        return Job(
            id=self._new_id(),
            account=account,
            rig=rig,
            paper=paper,
            address=address,
            has_pictures=has_pictures,
            asked_at=now,
            polled_at=now,
        )

    def _begin_whose_turn_it_is(self, jobs: Jobs) -> None:
        running = sum(job.state is JobState.RUNNING for job in jobs.values())
        waiting = [job for job in jobs.values() if job.state is JobState.WAITING]
        for job in waiting[: max(0, MOST_RUNNING - running)]:
            jobs[job.id] = begun = replace(job, state=JobState.RUNNING, begun_at=self._now())
            held = self._shelf.hold(job.id)
            thread = threading.Thread(target=self._run, args=(begun, held), daemon=True)
            self._threads = [each for each in self._threads if each.is_alive()] + [thread]
            thread.start()

    def _run(self, job: Job, held: int) -> None:
        """Watch over a job to its end, then sweep until nothing of it lies there."""
        try:
            self._note(job, self._watched(job, held))
        except OSError as error:
            log.error("What became of a PDF could not be noted: %s", error)
        finally:
            os.close(held)
        while not self._closing.wait(SWEEP_S):
            with suppress(PdfFolderUnavailable), self._jobs() as jobs:
                if job.id not in jobs:
                    return

    def _watched(self, job: Job, held: int) -> Outcome:
        try:
            return self._watcher.watch(job, held)
        except Exception as error:
            log.error("Watching over a PDF broke off", exc_info=error)
            return Outcome(JobState.FAILED, BROKE_OFF)

    def _note(self, job: Job, outcome: Outcome) -> None:
        with self._shelf.jobs() as jobs:
            if job.id in jobs:
                now = self._now()
                jobs[job.id] = replace(
                    jobs[job.id], state=outcome.state, sentence=outcome.sentence, ended_at=now
                )


def _of(jobs: Jobs, account: str) -> Job | None:
    return next((job for job in jobs.values() if job.account == account), None)


def _is_over(job: Job, now: datetime) -> bool:
    """Say whether a job has ended and lain long enough."""
    lain = job.ended_at is not None and now - job.ended_at > KEPT
    return lain or (job.fetched_at is not None and now - job.fetched_at > KEPT_ONCE_FETCHED)
