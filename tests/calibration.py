"""Fixed plain work beside which the bench shows every time, because machines differ by three times.

In Node and in a page it is a loop over floating-point numbers: two products, a difference, a comparison and,
in about two of three passes, a sum. A turn is 100,000 passes. In Python a turn is the same loop and about as
long again of rows sorted into groups, since a processor on which the loop took 2.7 times as long took only
1.5 times as long for a check: most of a check is dictionaries, lists and calls. What waits for the disk
stands beside 4,096 bytes written and synced; there a turn is one of those. Python's own work is measured by
the processor's time, so that another program takes nothing from it; script's by the clock.

Limits in ms are promised for one machine, which is described below by what its turns took.
"""

import gc
import os
import time
from collections.abc import Callable
from dataclasses import dataclass
from operator import itemgetter
from pathlib import Path
from typing import Any, Final

from playwright.sync_api import Page

RUNS: Final = 5
PASSES: Final = 100_000
ROWS: Final = 9_000
"""So many are sorted into groups in a turn of Python."""
GROUPS: Final = ("oak", "elm", "ash", "fir", "yew", "may", "box")
TURNS: Final = 5
"""So many make one look at the machine in Python: some 30 ms."""
TURNS_OF_SCRIPT: Final = 50
"""As long in script, so that a slowed page is slowed many times over within it."""
SYNCS: Final = 100

# Gives [ms of one turn, the sum that it comes to].
LOOP: Final = f"""(() => {{
  const oneTurn = () => {{
    let x = 0.3;
    let above = 0;
    for (let pass = 0; pass < {PASSES}; pass += 1) {{
      x = 3.9 * x * (1 - x);
      if (x > 0.5) above += x;
    }}
    return above;
  }};
  oneTurn();
  const began = performance.now();
  let sum = 0;
  for (let turn = 0; turn < {TURNS_OF_SCRIPT}; turn += 1) sum = oneTurn();
  return [(performance.now() - began) / {TURNS_OF_SCRIPT}, sum];
}})"""


RATIO: Final = 1.17 / (1000 / 2361)
"""How much slower the machine of MEASURED is, 2.76 times: it judged a check in Python in 1.17 ms, the
machine of the limits 2,361 in a second. Both are medians; the code that judges was the same."""
MEASURED: Final = {"Python": 20.1, "page 4x": 4.21, "page 1x": 1.34, "Node": 1.34}
"""What turns took [ms] in the idle run that set the goals, 2026-11-29: the ms of its rows by their turns.

Python 1.17 by 0.0582: a turn of Python had no rows then, so these are the turns that the same code took for
the same checks on another processor, 2026-12-01. The page at 4x 2.56 by 0.608, a check judged; at 1x 74.1 by
55.2, the first drawing. It kept no ms of Node, which runs script by the same engine as the page: taken as
that one at 1x.
"""
THERE: Final = {loop: ms / RATIO for loop, ms in MEASURED.items()}
"""What turns take [ms] on the machine of the limits. Derived, never measured: its figures are of 2026-11-25,
turns came later.

Script may be off by up to two times. Other figures of that machine, each by the turns that the same took in
the run of MEASURED, give a turn of the page at 4x between 1.1 ms (gone on with at the verdict, 640 ms) and
2.4 ms (the first check, 162 ms), in the middle 1.5 ms, as is derived; at 1x 0.50 and 0.67 ms (drawings),
where 0.48 ms is derived.

A further machine, busy with others' work, was tried alike; the shortest of many tries counted, because the
middle told of the others: 0.50 ms in a page at 1x and 0.54 ms in Node give 0.26 and 0.28 ms, much less. What
stands allows less. At 4x short tries say nothing: they fall between two brakes.
"""


def page_loop(slowed: int) -> str:
    """Name the loop in a page that is slowed so many times."""
    return f"page {slowed}x"


@dataclass(frozen=True)
class Taken:
    """What each of some runs took [ms], and what a turn took at its moment [ms]."""

    ms: tuple[float, ...]
    turn_ms: tuple[float, ...]

    @property
    def turns(self) -> tuple[float, ...]:
        """Give each run in turns."""
        return tuple(ms / turn for ms, turn in zip(self.ms, self.turn_ms, strict=True))


def one_turn() -> float:
    """Go round in Python, and give the sum."""
    x, above = 0.3, 0.0
    for _ in range(PASSES):
        x = 3.9 * x * (1 - x)
        if x > 0.5:
            above += x
    return above


SUM: Final = one_turn()


def grouped() -> dict[str, float]:
    """Sort rows into groups, and give the sum of each."""
    x, groups = 0.3, dict[str, list[dict[str, Any]]]()
    for place in range(ROWS):
        x = 3.9 * x * (1 - x)
        row: dict[str, Any] = {"group": GROUPS[place % len(GROUPS)], "value": x, "range": (x - 0.1, x + 0.1)}
        low, high = row["range"]
        if not low < 0.5 < high:
            groups.setdefault(row["group"], []).append(row)
    in_order = {name: sorted(rows, key=itemgetter("value")) for name, rows in groups.items()}
    return {name: sum(row["value"] for row in rows) for name, rows in in_order.items()}


def python_turn_ms() -> float:
    """Give what a turn takes in Python now; none of it is spent on clearing away what others left."""
    gc.collect()
    gc.disable()
    try:
        began = time.process_time()
        for _ in range(TURNS):
            one_turn()
            grouped()
        return 1000 * (time.process_time() - began) / TURNS
    finally:
        gc.enable()


def page_turn_ms(page: Page) -> float:
    """Give what a turn takes in a page now, as slowed as the page is."""
    return turn_of_script(page.evaluate(LOOP))


def turn_of_script(told: Any) -> float:
    """Read what LOOP gives; script must have come to the same sum."""
    ms, total = told
    assert total == SUM, (total, SUM)
    return float(ms)


def sync_turn_ms(folder: Path) -> float:
    """Give what it takes now to write 4,096 bytes and sync them."""
    with (folder / "synced").open("wb", buffering=0) as file:
        began = time.perf_counter()
        for _ in range(SYNCS):
            file.write(bytes(4096))
            os.fsync(file.fileno())
        return 1000 * (time.perf_counter() - began) / SYNCS


def ms_of(act: Callable[[], object], clock: Callable[[], float] = time.process_time) -> float:
    """Give what it takes to do something [ms]."""
    began = clock()
    act()
    return 1000 * (clock() - began)


def middle_ms(act: Callable[[], object]) -> float:
    """Give the middle of three."""
    return sorted(ms_of(act) for _ in range(3))[1]


def beside(
    measure: Callable[[], float], turn_ms: Callable[[], float] = python_turn_ms, runs: int = RUNS
) -> Taken:
    """Measure some times, each between two looks at the machine."""
    ms, turns, before = list[float](), list[float](), turn_ms()
    for _ in range(runs):
        ms.append(measure())
        after = turn_ms()
        turns.append((before + after) / 2)
        before = after
    return Taken(tuple(ms), tuple(turns))
