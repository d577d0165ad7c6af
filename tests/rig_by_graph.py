"""The same questions asked of a directed graph, and explanations by trying every set: the slow reference.

Each part is two nodes, before and beyond its contacts; a trip takes the edge between them out, and what a
source no longer reaches is dead. Reachability, ancestors and loops are networkx's.
"""

from collections.abc import Iterator, Mapping
from itertools import combinations
from typing import Any

import networkx as nx

POWER = ("", "power")
TRIPPING = ("breaker", "cord-gfci", "gfci-receptacle")
TWO_SIDED = ("cord-gfci", "gfci-receptacle")
ORDER = ("to-line-side", "to-load-side", "fed-from", "line-and-load-swapped", "does-not-trip")

Map = Mapping[str, Any]
Changes = tuple[dict[str, Any], ...]


def standings(value: Map) -> dict[str, set[int]]:
    """Give, by mode, the runs that are not there."""
    noted = {mode: set(entry.get("without", [])) for mode, entry in value.get("modes", {}).items()}
    return noted or {"": set()}


def kinds(value: Map) -> dict[str, str]:
    return {part["id"]: part["kind"] for part in value["parts"]}


def changed(value: Map, changes: Changes) -> tuple[list[dict[str, Any]], set[str], set[str]]:
    """Give the runs as changed, the devices with line and load swapped, and those that do not trip."""
    runs = [dict(run) for run in value["runs"]]
    swapped, stuck = set[str](), set[str]()
    for change in changes:
        if change["change"] == "fed-from":
            runs[change["run"]]["from"] = change["from"]
        elif change["change"] == "fed-from-load-side":
            runs[change["run"]] |= {"from": change["from"], "from_side": "load"}
        elif "run" in change:
            runs[change["run"]]["from_side"] = "load" if change["change"] == "to-load-side" else "line"
        else:
            (stuck if change["change"] == "does-not-trip" else swapped).add(change["part"])
    return runs, swapped, stuck


def graph(value: Map, changes: Changes, mode: str) -> Any:
    """Give who feeds whom, contact by contact."""
    runs, _, _ = changed(value, changes)
    kind, found = kinds(value), nx.DiGraph()
    fed_ever = {run["to"] for run in value["runs"]}
    for part in kind:
        found.add_node((part, "before"))
        if kind[part] == "inverter":
            found.add_edge(POWER, (part, "beyond"))
        else:
            found.add_edge((part, "before"), (part, "beyond"))
        if part not in fed_ever or kind[part] == "supply":
            found.add_edge(POWER, (part, "before"))
    for number, run in enumerate(runs):
        if number not in standings(value)[mode]:
            found.add_edge((run["from"], _side(kind[run["from"]], run)), (run["to"], "before"))
    return found


def _side(kind: str, run: Map) -> str:
    is_beyond = kind in ("breaker", "inverter") or (kind in TWO_SIDED and run.get("from_side") == "load")
    return "beyond" if is_beyond else "before"


def dead_after(value: Map, changes: Changes, mode: str, device: str | None) -> frozenset[str]:
    """Give the parts that a device leaves dead when it trips; None for what is dead anyhow."""
    _, swapped, stuck = changed(value, changes)
    wiring = graph(value, changes, mode)
    if device is not None and device not in stuck:
        wiring.remove_edge((device, "before"), (device, "beyond"))
    live = {POWER, *nx.descendants(wiring, POWER)} if POWER in wiring else set()
    kind = kinds(value)

    def shown(part: str) -> tuple[str, str]:
        has_face = kind[part] in (*TRIPPING, "inverter") and part not in swapped
        return (part, "beyond" if has_face else "before")

    return frozenset(part for part in kind if shown(part) not in live)


def guards(value: Map, mode: str, outlet: str) -> set[str]:
    """Give the ground-fault devices without which an outlet would stay live."""
    found = set()
    for part in value["parts"]:
        is_guard = part["kind"] in TWO_SIDED or (part["kind"] == "breaker" and part.get("gfci"))
        if is_guard and outlet in dead_after(value, (), mode, part["id"]):
            found.add(part["id"])
    return found


def every_change(value: Map, *, with_load_sides: bool = False) -> list[dict[str, Any]]:
    """Give each single change in the order in which explanations tell them."""
    found: list[dict[str, Any]] = []
    kind, near = kinds(value), before_or_beyond(value)
    for number, run in enumerate(value["runs"]):
        if kind[run["from"]] in TWO_SIDED:
            side = "to-line-side" if run.get("from_side") == "load" else "to-load-side"
            found.append({"run": number, "change": side})
        for breaker in kind:
            if kind[breaker] == "breaker" and breaker not in near[run["to"]] | {run["from"]}:
                found.append({"run": number, "change": "fed-from", "from": breaker})
        for device in kind if with_load_sides else ():
            if kind[device] in TWO_SIDED and device not in near[run["to"]] | {run["from"]}:
                found.append({"run": number, "change": "fed-from-load-side", "from": device})
    for part in kind:
        if kind[part] == "gfci-receptacle":
            found.append({"part": part, "change": "line-and-load-swapped"})
        if kind[part] in TRIPPING:
            found.append({"part": part, "change": "does-not-trip"})
    return found


def before_or_beyond(value: Map) -> dict[str, set[str]]:
    """Give, by part, itself and the parts before it or beyond it in any mode."""
    near = {part: {part} for part in kinds(value)}
    for mode in standings(value):
        feeds = part_graph(value, value["runs"], mode)
        for part in near:
            near[part] |= nx.ancestors(feeds, part) | nx.descendants(feeds, part)
    return near


def part_graph(value: Map, runs: list[dict[str, Any]], mode: str) -> Any:
    """Give who feeds whom, part by part."""
    found = nx.DiGraph()
    found.add_nodes_from(kinds(value))
    without = standings(value)[mode]
    found.add_edges_from((run["from"], run["to"]) for number, run in enumerate(runs) if number not in without)
    return found


def is_possible(value: Map, changes: Changes) -> bool:
    """Say whether nothing feeds itself, and no run or part is changed twice."""
    targets = [(change.get("run"), change.get("part")) for change in changes]
    if len(set(targets)) < len(targets):
        return False
    runs = changed(value, changes)[0]
    return all(nx.is_directed_acyclic_graph(part_graph(value, runs, mode)) for mode in standings(value))


def agrees(value: Map, trips: list[dict[str, Any]], changes: Changes) -> bool:
    """Say whether every trip is as the changed map has it."""
    for trip in trips:
        dead = dead_after(value, changes, trip.get("mode", ""), trip["device"])
        if not set(trip["dead"]) <= dead or set(trip["live"]) & dead:
            return False
    return True


def meaning(value: Map, changes: Changes) -> tuple[frozenset[str], ...]:
    """Give what each device leaves dead, in every mode."""
    devices = [part for part, kind in kinds(value).items() if kind in TRIPPING]
    return tuple(
        dead_after(value, changes, mode, device) for mode in standings(value) for device in (None, *devices)
    )


def explanations(value: Map, trips: list[dict[str, Any]], most: int) -> list[dict[str, Any]] | None:
    """Give the smallest sets of changes, one for each meaning, up to ten; None for none of `most` changes."""
    universe = every_change(value)
    for cost in range(1, most + 1):
        told: dict[Any, dict[str, Any]] = {}
        for changes in _sets(universe, cost):
            if is_possible(value, changes) and agrees(value, trips, changes):
                told.setdefault(meaning(value, changes), {"changes": list(changes), "cost": cost})
        if told:
            return list(told.values())[:10]
    return None


def _sets(universe: list[dict[str, Any]], cost: int) -> Iterator[Changes]:
    yield from combinations(universe, cost)
