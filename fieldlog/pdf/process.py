"""The process that draws: how it is begun, measured and ended."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Final, Protocol

KB: Final = 1024
# How the process ends where it has written why, and where it was given no more memory.
TOLD, NO_MEMORY = 3, 4
MODULE: Final = (sys.executable, "-m", "fieldlog.pdf.child")


@dataclass(frozen=True, kw_only=True)
class Order:
    """What the process is told: the database, whose rig, and how, when and where to write it.

    With the folder of the keys that sign, the PDF carries the signed record; with the place where photos are
    kept, it shows pictures.
    """

    database: str
    folder: str
    job: str
    account: str
    rig: str
    paper: str
    address: str
    made_at: str
    most_mb: int
    signing: str = ""
    photos: str = ""


class Drawing(Protocol):
    """A PDF that is being drawn."""

    def wait(self, span_s: float) -> int | None:
        """Give the exit status, or nothing where it is not there after a span [s]."""

    def most_resident_bytes(self) -> int:
        """Give the most memory that was resident until now; 0 where the system does not tell."""

    def end(self) -> None:
        """End it now, with all that it began; nothing where it has ended."""


class ChildProcess:
    """A new interpreter in a process group of its own; it ends with whoever holds its standard input."""

    def __init__(self, order: Order, held: int, command: Sequence[str] = MODULE) -> None:
        self._process = subprocess.Popen(
            command,
            stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL,
            pass_fds=(held,),
            start_new_session=True,
        )
        assert self._process.stdin is not None, "it was asked for"
        self._told = self._process.stdin
        with suppress(BrokenPipeError):  # it has ended already, as its exit status will tell
            self._told.write(json.dumps(asdict(order)).encode() + b"\n")
            self._told.flush()

    @property
    def pid(self) -> int:
        """The number of the process, and of its group."""
        return self._process.pid

    def wait(self, span_s: float) -> int | None:
        """Give the exit status, or nothing where it is not there after a span [s]."""
        try:
            status = self._process.wait(span_s)
        except subprocess.TimeoutExpired:
            return None
        self._close()
        return status

    def most_resident_bytes(self) -> int:
        """Give the most memory that was resident until now; 0 where the system does not tell."""
        try:
            lines = Path(f"/proc/{self.pid}/status").read_text().splitlines()
        except OSError:
            return 0
        told = next((line for line in lines if line.startswith("VmHWM:")), "VmHWM: 0 kB")
        return int(told.split()[1]) * KB

    def end(self) -> None:
        """End it now, with all that it began; nothing where it has ended."""
        if self._process.returncode is None:
            with suppress(ProcessLookupError):
                os.killpg(self.pid, signal.SIGKILL)
        self._process.wait()
        self._close()

    def _close(self) -> None:
        with suppress(BrokenPipeError):
            self._told.close()
