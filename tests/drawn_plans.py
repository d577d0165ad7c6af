"""Plans as Hypothesis draws them."""

from typing import Any

from hypothesis import strategies as st

LOADS = st.fixed_dictionaries(
    {
        "name": st.sampled_from(("kettle", "air conditioner", "fan", "heater", "television")),
        "watts": st.sampled_from((4.0, 60.0, 150.0, 700.0, 1000.0, 1300.0, 1500.0)),
        "kind": st.sampled_from(("resistive", "motor", "electronic")),
    },
    optional={
        "amps": st.none() | st.floats(13.5, 16),
        "rated_volts": st.sampled_from((115, 120, 125)),
        "continuous": st.booleans(),
        "start_multiple": st.none() | st.floats(1, 8),
        "priority": st.integers(1, 3),
        "hours": st.none() | st.floats(0.1, 12),
    },
)
CORDS = st.fixed_dictionaries(
    {"awg": st.sampled_from((18, 16, 14, 12, 10, 8, 6)), "feet": st.floats(0, 150)},
    optional={"contacts_ohms": st.none() | st.floats(0, 0.2)},
)
BATTERIES = st.fixed_dictionaries(
    {
        "watt_hours": st.floats(50, 5000),
        "usable": st.floats(0.3, 1),
        "efficiency": st.floats(0.6, 1),
        "idle_watts": st.floats(0, 30),
        "inverter_watts": st.floats(100, 3000),
    }
)
_SUPPLIES: dict[str, Any] = {
    "breaker_amps": st.none() | st.sampled_from((15, 20, 30, 50)),
    "receptacle_amps": st.none() | st.sampled_from((15, 20, 30, 50)),
    "limit_amps": st.none() | st.floats(5, 40),
    "supply": st.sampled_from(("utility", "generator", "inverter")),
    "cords": st.lists(CORDS, max_size=3),
    "battery": st.none() | BATTERIES,
}


def _with_wires(drawn: tuple[dict[str, Any], list[tuple[int, int, float]]]) -> dict[str, Any]:
    """Runs of loads hang on wires; a later run lies within an earlier one, or beside it."""
    asked, runs = drawn
    told: list[tuple[set[int], float]] = []
    for start, length, ohms in runs:
        places = {place for place in range(start, start + length) if place < len(asked["loads"])}
        if all(places <= other or not places & other for other, _ in told):
            told.append((places, ohms))
    wires = [
        {"name": f"wire {number}", "amps": 20.0, "loads": sorted(places), "ohms": ohms}
        for number, (places, ohms) in enumerate(told)
    ]
    return asked | {"branches": [*asked.get("branches", ()), *wires]}


def _with_legs(drawn: tuple[dict[str, Any], list[str], dict[str, Any]]) -> dict[str, Any]:
    """Loads of one wire are of one leg."""
    asked, drawn_legs, hots = drawn
    legs = dict(enumerate(drawn_legs))
    for branch in asked["branches"]:
        if branch.get("ohms"):
            legs |= {place: legs.get(min(branch["loads"]), "x") for place in branch["loads"]}
    loads = [load | {"leg": legs.get(place, "x")} for place, load in enumerate(asked["loads"])]
    return {name: each for name, each in asked.items() if name != "battery"} | {"loads": loads, "legs": hots}


def _with_branches(drawn: tuple[dict[str, Any], list[tuple[int, float]]]) -> dict[str, Any]:
    """A load hangs on the branches whose bits say so."""
    asked, branches = drawn
    places = range(len(asked["loads"]))
    hung = [
        {"name": f"branch {bits}", "amps": amps, "loads": [place for place in places if bits >> place & 1]}
        for bits, amps in branches
    ]
    return asked | {"branches": hung}


def plans(most_loads: int = 8) -> st.SearchStrategy[dict[str, Any]]:
    """Draw what `fieldlog plan` takes."""
    asked = st.fixed_dictionaries(
        {
            "volts": st.floats(95, 135),
            "source_ohms": st.floats(0, 1.5),
            "loads": st.lists(LOADS, max_size=most_loads),
        },
        optional=_SUPPLIES,
    )
    branches = st.lists(st.tuples(st.integers(0, 255), st.floats(3, 30)), max_size=2)
    return st.tuples(asked, branches).map(_with_branches)


def plans_with_wires(most_loads: int = 8) -> st.SearchStrategy[dict[str, Any]]:
    """Draw plans whose loads hang behind wires with ohms."""
    runs = st.lists(
        st.tuples(st.integers(0, 7), st.integers(1, 8), st.floats(0.01, 0.8)), min_size=1, max_size=4
    )
    return st.tuples(plans(most_loads), runs).map(_with_wires)


def plans_with_legs(most_loads: int = 8) -> st.SearchStrategy[dict[str, Any]]:
    """Draw plans of a supply with two hots, 120/240 or 120/208 V."""
    hots = st.fixed_dictionaries(
        {"volts_y": st.floats(110, 128)}, optional={"volts_xy": st.none() | st.sampled_from((205.0, 240.0))}
    )
    legs = st.lists(st.sampled_from(("x", "y", "both")), min_size=8, max_size=8)
    asked = plans_with_wires(most_loads).map(lambda each: each | {"volts": 118.0 + each["volts"] % 8})
    return st.tuples(asked, legs, hots).map(_with_legs)
