"""Tries tests in a copy of the repository in which one fault is planted."""

import importlib.util
import os
import re
import shutil
import signal
import subprocess
import sys
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from tests.mutants.planted import Mutant
from tests.node import node_program
from tests.repository import ROOT, tracked

LONGEST_S = 400
LONGEST_OF_NODE_S = 90
SMALL = "not deep and not faults"
_FAILED = re.compile(r"^(?:FAILED|ERROR) ((?:tests|fieldlog)/.+?)(?: - .*)?$", re.MULTILINE)
_NOT_OK = re.compile(r"^\s*not ok \d+ - (.+)$", re.MULTILINE)


@dataclass(frozen=True)
class Outcome:
    """What came of a test: the first that failed, none where all passed, and what was printed."""

    failed: str | None
    output: str = ""
    fails_anyway: bool = False

    @property
    def is_broken(self) -> bool:
        """Say whether nothing was tested, since a file could not even be loaded."""
        return self.failed is not None and self.failed.endswith((".py", ".js"))

    @property
    def catches(self) -> bool:
        """Say whether a test failed, and for the fault that is planted."""
        return self.failed is not None and not self.is_broken and not self.fails_anyway


class Copy:
    """A copy of what is in the repository, for one fault after another."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        for path in tracked():
            kept = folder / path.relative_to(ROOT)
            kept.parent.mkdir(parents=True, exist_ok=True)
            shutil.copy2(path, kept)
        for made in (".venv", "deploy/node_modules"):
            (folder / made).symlink_to(ROOT / made)
        where = self._run(sys.executable, "-c", "import fieldlog; print(fieldlog.__file__)").stdout.strip()
        assert Path(where).is_relative_to(folder), f"the tests would load {where}"

    def outcome_with(self, mutant: Mutant, test: str, clean: Collection[str]) -> Outcome:
        """Run a test with a fault; one of which it was not yet seen, without it as well where it fails."""
        self._write(mutant.file, mutant.applied_to(_original(mutant.file)))
        outcome = self.outcome_of(test)
        self._write(mutant.file, _original(mutant.file))
        if outcome.failed and test not in clean:
            return replace(outcome, fails_anyway=self.outcome_of(test).failed is not None)
        return outcome

    def outcome_of(self, test: str) -> Outcome:
        """Run one test, or the tests of a file, up to the first that fails."""
        if test.startswith("tests/browser/"):
            joined = self._run(str(self.folder / ".venv/bin/fieldlog"), "shell")
            if joined.returncode != 0:
                return Outcome("static/js/main.js", joined.stdout)
        try:
            if test.endswith(".js"):
                return self.of_node([test], longest_s=LONGEST_OF_NODE_S)
            return self.of_pytest([test], "-x", longest_s=LONGEST_S)
        except subprocess.TimeoutExpired:
            return Outcome(f"{test} (it came to no end)")

    def of_pytest(self, tests: Sequence[str], *options: str, longest_s: float | None = None) -> Outcome:
        """Run tests of Python."""
        asked = ("-m", "pytest", "-q", "--no-header", "--tb=short", "-p", "no:cacheprovider", "-m", SMALL)
        done = self._run(sys.executable, *asked, *options, *tests, longest_s=longest_s)
        return _outcome(done, _FAILED)

    def of_node(self, tests: Sequence[str], *, longest_s: float | None = None) -> Outcome:
        """Run tests of Node."""
        done = self._run(
            node_program(),
            "--test",
            "--test-reporter=tap",
            "--test-timeout=20000",
            *tests,
            longest_s=longest_s,
        )
        return _outcome(done, _NOT_OK)

    def _write(self, file: str, text: str) -> None:
        path = self.folder / file
        path.write_text(text, encoding="utf-8")
        if path.suffix == ".py":
            Path(importlib.util.cache_from_source(str(path))).unlink(missing_ok=True)

    def _run(self, *command: str, longest_s: float | None = None) -> "subprocess.CompletedProcess[str]":
        """Run a command to its end, or end it and all that it started."""
        started = subprocess.Popen(
            command,
            cwd=self.folder,
            env=self._environment(),
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            start_new_session=True,
        )
        try:
            output, _ = started.communicate(timeout=longest_s)
        except subprocess.TimeoutExpired:
            os.killpg(started.pid, signal.SIGKILL)
            started.communicate()
            raise
        return subprocess.CompletedProcess(command, started.returncode, output)

    def _environment(self) -> Mapping[str, str]:
        """Give what the tests see: this copy before the package that is installed."""
        programs = f"{self.folder / '.venv/bin'}{os.pathsep}{os.environ['PATH']}"
        return {**os.environ, "PATH": programs, "PYTHONPATH": str(self.folder)}


def _original(file: str) -> str:
    return (ROOT / file).read_text(encoding="utf-8")


def _outcome(done: "subprocess.CompletedProcess[str]", pattern: re.Pattern[str]) -> Outcome:
    if done.returncode == 0:
        return Outcome(None, done.stdout)
    found = pattern.search(done.stdout)
    assert found, f"no test failed, and yet it ended with {done.returncode}:\n{done.stdout[-3000:]}"
    return Outcome(found[1], done.stdout)
