"""How far a PDF is, in words that say no more than its process told; and waiting a moment for it."""

from collections.abc import Callable
from datetime import datetime
from threading import BoundedSemaphore, Event
from time import monotonic
from typing import Final

from fieldlog.model.bounds import PdfLimits
from fieldlog.pdf.jobs import JobStanding
from fieldlog.pdf.shelf import JobState

STAGES: Final = {
    "": "Its process is starting.",
    "reading": "Reading the log, and checking that it holds.",
    "judging": "The log holds. Judging its tests again, and putting them into words.",
    "preparing": "Preparing the pages.",
    "drawing": "Drawing page by page.",
    "writing": "All pages are laid out; writing the file.",
}
BETWEEN_S: Final = 0.2
# Of the threads of this process so many at most wait for a PDF; who finds none free is led to its page.
_places = BoundedSemaphore(2)


def progress_lines(found: JobStanding, now: datetime, limits: PdfLimits) -> tuple[str, ...]:
    """Say how far a job is; nothing once it has ended."""
    if found.job.state is JobState.WAITING:
        return (_queue(found.before), "Two are made at a time on this server.")
    if found.job.state is not JobState.RUNNING:
        return ()
    begun_at = found.job.begun_at or now
    taken_s = max(0, int((now - begun_at).total_seconds()))
    return (_stage(found.stage), f"Begun {taken_s} s ago; after {limits.time_s} s it is given up.")


def wait_a_moment(look: Callable[[], JobStanding | None], span_s: float) -> JobStanding | None:
    """Look until the job has ended, at most for a span [s]; not at all where it stands in a queue."""
    found = look()
    if not _places.acquire(blocking=False):
        return found
    try:
        end_s = monotonic() + span_s
        while found is not None and found.job.state is JobState.RUNNING and monotonic() < end_s:
            Event().wait(BETWEEN_S)
            found = look()
    finally:
        _places.release()
    return found


def _queue(before: int) -> str:
    if before == 0:
        return "Waiting for a place: yours is the next."
    return f"Waiting for a place: {before} {'stands' if before == 1 else 'stand'} before yours."


def _stage(told: str) -> str:
    stage, _, page = told.partition(" ")
    sentence = STAGES.get(stage, STAGES[""])
    return f"{sentence} Page {page} is being laid out." if page else sentence
