"""A row of the bench: a figure in its unit, its turns of the calibration, its goals, and whether they hold.

A goal in turns is what was measured on the day given in bench_goals.json, with its noise. It is held up to
10 % beyond it, or up to the noise where that is larger; MISSED beyond that. As machines vary, it fails, and
with it the bench, only from 10 % beyond the noise. A limit (of a standard, a wall of bytes) fails as soon as
it is passed; so does a promise of ms, scaled by a turn here beside one on the machine it is made for.
"""

import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import Final

from tests.calibration import THERE, Taken

GOALS: Final = Path(__file__).with_name("bench_goals.json")
NO_WORSE: Final = 0.10


@dataclass(frozen=True)
class Limit:
    """The least or the most that a figure may be; only a wish where nothing fails by it."""

    least: float | None = None
    most: float | None = None
    is_wish: bool = False

    def judged(self, figure: float, unit: str) -> str:
        """Say the limit, and whether it is held."""
        if self.least is not None:
            return f"{self._word(figure >= self.least)}: at least {self.least:,g} {unit}".rstrip()
        assert self.most is not None
        return f"{self._word(figure <= self.most)}: at most {self.most:,g} {unit}".rstrip()

    def _word(self, is_held: bool) -> str:
        return "held" if is_held else ("MISSED" if self.is_wish else "FAILS")


@dataclass(frozen=True)
class Promise:
    """The most ms on the machine of the limits, and how many of them the network takes on every machine."""

    most_ms: float
    network_ms: float = 0

    def allowed_ms(self, loop: str, turn_ms: Sequence[float]) -> float:
        """Give the most that it may be where a turn of the loop takes so long (median)."""
        return self.network_ms + (self.most_ms - self.network_ms) * median(turn_ms) / THERE[loop]

    def judged(self, ms: float, loop: str, turn_ms: Sequence[float]) -> str:
        """Say what is allowed here and what was promised there, and whether it is held."""
        allowed = self.allowed_ms(loop, turn_ms)
        word = "held" if ms <= allowed else "FAILS"
        return f"{word}: at most {short(allowed)} ms here, {self.most_ms:,g} ms there"


@dataclass(frozen=True)
class Goal:
    """The turns that something took when its goal was set, and the noise of those runs, a share."""

    turns: float
    noise: float

    def judged(self, turns: float) -> str:
        """Say the goal, and whether it is held."""
        beyond = turns / self.turns - 1
        word = "held" if beyond <= max(NO_WORSE, self.noise) else "MISSED"
        word = "FAILS" if beyond > NO_WORSE + self.noise else word
        noise = f", noise {100 * self.noise:.0f} %" if self.noise > NO_WORSE else ""
        return f"{word}: {short(self.turns)} turns{noise} ({100 * beyond:+.0f} %)"


@dataclass(frozen=True)
class Row:
    """A figure of the bench, the median of its runs; listed where DEVELOPERS.md shows it."""

    what: str
    figures: Sequence[float]
    unit: str
    turns: Sequence[float] = ()
    loop: str = ""
    limits: Sequence[Limit] = ()
    has_goal: bool = True
    is_listed: bool = False
    turn_ms: Sequence[float] = ()
    promise: Promise | None = None

    @property
    def figure(self) -> float:
        """Give the median of the runs."""
        return median(self.figures)

    @property
    def ratio(self) -> str:
        """Say the turns, and of which loop."""
        return f"{short(median(self.turns))} {self.loop}" if self.turns else ""

    @property
    def shown(self) -> str:
        """Say the figure in its unit."""
        return f"{short(self.figure)} {self.unit}".rstrip()

    def goals(self, known: dict[str, Goal]) -> list[str]:
        """Say each goal, and whether it is held."""
        told = [limit.judged(self.figure, self.unit) for limit in self.limits]
        if self.promise is not None:
            told.append(self.promise.judged(self.figure, self.loop, self.turn_ms))
        if not self.turns or not self.has_goal:
            return told
        if self.what not in known:
            return [*told, "FAILS: no goal was set; python -m tests.bench_goals"]
        return [known[self.what].judged(median(self.turns)), *told]


def short(figure: float) -> str:
    """Say it to three digits, but a thousand and more to the last."""
    return f"{figure:,.0f}" if figure >= 1000 else f"{figure:.3g}"


def timed(
    what: str,
    taken: Taken,
    loop: str,
    promise: Promise | None = None,
    *,
    has_goal: bool = True,
    is_listed: bool = False,
) -> Row:
    """Make the row of something that took a time."""
    return Row(
        what,
        taken.ms,
        "ms",
        taken.turns,
        loop,
        has_goal=has_goal,
        is_listed=is_listed,
        turn_ms=taken.turn_ms,
        promise=promise,
    )


def known_goals() -> dict[str, Goal]:
    """Read the goals, by row."""
    table = json.loads(GOALS.read_text(encoding="utf-8"))
    return {what: Goal(**goal) for what, goal in table["goals"].items()}


def line(what: str, figure: str, ratio: str, goals: str) -> str:
    """Lay a row out."""
    return f"{what:52} {figure:>14}  {ratio:>16}  {goals}".rstrip()
