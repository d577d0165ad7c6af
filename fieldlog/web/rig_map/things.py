"""The outlet and device records that go with the parts of a map."""

from collections.abc import Iterator, Sequence
from typing import Final

from fieldlog.engine.protection import judge, map_of_body
from fieldlog.errors import BadInput
from fieldlog.model.part_kinds import PLUGS, TRIPPING
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Rig
from fieldlog.tables import load
from fieldlog.web.rig_map.desk import new_record
from fieldlog.web.rig_map.edits import Body, Member, part_of
from fieldlog.words.kinds import device_kind

MOST_NEW: Final = 2
"""Ids that a part takes at most: as an outlet and as a device."""


def as_things(part: Body, ids: Sequence[str]) -> Member:
    """Give the part pointing to an outlet and a device of its own, where it is one and has none yet."""
    outlet, device = ids[:MOST_NEW]
    pointing = dict(part)
    if part["kind"] in PLUGS and not part.get("outlet"):
        pointing["outlet"] = outlet
    if part["kind"] in TRIPPING and not part.get("device"):
        pointing["device"] = device
    return pointing


def records_of_new(rig: Rig, body: Body) -> list[Record]:
    """Make the records of parts that the rig does not have yet: devices first, since outlets name them."""
    devices = [part for part in body["parts"] if part.get("device") and not rig.device(part["device"])]
    outlets = [part for part in body["parts"] if part.get("outlet") and not rig.outlet(part["outlet"])]
    guards = guards_by_outlet(body) if outlets else {}
    return [
        *(new_record(part["device"], "device", rig.id, _device(part)) for part in devices),
        *(
            new_record(part["outlet"], "outlet", rig.id, _outlet(part, guards.get(part["id"])))
            for part in outlets
        ),
    ]


def renamed(rig: Rig, before: Body, after: Body, ids: Sequence[str], why: str) -> list[Record]:
    """Make the corrections that give outlets and devices the new names of their parts."""
    old = {part["id"]: part["name"] for part in before["parts"]}
    named = [part for part in after["parts"] if old.get(part["id"], part["name"]) != part["name"]]
    return [
        new_record(
            identity,
            chain.entry.record.kind,
            rig.id,
            {**chain.body, "name": name},
            corrects=chain.entry.record.id,
            reason=why or "Renamed on the map.",
        )
        for identity, (chain, name) in zip(ids, _chains_of(rig, named), strict=False)
    ]


def guards_by_outlet(body: Body) -> dict[str, str]:
    """Give by part the device record of its nearest guard, in the first mode in which it has power."""
    try:
        judged = judge(map_of_body(body), load())
    except BadInput:
        return {}  # a bad map is refused as a whole, with its problems
    found: dict[str, str] = {}
    for one in judged.values():
        for outlet, guards in one.protected_by.items():
            device = (part_of(body, guards[0]) or {}).get("device")
            if device:
                found.setdefault(outlet, device)
    return found


def _chains_of(rig: Rig, named: Sequence[Body]) -> Iterator[tuple[Chain, str]]:
    for part in named:
        for thing in (rig.outlet(part.get("outlet") or ""), rig.device(part.get("device"))):
            if thing is not None:
                yield thing.chain, part["name"]


def _device(part: Body) -> Member:
    kind = device_kind(part["kind"], bool(part.get("gfci")))
    return {"name": part["name"], "type": kind, "made": None, "installed": None, "note": ""}


def _outlet(part: Body, guard: str | None) -> Member:
    return {"name": part["name"], "outlet": part["outlet_type"], "guard": guard, "note": ""}
