"""How soon a check is judged in Python, Node and a slowed page, and what the rulebook saves."""

import json
import random
import subprocess
from collections.abc import Iterator, Sequence
from functools import partial
from typing import Any, Final

from playwright.sync_api import Browser

from fieldlog.engine import assess
from fieldlog.engine.families import FAMILIES
from fieldlog.engine.instruments import lamp_volts, meter_readings
from fieldlog.engine.wiring import circuit
from fieldlog.engine.world import sampled_world
from fieldlog.rulebook import compiled_bytes, load
from tests import bench_first_check, simulated
from tests.bench_rows import Limit, Row, timed
from tests.browser.served import Server
from tests.calibration import (
    LOOP,
    RUNS,
    Taken,
    beside,
    middle_ms,
    ms_of,
    page_loop,
    page_turn_ms,
    turn_of_script,
)
from tests.felt import SLOWED, a_new_phone
from tests.node import ROOT, node_program
from tests.world_ranges import world_ranges

SEED: Final = 31
KINDS: Final = {
    "three wires, meter": ("three-wire", "meter"),
    "three wires, lamps": ("three-wire", "lamps"),
    "three wires, under load": ("three-wire", "meter+load"),
    "three wires, two sets": ("three-wire", "meter+low"),
    "14-50, meter": ("split-phase", "low-meter"),
}
"""A mix of what people read: most by one meter, some with lamps, a load, both meters, and a 14-50."""
EACH: Final = 100
WORLDS: Final = 160

IN_NODE: Final = f"""
import {{ readFileSync }} from "node:fs";
import {{ assess }} from "./static/js/engine/assess.js";
const turnMs = {LOOP};
const rulebook = JSON.parse(readFileSync("schemas/rulebook.json", "utf8"));
const checks = JSON.parse(readFileSync(0, "utf8"));
const judge = () => {{
  const began = performance.now();
  for (const check of checks) assess(check, rulebook);
  return (performance.now() - began) / checks.length;
}};
judge();
const found = Array.from({{ length: {RUNS} }}, () => [judge(), turnMs()]);
console.log(JSON.stringify(found));
"""

# The very first check, which opens the rulebook; and one of many, after a run that warms up.
IN_PAGE: Final = """async (checks) => {
  const { assess } = await import("/static/js/engine/assess.js");
  const rulebook = await (await fetch("/rulebook.json")).json();
  const taken = (some) => {
    const began = performance.now();
    for (const check of some) assess(check, rulebook);
    return (performance.now() - began) / some.length;
  };
  const first = taken(checks.slice(0, 1));
  taken(checks);
  return [first, taken(checks)];
}"""


def rows(browser: Browser, server: Server) -> Iterator[Row]:
    """Give the rows of the engine."""
    kinds = mixed_checks(EACH)
    mix = [check for each in kinds.values() for check in each]
    judging = judged_in_python(mix)
    yield timed("a check judged in Python, a mix of five kinds", judging, "Python", is_listed=True)
    for what, checks in kinds.items():
        yield timed(f"  {what}", judged_in_python(checks), "Python")
    solving = beside(partial(ms_of, solve_every_wiring))
    yield timed("  solving every circuit at each check instead", solving, "Python", has_goal=False)
    slower = [one / other for one, other in zip(solving.turns, judging.turns, strict=True)]
    yield Row(
        "  solving beside judging, slower by", slower, "times", limits=[Limit(least=200)], is_listed=True
    )
    yield timed("a check judged in Node", judged_in_node(mix), "Node")
    first, one = judged_in_chromium(browser, server, mix)
    page = page_loop(SLOWED)
    yield timed(f"a check judged in Chromium, {SLOWED}x CPU", one, page, is_listed=True)
    yield timed(f"the first in Chromium, {SLOWED}x, opening the rulebook", first, page, is_listed=True)
    yield from bench_first_check.rows()
    yield timed("the rulebook compiled", beside(partial(ms_of, compiled_bytes)), "Python", is_listed=True)


def mixed_checks(each: int) -> dict[str, list[dict[str, Any]]]:
    """Draw as many checks of each kind."""
    rng = random.Random(SEED)
    return {what: [one_check(rng, *kind) for _ in range(each)] for what, kind in KINDS.items()}


def one_check(rng: random.Random, family: str, reading: str) -> dict[str, Any]:
    """Draw an outlet and read it."""
    truths = list(simulated.THREE_WIRE if family == "three-wire" else simulated.SPLIT_PHASE)
    site = simulated.drawn_site(rng, rng.choice(truths), family=family)
    return simulated.drawn_check(rng, site, reading)


def solve_every_wiring() -> None:
    """Do at one check what the rulebook saves: solve every named wiring over the plausible world."""
    ranges, family = world_ranges(), FAMILIES["three-wire"]
    for named in family.named:
        for index in range(1, WORLDS + 1):
            world = sampled_world(index, ranges, low_impedance=False)
            wiring = named.variants[0]
            meter_readings(wiring, world, family.pairs)
            lamp_volts(circuit(wiring, world), family.lamp_pairs, [world.lamp_ohms] * len(family.lamp_pairs))


def judged_in_python(checks: Sequence[dict[str, Any]]) -> Taken:
    """Judge them all, again and again, after a round that warms up."""

    def judge_all() -> None:
        for check in checks:
            assess(check, load())

    judge_all()
    taken = beside(partial(middle_ms, judge_all))
    return Taken(tuple(ms / len(checks) for ms in taken.ms), taken.turn_ms)


def judged_in_node(checks: Sequence[dict[str, Any]]) -> Taken:
    """Judge in Node, after a round that warms up."""
    done = subprocess.run(
        [node_program(), "--input-type=module", "-e", IN_NODE],
        input=json.dumps(checks),
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
    )
    found = json.loads(done.stdout)
    return Taken(tuple(ms for ms, _ in found), tuple(turn_of_script(told) for _, told in found))


def judged_in_chromium(
    browser: Browser, server: Server, checks: Sequence[dict[str, Any]]
) -> tuple[Taken, Taken]:
    """Judge on slowed phones: the very first check, and one of many."""
    first, one, turns = list[float](), list[float](), list[float]()
    for _ in range(RUNS):
        with a_new_phone(browser, server, SLOWED) as phone:
            phone.open("/arrive")
            before = page_turn_ms(phone.page)
            first_ms, one_ms = phone.page.evaluate(IN_PAGE, list(checks))
            turns.append((before + page_turn_ms(phone.page)) / 2)
        first.append(float(first_ms))
        one.append(float(one_ms))
    return Taken(tuple(first), tuple(turns)), Taken(tuple(one), tuple(turns))
