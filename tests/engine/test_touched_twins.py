"""The phone says of what a change touches what the engine says, on maps drawn at random."""

from collections.abc import Sequence
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fieldlog.engine.protection import read_map
from fieldlog.engine.protection.touched import touched_by
from fieldlog.model.canonical import canonical
from fieldlog.model.proving import ChangeScope
from tests.node import answers_of_node
from tests.rig_maps import Draw, Map, rig_maps

AMPS = (15, 20, 30, 50)
PAIRS = (["h-n", "h-g", "n-g"], ["x-y", "x-n", "y-n", "x-g", "y-g", "n-g"])


@st.composite
def changes(draw: Draw) -> Map:
    """Draw a map, the parts that were changed (some of them no longer on it) and what can be probed."""
    value: Map = draw(rig_maps(most=12))
    for part in value["parts"]:
        if part["kind"] == "inlet" and draw(st.booleans()):
            part["amps"] = draw(st.sampled_from(AMPS))
    ids = [part["id"] for part in value["parts"]]
    probed = draw(st.lists(st.sampled_from(ids), unique=True))
    changed = draw(st.lists(st.sampled_from([*ids, "gone"]), unique=True, min_size=1, max_size=4))
    end = st.sampled_from([*ids, "gone"])
    runs = st.builds(lambda start, to: {"from": start, "to": to}, end, end)
    return {
        "map": value,
        "earlier": draw(st.lists(st.lists(runs, max_size=12), max_size=3)),
        "parts": changed,
        "pairs": {one: draw(st.sampled_from(PAIRS)) for one in probed},
    }


def touched(value: Map, earlier: Sequence[list[tuple[str, str]]] = ()) -> ChangeScope:
    """By the engine; two hots are in an inlet of 50 A alone (ANSI/NEMA WD 6, from memory)."""
    rig_map = read_map({**value["map"], "trips": []})
    return touched_by(rig_map, value["parts"], value["pairs"], earlier, two_legs_amps=50)


def by_the_engine(value: Map) -> dict[str, Any]:
    earlier = [[(run["from"], run["to"]) for run in runs] for runs in value["earlier"]]
    found = touched(value, earlier)
    return {
        "outlets": [[part, list(pairs)] for part, pairs in found.outlets],
        "devices": list(found.devices),
        "sources": list(found.sources),
        "frames": list(found.frames),
        "inlets": [[part, list(pairs)] for part, pairs in found.inlets],
        "outputs": [[part, list(pairs)] for part, pairs in found.outputs],
        "relays": None if found.relays is None else list(found.relays),
        "branches": list(found.branches),
    }


@settings(
    max_examples=3,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example],
)
@given(st.lists(changes(), min_size=40, max_size=60))
def test_the_phone_and_the_engine_name_the_same_parts(values: list[Map]) -> None:
    assert answers_of_node("touched.mjs", values) == [canonical(by_the_engine(value)) for value in values]


@settings(max_examples=60, deadline=None)
@given(changes())
def test_what_was_changed_and_can_be_probed_is_always_proved(value: Map) -> None:
    found = touched(value)

    assert {part for part, _ in found.outlets} >= set(value["parts"]) & value["pairs"].keys()
