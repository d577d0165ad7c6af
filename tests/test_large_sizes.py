"""What the larger sizes stand on: tests say size and seed; a known figure neither grows nor goes stale."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.known_figures import hold_known
from tests.repository import ROOT

DRAWN = """import pytest

@pytest.mark.deep
def test_what_is_drawn_is_told():
    print("seed 5, 30 outlets")

@pytest.mark.deep
def test_what_is_drawn_is_not_told():
    print("30 outlets")
"""


def test_a_large_test_is_shown_with_its_size_and_seed_and_fails_without(tmp_path: Path) -> None:
    (tmp_path / "test_drawn.py").write_text(DRAWN, encoding="utf-8")
    plugins = ["-p", "xdist.plugin", "-p", "tests.large_sizes"]
    command = [sys.executable, "-m", "pytest", "-q", "-n", "1", *plugins]
    done = subprocess.run(
        [*command, "-c", ROOT / "pyproject.toml", tmp_path],
        cwd=ROOT,
        env={**os.environ, "PYTEST_DISABLE_PLUGIN_AUTOLOAD": "1"},
        capture_output=True,
        text=True,
        check=False,
    )

    assert "::test_what_is_drawn_is_told: passed in 0 s\n    seed 5, 30 outlets\n" in done.stdout
    assert "::test_what_is_drawn_is_not_told says no size and seed" in done.stdout
    assert "1 failed, 1 passed" in done.stdout


def test_a_known_figure_is_said_beside_its_goal(capsys: pytest.CaptureFixture[str]) -> None:
    hold_known("lost", 12, of=10_000, goal=10, known=12)

    said = "lost 12 of 10000, 0.12 % (goal 10 of 10000, 0.1 %, known figure 12 of 10000, 0.12 %)\n"
    assert capsys.readouterr().out == said


@pytest.mark.parametrize(
    ("found", "why"), [(121, "worse"), (100, "the goal is reached"), (107, "better than is known; 107")]
)
def test_a_known_figure_fails_when_it_is_no_longer_true(found: int, why: str) -> None:
    with pytest.raises(AssertionError, match=why):
        hold_known("lost", found, of=100_000, goal=100, known=120)
