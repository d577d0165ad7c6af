"""Tests in their larger size say how large they are and from which seed they draw; one that does not, fails.

What they print is kept while they run, two at a time as well, and shown as each of them ends.
"""

from collections.abc import Generator
from typing import Any, Final

import pytest
from hypothesis import settings

MARKS: Final = ("deep", "faults")
# What a test is given by name says its size; looks draw nothing.
SAYING: Final = {"sizes": "{}", "looks": "{}, no seed"}
TOLD: Final = "size and seed"


def tell_examples(count: int) -> None:
    """Say how many examples Hypothesis draws, and from which seed."""
    is_same = settings.default is not None and settings.default.derandomize
    print(f"{count} examples, seed {'of the test, the same each time' if is_same else 'drawn anew'}")


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Add to a report what its test says of itself."""
    report = yield
    if report.when == "call" and any(item.get_closest_marker(mark) for mark in MARKS):
        given: dict[str, Any] = getattr(getattr(item, "callspec", None), "params", {})
        told = [SAYING[name].format(given[name]) for name in SAYING if name in given]
        told += report.capstdout.splitlines()
        report.user_properties.append((TOLD, "\n    ".join(told)))
        is_kept = item.config.getoption("capture") != "no"
        if report.passed and is_kept and not any("seed" in line for line in told):
            report.outcome = "failed"
            report.longrepr = f"{item.nodeid} says no size and seed"
    return report


class Teller:
    """Shows what the tests say, as each ends."""

    def __init__(self, config: pytest.Config) -> None:
        self.config = config

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        """Print it, with the seconds."""
        told = dict(report.user_properties).get(TOLD)
        terminal = self.config.pluginmanager.get_plugin("terminalreporter")
        if report.when == "call" and told is not None and terminal is not None:
            terminal.ensure_newline()
            terminal.write_line(f"{report.nodeid}: {report.outcome} in {report.duration:.0f} s\n    {told}")


def pytest_configure(config: pytest.Config) -> None:
    """Begin to show."""
    config.pluginmanager.register(Teller(config))
