"""Rig maps drawn at random, as JSON: trees of parts, with a second source and modes in some."""

from collections.abc import Mapping, Sequence
from typing import Any

from hypothesis import strategies as st

INSIDE = ("breaker", "junction", "relay", "receptacle", "gfci-receptacle", "strip", "appliance", "cord-gfci")
ROOTS = ("inlet", "supply")

Map = dict[str, Any]
Draw = Any  # what Hypothesis hands in has no public type


@st.composite
def rig_maps(draw: Draw, most: int = 8, with_modes: bool = True, with_joins: bool = False) -> Map:
    """Draw a map without problems and without trips; ids tell nothing.

    Every part has one feed; with joins, a second source and further feeds may be there at the same time.
    """
    count = draw(st.integers(2, most))
    kinds = [draw(st.sampled_from(ROOTS)), *(draw(st.sampled_from(INSIDE)) for _ in range(count - 1))]
    parts = [_part(draw, f"p{number}", kind) for number, kind in enumerate(kinds)]
    runs = [_run(draw, f"p{draw(st.integers(0, end - 1))}", f"p{end}") for end in range(1, count)]
    if with_joins and draw(st.booleans()):
        kinds[draw(st.integers(1, count - 1))] = draw(st.sampled_from(["inverter", "supply"]))
        parts = [_part(draw, f"p{number}", kind) for number, kind in enumerate(kinds)]
        ends = draw(st.lists(st.integers(1, count - 1), max_size=3))
        runs += [_run(draw, f"p{draw(st.integers(0, end - 1))}", f"p{end}") for end in ends]
    runs = draw(st.permutations(runs))
    value: Map = {"parts": parts, "runs": runs}
    if with_modes and draw(st.booleans()):
        _add_modes(draw, value)
    value["parts"] = draw(st.permutations(value["parts"]))
    return value


def _part(draw: Draw, called: str, kind: str) -> Map:
    part: Map = {"id": called, "kind": kind}
    if kind == "breaker":
        part["gfci"] = draw(st.booleans())
    return part


def _run(draw: Draw, start: str, end: str) -> Map:
    run = {"from": start, "to": end}
    if draw(st.booleans()):
        run["from_side"] = draw(st.sampled_from(["line", "load"]))
    return run


def _add_modes(draw: Draw, value: Map) -> None:
    """Add an inverter that feeds some part in one mode and is away in the other."""
    moved = draw(st.integers(0, len(value["runs"]) - 1))
    value["parts"] = [*value["parts"], {"id": "inv", "kind": "inverter"}]
    value["runs"] = [*value["runs"], {"from": "inv", "to": value["runs"][moved]["to"]}]
    value["modes"] = {"shore": {"without": [len(value["runs"]) - 1]}, "station": {"without": [moved]}}


def devices(value: Mapping[str, Any]) -> list[str]:
    """Give the ids of what can trip."""
    return [
        part["id"] for part in value["parts"] if part["kind"] in ("breaker", "cord-gfci", "gfci-receptacle")
    ]


def modes(value: Mapping[str, Any]) -> list[str]:
    """Give the names of the modes; "" where there are none."""
    return list(value.get("modes", {})) or [""]


@st.composite
def any_trips(draw: Draw, value: Map, most: int = 3, says_modes: bool = True) -> list[Map]:
    """Draw trips that say anything, true or not; their modes always, or now and then."""
    trips: list[Map] = []
    if devices(value):
        for _ in range(draw(st.integers(0, most))):
            trip: Map = {
                "device": draw(st.sampled_from(devices(value))),
                "by": "hand",
                "dead": [],
                "live": [],
            }
            for part in value["parts"]:
                seen = draw(st.sampled_from(["dead", "live", *[None] * 6]))
                if seen:
                    trip[seen].append(part["id"])
            is_said = says_modes or draw(st.booleans())
            trips.append(trip | (_in_a_mode(draw, value) if is_said else {}))
    return trips


@st.composite
def asked_trips(draw: Draw, value: Map, most: int = 4) -> list[tuple[str, Sequence[str], dict[str, str]]]:
    """Draw which devices are tripped, which parts are looked at, and in which mode."""
    if not devices(value):
        return []
    ids = [part["id"] for part in value["parts"]]
    return [
        (
            draw(st.sampled_from(devices(value))),
            draw(st.lists(st.sampled_from(ids), unique=True, max_size=len(ids))),
            _in_a_mode(draw, value),
        )
        for _ in range(draw(st.integers(1, most)))
    ]


def _in_a_mode(draw: Draw, value: Map) -> dict[str, str]:
    return {"mode": draw(st.sampled_from(modes(value)))} if "modes" in value else {}
