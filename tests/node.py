"""Runs the browser's engine under Node: one JSON value a line in, one canonical line out."""

import json
import shutil
import subprocess
from collections.abc import Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]


def node_program() -> str:
    """Give the path of Node 18 or newer: the machine's, or the one beside the tests' Python."""
    program = shutil.which("node") or shutil.which("node", path=str(ROOT / ".venv/bin"))
    assert program, "node is missing; run deploy/check, which installs it"
    return program


def answer_of_node(task: str, lines: str) -> str:
    """Give what tests/js/answer.mjs prints for a task ("assess" or "canonical")."""
    done = subprocess.run(
        [node_program(), str(ROOT / "tests/js/answer.mjs"), task],
        input=lines,
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    )
    return done.stdout


def answers_of_node(script: str, values: Sequence[object]) -> list[bytes]:
    """Give what a script of tests/js/ prints for JSON values, a line for each."""
    done = subprocess.run(
        [node_program(), str(ROOT / "tests/js" / script)],
        input="\n".join(json.dumps(value) for value in values),
        capture_output=True,
        text=True,
        check=True,
        encoding="utf-8",
    )
    return [line.encode() for line in done.stdout.splitlines()]
