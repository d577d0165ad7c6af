"""How soon a rig of a hundred parts with twenty trips is judged, beside asking a graph for each answer."""

import random
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import Any

from fieldlog.engine.protection import answer
from fieldlog.tables import load
from tests import rig_by_graph
from tests.bench_rows import Limit, Promise, Row, timed
from tests.calibration import beside, middle_ms

CIRCUITS = 10
CHAIN = (
    "junction",
    "gfci-receptacle",
    "receptacle",
    "receptacle",
    "junction",
    "receptacle",
    "strip",
    "appliance",
)
OUTLETS = ("receptacle", "gfci-receptacle", "strip", "appliance")
TRIPS = 20
SEED = 5
JUDGED_SOON = Promise(most_ms=100)
WRONGS = (0, 1, 2, 3)


@dataclass(frozen=True)
class RigFigures:
    """What judging a large rig takes [ms], by how much is otherwise than noted, and beside a graph."""

    by_wrong: dict[int, float]
    graph_ratio: float


def rows() -> Iterator[Row]:
    """Give the rows of the rig: how soon a large one is judged, with ever more of it otherwise than noted."""
    tables = load()
    for wrong in WRONGS:
        judge = partial(answer, a_large_rig(SEED, wrong), tables)
        taken = beside(partial(middle_ms, judge))
        what = f"a rig of 102 parts and 20 trips, {wrong} of it otherwise"
        is_listed = wrong in (WRONGS[0], WRONGS[-1])
        yield timed(what, taken, "Python", JUDGED_SOON, is_listed=is_listed)
    slower = rig_figures(wrongs=(0,)).graph_ratio
    yield Row("  asking a graph instead is slower by", [slower], "times", limits=[Limit(least=10)])


def rig_figures(wrongs: tuple[int, ...]) -> RigFigures:
    """Judge rigs with ever more things otherwise than noted; ask a graph the same, explanations left out."""
    tables = load()
    rigs = {wrong: a_large_rig(SEED, wrong) for wrong in wrongs}
    by_wrong = {wrong: _fastest_ms(partial(answer, rig, tables)) for wrong, rig in rigs.items()}
    by_graph = _fastest_ms(lambda: asked_of_a_graph(rigs[wrongs[0]]), times=1)
    return RigFigures(by_wrong, by_graph / by_wrong[wrongs[0]])


def asked_of_a_graph(value: dict[str, Any]) -> tuple[dict[str, set[str]], list[bool]]:
    """Ask for the guards of every outlet and whether each trip agrees, one reachability for each question."""
    outlets = [part["id"] for part in value["parts"] if part["kind"] in OUTLETS]
    guards = {outlet: rig_by_graph.guards(value, "", outlet) for outlet in outlets}
    return guards, [rig_by_graph.agrees(value, [trip], ()) for trip in value["trips"]]


def _fastest_ms(act: Callable[[], object], times: int = 5) -> float:
    taken = []
    for _ in range(times):
        began = time.process_time()
        act()
        taken.append(1000 * (time.process_time() - began))
    return min(taken)


def a_large_rig(seed: int, wrong: int) -> dict[str, Any]:
    """Give a rig of 102 parts whose trips were made with some of it otherwise than noted."""
    parts: list[dict[str, Any]] = [{"id": "inlet", "kind": "inlet"}, {"id": "main", "kind": "breaker"}]
    runs: list[dict[str, Any]] = [{"from": "inlet", "to": "main"}]
    for circuit in range(CIRCUITS):
        chain = [{"id": f"c{circuit}", "kind": "breaker"}]
        chain += [{"id": f"c{circuit}-{place}", "kind": kind} for place, kind in enumerate(CHAIN)]
        for before, part in zip([{"id": "main"}, *chain], chain, strict=False):
            runs.append({"from": before["id"], "to": part["id"], "from_side": "load"})
        parts += [*chain, {"id": f"c{circuit}-end", "kind": "receptacle"}]
        runs.append({"from": f"c{circuit}-4", "to": f"c{circuit}-end"})
    value: dict[str, Any] = {"parts": parts, "runs": runs}
    return value | {"trips": _trips(value, random.Random(seed), wrong)}


def _trips(value: dict[str, Any], rng: random.Random, wrong: int) -> list[dict[str, Any]]:
    changes = tuple(rng.sample(rig_by_graph.every_change(value), wrong))
    devices = [part["id"] for part in value["parts"] if part["kind"] in rig_by_graph.TRIPPING]
    outlets = [part["id"] for part in value["parts"] if part["kind"] not in ("inlet", "breaker", "junction")]
    trips = []
    for device in devices[1 : TRIPS + 1]:
        dead = rig_by_graph.dead_after(value, changes, "", device)
        seen = {
            "dead": [one for one in outlets if one in dead],
            "live": [one for one in outlets if one not in dead],
        }
        trips.append({"device": device, "by": "hand", **seen})
    return trips
