"""The drawing of a map for paper: each part below what feeds it, with what guards it."""

from itertools import pairwise
from typing import Any

from fieldlog import tables
from fieldlog.model.rig import rig_of
from fieldlog.reports.map_tree import BARE, DEEPEST, GUARDED, TreePart, map_tree
from fieldlog.reports.rig_map import drawn
from tests.builders import a_device, a_record, a_rig, a_trip_test
from tests.model.log import a_log

INLET = {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30}
DEVICE = a_device("", "GFCI")
GUARD = {"id": "g", "kind": "gfci-receptacle", "name": "Galley", "device": DEVICE["id"]}
BUNK = {"id": "r", "kind": "receptacle", "name": "Bunk"}


def tree_of(parts: list[Any], runs: list[Any], *more: Any, modes: Any = None) -> tuple[TreePart, ...]:
    rig = a_rig()
    body = {"parts": parts, "runs": runs, "modes": modes or {}}
    device = DEVICE | {"rig": rig["id"]}
    others = [each | {"rig": rig["id"]} for each in more]
    log = a_log(rig, device, a_record("rig-map", body, rig=rig["id"]), *others)
    found = rig_of(log, rig["id"])
    assert found is not None
    return map_tree(drawn(found, tables.load()))


def chain_of(count: int) -> tuple[list[Any], list[Any]]:
    """Give an inlet with junction after junction behind it."""
    parts = [{"id": f"j{n}", "kind": "junction", "name": f"Box {n}"} for n in range(count)]
    ends = [INLET["id"], *(part["id"] for part in parts)]
    return [INLET, *parts], [{"from": a, "to": b} for a, b in pairwise(ends)]


def all_of(tree: tuple[TreePart, ...]) -> list[TreePart]:
    return [each for part in tree for each in (part, *all_of(part.below))]


def test_each_part_stands_below_what_feeds_it_with_its_wire_and_its_guard() -> None:
    runs = [
        {"from": "inlet", "to": "g", "awg": 14, "feet": 10.5},
        {"from": "g", "to": "r", "from_side": "load"},
    ]
    (inlet,) = tree_of([INLET, GUARD, BUNK], runs)
    ((galley,), (bunk,)) = inlet.below, inlet.below[0].below

    assert (inlet.name, inlet.feed, inlet.tone) == ("Inlet", "", "")
    assert (galley.name, galley.feed, galley.tone) == ("Galley", "14 AWG, 10.5 ft", GUARDED)
    assert (bunk.name, bunk.feed, bunk.tone) == ("Bunk", "load side, gauge not noted", GUARDED)
    assert bunk.guard == "Guarded by “Galley”, as the map says."
    assert bunk.below == ()


def test_what_shares_the_feed_of_a_device_has_no_guard() -> None:
    runs = [{"from": "inlet", "to": "g"}, {"from": "g", "to": "r", "from_side": "line"}]
    (inlet,) = tree_of([INLET, GUARD, BUNK], runs)

    assert inlet.below[0].below[0].tone == BARE


def test_a_guard_that_a_trip_test_disproved_is_drawn_as_none() -> None:
    runs = [{"from": "inlet", "to": "g"}, {"from": "g", "to": "r", "from_side": "load"}]
    trip = a_trip_test("", DEVICE["id"])
    trip["body"] |= {"face_dead": False, "tripped": True, "reset": True}
    (inlet,) = tree_of([INLET, GUARD, BUNK], runs, trip)

    assert inlet.below[0].tone == BARE
    assert "shows otherwise" in inlet.below[0].guard


def test_what_two_sources_feed_stands_whole_once_and_is_named_the_second_time() -> None:
    station = {"id": "s", "kind": "inverter", "name": "Station", "amps": 15}
    plug = {"id": "p", "kind": "junction", "name": "Plug moved by hand"}
    runs = [{"from": "inlet", "to": "p"}, {"from": "s", "to": "p"}, {"from": "p", "to": "r"}]
    modes = {"shore": {"without": [1]}, "station": {"without": [0]}}
    inlet, second = tree_of([INLET, station, plug, BUNK], runs, modes=modes)

    assert [each.name for each in all_of((inlet,))] == ["Inlet", "Plug moved by hand", "Bunk"]
    assert inlet.below[0].feed == "gauge not noted, only in shore"
    (again,) = second.below
    assert (again.name, again.is_again, again.below) == ("Plug moved by hand", True, ())


def test_a_long_row_goes_no_further_to_the_right_than_there_is_room_and_leaves_nothing_out() -> None:
    parts, runs = chain_of(3 * DEEPEST)
    tree = tree_of(parts, runs)

    assert [each.name for each in all_of(tree)] == [part["name"] for part in parts]
    deepest, at = 0, tree
    while at:
        deepest, at = deepest + 1, at[-1].below
    assert deepest == DEEPEST
    assert all_of(tree)[-1].feed == f"from “Box {3 * DEEPEST - 2}”, gauge not noted"
