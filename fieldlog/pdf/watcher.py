"""Watches over the process of one job, and ends it beyond a limit or when nobody asks for it any more."""

import logging
import threading
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Final

from fieldlog.model.bounds import PdfLimits
from fieldlog.pdf.process import NO_MEMORY, TOLD, Drawing, Order
from fieldlog.pdf.shelf import Job, JobState, Shelf

GIVEN_UP_AFTER_S: Final = 15
LOOK_S: Final = 0.2
MB: Final = 1_000_000

PRINT_IT: Final = "Print the record’s page from the browser"
GIVEN_UP: Final = (
    f"Nobody asked for this PDF for {GIVEN_UP_AFTER_S} s, so it was given up. "
    "Ask for it again, and keep this page open until it is there."
)
STOPPED: Final = "The server stopped while this PDF was being made. Ask for it again."
BROKE_OFF: Final = (
    f"There is no PDF: drawing it broke off, and the server’s log tells where. {PRINT_IT}, "
    "and tell whoever runs the server."
)

log = logging.getLogger("fieldlog")


@dataclass(frozen=True)
class Outcome:
    """What became of a job, and the sentence that tells why there is no PDF."""

    state: JobState
    sentence: str = ""


@dataclass(frozen=True)
class Watcher:
    """What watching needs: folder, database, limits, clocks, how a process is begun, the keys, the photos."""

    shelf: Shelf
    database: str
    limits: PdfLimits
    now: Callable[[], datetime]
    elapsed_s: Callable[[], float]
    begin: Callable[[Order, int], Drawing]
    closing: threading.Event
    signing: str
    photos: str

    def watch(self, job: Job, held: int) -> Outcome:
        """Have the PDF drawn; give what became of it once the process has gone."""
        begun_s = self.elapsed_s()
        try:
            drawing = self.begin(self._order(job), held)
        except OSError as error:
            log.error("The process that draws a PDF could not be begun: %s", error)
            return Outcome(JobState.FAILED, BROKE_OFF)
        try:
            while (status := drawing.wait(LOOK_S)) is None:
                reason = self._reason_to_end(job, drawing, self.elapsed_s() - begun_s)
                if reason:
                    return Outcome(JobState.FAILED, reason)
        finally:
            drawing.end()
        return self._ended(job, status)

    def _order(self, job: Job) -> Order:
        return Order(
            database=self.database,
            folder=str(self.shelf.folder),
            job=job.id,
            account=job.account,
            rig=job.rig,
            paper=job.paper,
            address=job.address,
            made_at=self.now().isoformat(),
            most_mb=self.limits.memory_mb,
            signing=self.signing,
            photos=self.photos if job.has_pictures else "",
        )

    def _reason_to_end(self, job: Job, drawing: Drawing, taken_s: float) -> str | None:
        if self.closing.is_set():
            return STOPPED
        if taken_s > self.limits.time_s:
            return too_slow(self.limits)
        if drawing.most_resident_bytes() > self.limits.memory_mb * MB:
            return too_large(self.limits)
        with self.shelf.jobs() as jobs:
            polled = jobs.get(job.id)
        return GIVEN_UP if polled is None or is_given_up(polled, self.now()) else None

    def _ended(self, job: Job, status: int) -> Outcome:
        if status == 0 and (self.shelf.folder / pdf_of(job)).exists():
            return Outcome(JobState.READY)
        told = self.shelf.read(f"{job.id}.failure")
        if status == TOLD and told:
            return Outcome(JobState.FAILED, told.decode())
        if status == NO_MEMORY:
            return Outcome(JobState.FAILED, too_large(self.limits))
        log.error("The process that drew a PDF ended with status %s.", status)
        return Outcome(JobState.FAILED, BROKE_OFF)


def pdf_of(job: Job) -> Path:
    """Give the name under which a job's PDF lies."""
    return Path(f"{job.id}.pdf")


def is_given_up(job: Job, now: datetime) -> bool:
    """Say whether nobody has asked for a job for so long that it is given up."""
    return now - job.polled_at > timedelta(seconds=GIVEN_UP_AFTER_S)


def too_slow(limits: PdfLimits) -> str:
    """Say that the time was over."""
    return (
        f"This PDF was not done after {limits.time_s} s, so it was given up. {PRINT_IT}; "
        "whoever runs the server can allow more time by FIELDLOG_PDF_SECONDS."
    )


def too_large(limits: PdfLimits) -> str:
    """Say that the memory was not enough."""
    return (
        f"This PDF needed more than the {limits.memory_mb} MB of memory that is allowed, so it was given up. "
        f"{PRINT_IT}; whoever runs the server can allow more by FIELDLOG_PDF_MOST_MB."
    )
