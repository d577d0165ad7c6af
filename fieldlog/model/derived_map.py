"""The map that a plain list of outlets and devices stands for, until its owner draws a better one."""

from itertools import pairwise
from typing import Any, Final

from fieldlog.model.outlets import AMPS_OF
from fieldlog.model.rig import Device, Rig

INLET: Final = "inlet"
SUPPLY: Final = "supply"


def map_of_list(rig: Rig) -> dict[str, Any]:
    """Give the body of a rig map in which every outlet hangs as its noted guard says.

    Parameters
    ----------
    rig : Rig
        With its outlets and devices; parts of the map have their ids.

    Returns
    -------
    dict
        Parts and runs. What no guard is noted for hangs on the inlet; no gauge or length is known.
    """
    cords = [device for device in rig.devices if device.chain.body["type"] == "cord-gfci"]
    others = [device for device in rig.devices if device not in cords]
    parts = [_supply(rig)] if cords else []
    parts += [_device_part(device) for device in cords]
    parts.append({"id": INLET, "kind": "inlet", "name": "Inlet", "amps": AMPS_OF[rig.chain.body["outlet"]]})
    parts += [_device_part(device) for device in others]
    parts += [
        {
            "id": outlet.id,
            "kind": "receptacle",
            "name": outlet.name[:60],
            "outlet_type": outlet.chain.body["outlet"],
            "amps": AMPS_OF[outlet.chain.body["outlet"]],
            "outlet": outlet.id,
        }
        for outlet in rig.outlets
    ]
    return {"parts": parts, "runs": [*_way_in(cords), *_ways_on(rig, others)], "modes": {}}


def _supply(rig: Rig) -> dict[str, Any]:
    plug = rig.chain.body["outlet"]
    return {"id": SUPPLY, "kind": "supply", "name": "Pedestal outlet", "amps": AMPS_OF[plug]}


def _device_part(device: Device) -> dict[str, Any]:
    part = {"id": device.id, "name": device.name[:60], "device": device.id}
    if device.chain.body["type"] == "gfci-breaker":
        return {**part, "kind": "breaker", "gfci": True}
    return {**part, "kind": device.chain.body["type"]}


def _way_in(cords: list[Device]) -> list[dict[str, str]]:
    """From the pedestal through every device in the cord to the inlet."""
    stops = [SUPPLY, *(device.id for device in cords), INLET]
    if not cords:
        return []
    runs = [{"from": start, "to": end, "from_side": "load"} for start, end in pairwise(stops)]
    return [{"from": SUPPLY, "to": stops[1]}, *runs[1:]]


def _ways_on(rig: Rig, devices: list[Device]) -> list[dict[str, str]]:
    ids = {device.id for device in devices}
    runs = [{"from": INLET, "to": device.id} for device in devices]
    for outlet in rig.outlets:
        if outlet.guard in ids:
            runs.append({"from": str(outlet.guard), "to": outlet.id, "from_side": "load"})
        else:
            runs.append({"from": INLET, "to": outlet.id})
    return runs
