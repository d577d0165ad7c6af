"""The map that a plain list of outlets and devices stands for, until its owner draws a better one."""

from itertools import pairwise
from typing import Final, Literal, cast

from fieldlog.model.bodies import BodyRigMap
from fieldlog.model.outlets import AMPS_OF
from fieldlog.model.rig import Device, Outlet, Rig
from fieldlog.model.shapes import RigPart, RigRun

INLET: Final = "inlet"
SUPPLY: Final = "supply"


def map_of_list(rig: Rig) -> BodyRigMap:
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
    parts: list[RigPart] = [_supply(rig)] if cords else []
    parts += [_device_part(device) for device in cords]
    parts.append({"id": INLET, "kind": "inlet", "name": "Inlet", "amps": AMPS_OF[rig.chain.body["outlet"]]})
    parts += [_device_part(device) for device in others]
    parts += [_receptacle(outlet) for outlet in rig.outlets]
    return {"parts": parts, "runs": [*_way_in(cords), *_ways_on(rig, others)], "modes": {}}


def _receptacle(outlet: Outlet) -> RigPart:
    plug = outlet.chain.body["outlet"]
    return {
        "id": outlet.id,
        "kind": "receptacle",
        "name": outlet.name[:60],
        "outlet_type": plug,
        "amps": AMPS_OF[plug],
        "outlet": outlet.id,
    }


def _supply(rig: Rig) -> RigPart:
    plug = rig.chain.body["outlet"]
    return {"id": SUPPLY, "kind": "supply", "name": "Pedestal outlet", "amps": AMPS_OF[plug]}


def _device_part(device: Device) -> RigPart:
    kind, name = device.chain.body["type"], device.name[:60]
    if kind == "gfci-breaker":
        return {"id": device.id, "name": name, "device": device.id, "kind": "breaker", "gfci": True}
    of_part = cast("Literal['gfci-receptacle', 'cord-gfci', 'breaker']", kind)  # a cord set is no such device
    return {"id": device.id, "name": name, "device": device.id, "kind": of_part}


def _way_in(cords: list[Device]) -> list[RigRun]:
    """From the pedestal through every device in the cord to the inlet."""
    stops = [SUPPLY, *(device.id for device in cords), INLET]
    if not cords:
        return []
    runs: list[RigRun] = [{"from": start, "to": end, "from_side": "load"} for start, end in pairwise(stops)]
    return [{"from": SUPPLY, "to": stops[1]}, *runs[1:]]


def _ways_on(rig: Rig, devices: list[Device]) -> list[RigRun]:
    ids = {device.id for device in devices}
    runs: list[RigRun] = [{"from": INLET, "to": device.id} for device in devices]
    for outlet in rig.outlets:
        if outlet.guard in ids:
            runs.append({"from": str(outlet.guard), "to": outlet.id, "from_side": "load"})
        else:
            runs.append({"from": INLET, "to": outlet.id})
    return runs
