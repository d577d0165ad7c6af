"""Phones as processes of Node: each can be killed at any write and starts again from what it had kept."""

import base64
import json
import subprocess
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NamedTuple

from fieldlog.model.identity import uuid7
from tests.builders import NOON
from tests.node import ROOT, node_program

MODULES = ROOT / "static/js"
NOON_MS = int(NOON.timestamp() * 1000)


class Died(Exception):
    """The phone's process was killed in the midst of its work."""


class WentWrong(Exception):
    """A module of the phone threw an error."""


class Ask(NamedTuple):
    """A request that a phone waits for."""

    number: int
    method: str
    address: str
    headers: dict[str, str]
    body: bytes


class Answer(NamedTuple):
    """What comes back over the network; without a status the network failed."""

    status: int | None
    mimetype: str = "application/json"
    body: bytes = b""
    headers: tuple[tuple[str, str], ...] = ()


@dataclass
class Phone:
    """A phone with its browser's cookie; the process in it comes and goes."""

    name: str
    medium: Path
    modules: Path = MODULES
    token: str | None = None
    asks: list[Ask] = field(default_factory=list)
    date_ms: int = NOON_MS
    made: int = 0
    failed: list[tuple[str, str]] = field(default_factory=list)
    _ended: dict[int, Any] = field(default_factory=dict)
    _tasks: int = 0
    _running: dict[int, str] = field(default_factory=dict)
    _process: "subprocess.Popen[str] | None" = None

    def do(self, what: str, **given: Any) -> Any:
        """Have something done and give what came of it, or None while it waits for the network.

        What fails is raised here, or, where it was begun earlier, kept in failed.
        """
        process = self._process or self._start()
        return self._do(process, what, given)

    def go_through(self, what: str, answered: Callable[[Ask], Answer | None], **given: Any) -> Any:
        """Have something done to its end, all that is asked meanwhile answered, and give what came of it.

        A request that is answered with None stays on its way.
        """
        process = self._process or self._start()
        task = self._begin(process, what, given)
        on_the_way = set[int]()
        while waiting := [ask for ask in self.asks if ask.number not in on_the_way]:
            if answer := answered(waiting[0]):
                self.answer(waiting[0], answer)
            else:
                on_the_way.add(waiting[0].number)
        return self._value_of(task, what)

    def answer(self, ask: Ask, answer: Answer) -> None:
        """Let an answer arrive."""
        headers = [("content-type", answer.mimetype), *answer.headers]
        body = base64.b64encode(answer.body).decode()
        self.do("answer", number=ask.number, status=answer.status, headers=headers, body=body)

    def is_at(self, what: str) -> bool:
        """Say whether something that was begun has not ended."""
        return what in self._running.values()

    def kill(self) -> None:
        """End the process without a word; what it waited for is forgotten."""
        if self._process:
            self._process.kill()
            self._process.communicate()
        self._process = None
        self._running.clear()
        self.asks = []

    def new_id(self) -> str:
        """Give an id as this phone's clock makes it."""
        self.made += 1
        return uuid7(self.date_ms, 0xABC, int.from_bytes(self.name.encode()[-7:]) * 1000 + self.made)

    def _do(self, process: "subprocess.Popen[str]", what: str, given: dict[str, Any]) -> Any:
        return self._value_of(self._begin(process, what, given), what)

    def _begin(self, process: "subprocess.Popen[str]", what: str, given: dict[str, Any]) -> int:
        self._tasks += 1
        self._running[self._tasks] = what
        task = self._tasks
        self._say(process, {"task": task, "what": what, **given})
        return task

    def _value_of(self, task: int, what: str) -> Any:
        """Give what came of a task, or None while it is not at its end."""
        outcome = self._ended.pop(task, {"value": None})
        if "failed" in outcome:
            self.failed.remove((what, outcome["failed"]))
            raise WentWrong(f"{what}: {outcome['failed']}")
        return outcome["value"]

    def _say(self, process: "subprocess.Popen[str]", message: dict[str, Any]) -> None:
        assert process.stdin and process.stdout
        try:
            process.stdin.write(json.dumps(message) + "\n")
            process.stdin.flush()
        except BrokenPipeError:
            raise self._death() from None
        line = process.stdout.readline()
        if not line:
            raise self._death()
        said = json.loads(line)
        self.date_ms = said["date"]
        self.asks = [Ask(**ask | {"body": base64.b64decode(ask["body"])}) for ask in said["asks"]]
        for task, outcome in said["ended"].items():
            what = self._running.pop(int(task))
            self._ended[int(task)] = outcome
            if "failed" in outcome:
                self.failed.append((what, outcome["failed"]))

    def _death(self) -> Exception:
        process, self._process = self._process, None
        assert process
        process.communicate()
        self._running.clear()
        self.asks = []
        return (
            Died()
            if process.returncode == -9
            else AssertionError(f"the phone ended with {process.returncode}")
        )

    def _start(self) -> "subprocess.Popen[str]":
        command = [node_program(), str(ROOT / "tests/sync/phone.mjs"), str(self.modules), str(self.medium)]
        self._process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        self._do(self._process, "date", {"ms": self.date_ms})
        return self._process


def spoken(date_ms: int) -> str:
    """Write a moment as a phone does."""
    return datetime.fromtimestamp(date_ms / 1000, UTC).isoformat(timespec="milliseconds")
