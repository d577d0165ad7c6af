"""An invented rig with loads on its map."""

from typing import Any, Final

from tests.builders import a_record, a_rig

PARTS: Final[list[dict[str, Any]]] = [
    {"id": "supply", "kind": "supply", "name": "Pedestal outlet", "amps": 30},
    {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30},
    {"id": "main", "kind": "breaker", "name": "Main", "amps": 30},
    {"id": "b1", "kind": "breaker", "name": "Galley breaker", "amps": 15},
    {"id": "b2", "kind": "breaker", "name": "Roof breaker", "amps": 20},
    {"id": "g1", "kind": "gfci-receptacle", "name": "Galley outlet", "amps": 15, "outlet_type": "5-15"},
    {"id": "strip", "kind": "strip", "name": "Bench strip", "amps": 15},
    {"id": "ac", "kind": "appliance", "name": "Air conditioner", "watts": 1300},
    {"id": "kettle", "kind": "appliance", "name": "Kettle", "watts": 1500},
    {"id": "heater", "kind": "appliance", "name": "Heater", "watts": 1000},
    {"id": "lights", "kind": "appliance", "name": "Lights", "watts": 40, "continuous": True},
    {"id": "fridge", "kind": "appliance", "name": "Fridge"},
    {"id": "inv", "kind": "inverter", "name": "Inverter"},
    {"id": "bunk", "kind": "receptacle", "name": "Bunk outlet", "amps": 15, "outlet_type": "5-15"},
    {"id": "laptop", "kind": "appliance", "name": "Laptop", "watts": 60},
]
RUNS: Final[list[dict[str, Any]]] = [
    {"from": "supply", "to": "inlet", "awg": 10, "feet": 25, "cord": "listed"},
    {"from": "inlet", "to": "main", "awg": 10, "feet": 3},
    {"from": "main", "to": "b1"},
    {"from": "main", "to": "b2"},
    {"from": "b1", "to": "g1", "awg": 14, "feet": 12},
    {"from": "g1", "to": "strip", "from_side": "load", "awg": 16, "feet": 6, "cord": "listed"},
    {"from": "b2", "to": "ac", "awg": 12, "feet": 9},
    {"from": "strip", "to": "kettle"},
    {"from": "strip", "to": "heater"},
    {"from": "b1", "to": "lights", "awg": 14, "feet": 10},
    {"from": "g1", "to": "fridge", "from_side": "load"},
    {"from": "inv", "to": "bunk", "awg": 14, "feet": 8},
    {"from": "bunk", "to": "laptop"},
]
MODES: Final = {"Shore": {"without": []}, "Station": {"without": [0]}}


def a_planned_rig(name: str = "Wren") -> list[dict[str, Any]]:
    """Give the records of a rig and its map: a kettle and a heater on a strip of 16 AWG among its loads."""
    rig = a_rig(name)
    body = {"parts": PARTS, "runs": RUNS, "modes": MODES}
    return [rig, a_record("rig-map", body, rig=rig["id"])]
