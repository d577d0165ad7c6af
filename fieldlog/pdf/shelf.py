"""The folder in which jobs stand and their PDFs lie, shared by all processes of this machine's server.

Notes
-----
Whoever reads or changes the list of jobs holds a lock on a file meanwhile. Each job has a second lock, held
by the process that watches over it and by the one that draws. The system lets go of it when both are gone,
however they ended. So a job that is told to run and is not held has ended with its processes.
"""

import fcntl
import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import asdict, dataclass, fields
from datetime import datetime
from enum import StrEnum
from pathlib import Path
from typing import Any, Final

JOBS, LOCK, TAG = "jobs.json", "lock", "CACHEDIR.TAG"
# By this mark programs that copy whole folders know one to leave out (bford.info/cachedir).
MARK: Final = b"Signature: 8a477f597d28d172789f06886806bc55\n"
TIMES: Final = ("asked_at", "polled_at", "begun_at", "ended_at", "fetched_at")


class JobState(StrEnum):
    """How far a job is."""

    WAITING = "waiting"
    RUNNING = "running"
    READY = "ready"
    FAILED = "failed"


@dataclass(frozen=True, kw_only=True)
class Job:
    """One PDF: whose, of which rig, on which paper, with pictures or not, its page, and what became of it."""

    id: str
    account: str
    rig: str
    paper: str
    address: str
    asked_at: datetime
    polled_at: datetime
    has_pictures: bool = False
    state: JobState = JobState.WAITING
    begun_at: datetime | None = None
    ended_at: datetime | None = None
    fetched_at: datetime | None = None
    sentence: str = ""

    @property
    def is_under_way(self) -> bool:
        """Whether its PDF may still come by itself."""
        return self.state in (JobState.WAITING, JobState.RUNNING)


Jobs = dict[str, Job]


class Shelf:
    """The folder; it is made when first needed, readable by its owner only."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder

    @contextmanager
    def jobs(self) -> Iterator[Jobs]:
        """Give the jobs, oldest first, to be read and changed by one at a time; what was changed is kept."""
        if not (self.folder / TAG).exists():
            self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
            (self.folder / TAG).write_bytes(MARK)
        lock = os.open(self.folder / LOCK, os.O_RDWR | os.O_CREAT, 0o600)
        try:
            fcntl.flock(lock, fcntl.LOCK_EX)
            jobs = self._read()
            before = dict(jobs)
            yield jobs
            if jobs != before:
                self.write(JOBS, json.dumps([_as_json(job) for job in jobs.values()]).encode())
            self._sweep(jobs)
        finally:
            os.close(lock)

    def write(self, name: str, content: bytes) -> None:
        """Write a file that is whole or not there, readable by its owner only."""
        fresh = self.folder / f"{name}.part"
        descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
        fresh.replace(self.folder / name)

    def read(self, name: str) -> bytes | None:
        """Give what a file holds; nothing where it is not there."""
        try:
            return (self.folder / name).read_bytes()
        except FileNotFoundError:
            return None

    def hold(self, job: str) -> int:
        """Take the lock that tells that a job is watched over; give its descriptor, closed at the end."""
        held = os.open(self.folder / f"{job}.held", os.O_RDWR | os.O_CREAT, 0o600)
        fcntl.flock(held, fcntl.LOCK_EX)
        return held

    def is_held(self, job: str) -> bool:
        """Say whether a process still watches over a job, or draws for it."""
        try:
            held = os.open(self.folder / f"{job}.held", os.O_RDWR)
        except FileNotFoundError:
            return False
        try:
            fcntl.flock(held, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return True
        finally:
            os.close(held)
        return False

    def _read(self) -> Jobs:
        try:
            told = json.loads(self.read(JOBS) or b"[]")
            return {job.id: job for job in map(_of_json, told)}
        except (ValueError, TypeError, KeyError):
            return {}  # cut off by a fault, or of another version: nobody can poll what it told

    def _sweep(self, jobs: Jobs) -> None:
        """Take away what is of no job any more."""
        for path in self.folder.iterdir():
            if path.name not in (JOBS, LOCK, TAG) and path.name.partition(".")[0] not in jobs:
                path.unlink(missing_ok=True)


def _as_json(job: Job) -> dict[str, Any]:
    told = asdict(job)
    return told | {name: told[name].isoformat() for name in TIMES if told[name] is not None}


def _of_json(told: dict[str, Any]) -> Job:
    known = {field.name for field in fields(Job)}
    times = {name: datetime.fromisoformat(told[name]) for name in TIMES if told[name] is not None}
    return Job(**{name: told[name] for name in known} | times | {"state": JobState(told["state"])})
