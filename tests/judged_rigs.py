"""Rigs drawn at random as their records tell them: maps, their versions, rewirings between trip tests."""

import random
from collections.abc import Sequence
from copy import deepcopy
from datetime import datetime, timedelta, timezone
from typing import Any, Final

from tests.builders import a_change, a_device, a_record, a_rig, a_trip_test, an_id, an_outlet

SEED: Final = 20261129
BEGAN: Final = datetime(2026, 10, 1, 8, tzinfo=timezone(timedelta(hours=-6)))
TYPES: Final = ("gfci-receptacle", "gfci-receptacle", "gfci-breaker", "cord-gfci", "breaker")
BARE: Final = ("receptacle", "strip", "appliance", "junction", "breaker")

Record = dict[str, Any]
Map = dict[str, Any]


def some_rigs(count: int, seed: int = SEED) -> list[list[Record]]:
    """Give the records of so many rigs; a third of them have no map but their list."""
    rng = random.Random(seed)
    return [_Story(rng, number).told(is_drawn=number % 3 > 0) for number in range(count)]


class _Story:
    """What is noted about one rig, one thing after the other."""

    def __init__(self, rng: random.Random, number: int) -> None:
        self.rng, self.number = rng, number
        self.at = BEGAN
        self.rig = a_rig(f"Rig {number}", observed_at=BEGAN.isoformat())
        self.id: str = self.rig["id"]
        self.records = [self.rig]
        self.devices = [self._device(place) for place in range(rng.randint(1, 4))]
        self.outlets = [self._outlet(place) for place in range(rng.randint(2, 5))]
        self.records += [*self.devices, *self.outlets]
        self.newest = {outlet["id"]: outlet for outlet in self.outlets}
        self.map: Record | None = None

    def told(self, *, is_drawn: bool) -> list[Record]:
        """Give the records, with some eight things done after the rig was noted."""
        does = [self._trip, self._trip, self._trip, self._change]
        if is_drawn:
            self._keep(a_record("rig-map", _map(self.rng, self.devices, self.outlets), rig=self.id))
            self.map = self.records[-1]
            does += [self._draw_again, self._draw_again]
        else:
            does += [self._note_another_guard]
        for _ in range(8):
            self.rng.choice(does)()
        return self.records

    def _device(self, place: int) -> Record:
        device = a_device(self.id, f"Device {place} of {self.number}", observed_at=BEGAN.isoformat())
        device["body"]["type"] = self.rng.choice(TYPES)
        return device

    def _outlet(self, place: int) -> Record:
        guard = self.rng.choice([None, *(device["id"] for device in self.devices)])
        return an_outlet(self.id, f"Outlet {place} of {self.number}", guard, observed_at=BEGAN.isoformat())

    def _keep(self, record: Record) -> None:
        """Keep a record some hours after the one before, or at the same moment."""
        self.at += timedelta(hours=self.rng.choice([0, 5, 30]))
        self.records.append(record | {"observed_at": self.at.isoformat(timespec="milliseconds")})

    def _trip(self) -> None:
        rng, trip = self.rng, a_trip_test(self.id, self.rng.choice(self.devices)["id"])
        tripped = rng.choice([True, True, True, True, False, None])
        seen: dict[str, list[str]] = {"dead": [], "live": [], "": []}
        for outlet in self.outlets:
            seen[rng.choice(["dead", "live", ""] if tripped else [""])].append(outlet["id"])
        said = {
            "by": rng.choice(["button", "hand"]),
            "tripped": tripped,
            "face_dead": rng.choice([True, False, None]) if tripped else None,
            "reset": None,
            "dead": seen["dead"],
            "live": seen["live"],
            "not_tested": [],
        }
        modes = list(self.map["body"]["modes"]) if self.map else []
        trip["body"] = said | ({"mode": rng.choice([None, *modes, "stored"])} if rng.random() < 0.5 else {})
        self._keep(trip)

    def _change(self) -> None:
        shown = None if self.map is None else self.map["id"]
        known = [thing["id"] for thing in (*self.devices, *self.outlets)]
        if self.map is not None:
            known = [part["id"] for part in self.map["body"]["parts"]]
        parts = self.rng.sample(known, self.rng.randint(1, min(2, len(known))))
        self._keep(a_change(self.id, *parts, shown=shown))

    def _draw_again(self) -> None:
        """Correct the map: a run leaves another part, or the other side of the same."""
        assert self.map is not None
        body = deepcopy(self.map["body"])
        for run in self.rng.sample(body["runs"], self.rng.randint(1, 2)):
            _move(self.rng, body, run)
        self._keep(self.map | {"id": an_id(), "body": body, "corrects": self.map["id"], "reason": "Looked."})
        self.map = self.records[-1]

    def _note_another_guard(self) -> None:
        before = self.newest[self.rng.choice(self.outlets)["id"]]
        guard = self.rng.choice([None, *(device["id"] for device in self.devices)])
        body = before["body"] | {"guard": guard}
        again = before | {"id": an_id(), "body": body, "corrects": before["id"], "reason": "Looked."}
        self._keep(again)
        root = next(root for root, newest in self.newest.items() if newest is before)
        self.newest[root] = self.records[-1]


def _map(rng: random.Random, devices: Sequence[Record], outlets: Sequence[Record]) -> Map:
    """Give a tree of parts from an inlet or a pedestal on; some things of the list are not on it yet."""
    parts: list[Map] = [{"id": "p0", "kind": rng.choice(["inlet", "supply"]), "name": "Where it comes in"}]
    things = [_device_part(device) for device in devices] + [_outlet_part(rng, one) for one in outlets]
    things += [{"kind": rng.choice(BARE), "name": f"Thing {place}"} for place in range(rng.randint(1, 3))]
    rng.shuffle(things)
    for thing in things[: max(3, len(things) - rng.randint(0, 2))]:
        parts.append({"id": f"p{len(parts)}", **thing})
    body: Map = {"parts": parts, "runs": [], "modes": {}}
    for end in range(1, len(parts)):
        run = {"from": "p0", "to": f"p{end}"}
        _move(rng, body, run)
        body["runs"].append(run)
    _join_faces(rng, parts)
    if rng.random() < 0.8:
        _add_a_station(rng, body)
    return body


def _device_part(device: Record) -> Map:
    kind = device["body"]["type"]
    part = {"name": device["body"]["name"], "device": device["id"]}
    return {"kind": "breaker", "gfci": True, **part} if kind == "gfci-breaker" else {"kind": kind, **part}


def _outlet_part(rng: random.Random, outlet: Record) -> Map:
    kind = rng.choice(["receptacle", "receptacle", "strip"])
    return {"kind": kind, "name": outlet["body"]["name"], "outlet_type": "5-15", "outlet": outlet["id"]}


def _join_faces(rng: random.Random, parts: list[Map]) -> None:
    """Let the face of some GFCI be one of the outlets, whose own part becomes an appliance then."""
    faces = [part for part in parts if part["kind"] == "gfci-receptacle"]
    others = [part for part in parts if part.get("outlet")]
    if faces and others and rng.random() < 0.5:
        face, other = rng.choice(faces), rng.choice(others)
        face |= {"outlet": other.pop("outlet"), "outlet_type": other.pop("outlet_type")}
        other["kind"] = "appliance"


def _move(rng: random.Random, body: Map, run: Map) -> None:
    """Feed a run from any part before its end; a tree stays one."""
    numbers = [part["id"] for part in body["parts"]]
    before = numbers[: numbers.index(run["to"])] if run["from"] != "station" else ["station"]
    run["from"] = rng.choice(before)
    run["from_side"] = rng.choice(["line", "load"])


def _add_a_station(rng: random.Random, body: Map) -> None:
    """Let a power station feed what hangs on a device in one of two modes, where there is a device."""
    devices = {part["id"] for part in body["parts"] if part.get("device")}
    behind = [at for at, run in enumerate(body["runs"]) if run["from"] in devices]
    moved = rng.choice(behind or range(len(body["runs"])))
    body["runs"][moved]["from_side"] = "load"
    body["parts"].append({"id": "station", "kind": "inverter", "name": "Power station"})
    body["runs"].append({"from": "station", "to": body["runs"][moved]["to"], "from_side": "line"})
    body["modes"] = {"shore": {"without": [len(body["runs"]) - 1]}, "station": {"without": [moved]}}
