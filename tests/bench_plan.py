"""How soon a plan stands on a slowed phone: 20 loads, behind wires, on both legs, and 40."""

import random
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from typing import Any, Final

from playwright.sync_api import Browser

from fieldlog import tables
from tests.bench_rows import Promise, Row, timed
from tests.browser.served import Server
from tests.calibration import RUNS, Taken, page_loop, page_turn_ms
from tests.felt import SLOWED, a_new_phone

SEED: Final = 15
DRAWN: Final = 12
"""Plans of each kind; the slowest of them counts."""
SOON: Final = Promise(most_ms=5)
MANY: Final = Promise(most_ms=100)

# The middle of five answers each, after two that warm up.
IN_PAGE: Final = """async ([tables, plans]) => {
  const { plan } = await import("/static/js/engine/plan.js");
  const answered = (asked) => {
    const began = performance.now();
    plan(asked, tables);
    return performance.now() - began;
  };
  const middle = (asked) => Array.from({ length: 5 }, () => answered(asked)).sort((a, b) => a - b)[2];
  for (const asked of [...plans, ...plans]) plan(asked, tables);
  return Math.max(...plans.map(middle));
}"""


def rows(browser: Browser, server: Server) -> Iterator[Row]:
    """Give the rows of the planner."""
    rng = random.Random(SEED)
    kinds: dict[str, tuple[list[dict[str, Any]], Promise | None]] = {
        f"a plan of 20 loads, {SLOWED}x CPU": ([a_plan(rng, 20) for _ in range(DRAWN)], SOON),
        f"a plan of 20 unlike loads of one priority, {SLOWED}x CPU": (
            [a_plan(rng, 20, priorities=1) for _ in range(DRAWN)],
            SOON,
        ),
        f"a plan of 20 loads behind wires, {SLOWED}x CPU": (
            [behind_wires(rng, a_plan(rng, 20)) for _ in range(DRAWN)],
            None,
        ),
        f"a plan of 20 loads on two legs, {SLOWED}x CPU": (
            [on_two_legs(rng, a_plan(rng, 20)) for _ in range(DRAWN)],
            None,
        ),
        f"a plan of 40 loads, {SLOWED}x CPU": ([a_plan(rng, 40) for _ in range(DRAWN)], MANY),
    }
    for what, (plans, promise) in kinds.items():
        taken = planned_in_chromium(browser, server, plans)
        # No goal in turns yet: it was only measured beside other work, which moved it by three times.
        yield timed(what, taken, page_loop(SLOWED), promise, has_goal=False, is_listed=True)


def a_plan(rng: random.Random, count: int, priorities: int = 3) -> dict[str, Any]:
    """Draw a plan of unlike loads behind a cord."""
    loads = [
        {
            "name": f"{number}",
            "watts": rng.randint(20, 1500),
            "kind": rng.choice(("resistive", "electronic", "motor")),
            "priority": rng.randint(1, priorities),
        }
        for number in range(count)
    ]
    asked = {"volts": 118.0, "source_ohms": 0.2, "breaker_amps": 30, "loads": loads}
    return asked | {"cords": [{"awg": 10, "feet": 50}]}


def behind_wires(rng: random.Random, asked: dict[str, Any]) -> dict[str, Any]:
    """Hang the loads on five wires of the rig."""
    each = len(asked["loads"]) // 5
    wires = [
        {
            "name": f"wire {number}",
            "amps": rng.choice((15, 20)),
            "ohms": rng.uniform(0.05, 0.3),
            "loads": list(range(number * each, (number + 1) * each)),
        }
        for number in range(5)
    ]
    return asked | {"branches": wires}


def on_two_legs(rng: random.Random, asked: dict[str, Any]) -> dict[str, Any]:
    """Hang the loads on two legs, some between the hots."""
    loads = [load | {"leg": rng.choice(("x", "x", "y", "y", "both"))} for load in asked["loads"]]
    legs = {"volts_y": 119.0, "volts_xy": 238.0}
    return asked | {"loads": loads, "legs": legs, "breaker_amps": 50, "cords": [{"awg": 6, "feet": 25}]}


def planned_in_chromium(browser: Browser, server: Server, plans: Sequence[dict[str, Any]]) -> Taken:
    """Answer them all on slowed phones."""
    known = {name: asdict(entry) for name, entry in tables.load().entries.items()}
    slowest, turns = list[float](), list[float]()
    for _ in range(RUNS):
        with a_new_phone(browser, server, SLOWED) as phone:
            phone.open("/plan")
            before = page_turn_ms(phone.page)
            slowest.append(float(phone.page.evaluate(IN_PAGE, [known, list(plans)])))
            turns.append((before + page_turn_ms(phone.page)) / 2)
    return Taken(tuple(slowest), tuple(turns))
