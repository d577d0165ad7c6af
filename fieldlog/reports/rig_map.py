"""A rig's map as it stands: the newest version or what its list stands for, held against its trip tests."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fieldlog.engine.protection import MOST_TRIPS, judge, map_of_body
from fieldlog.engine.protection.contradictions import modes_with_power
from fieldlog.engine.protection.map import wire
from fieldlog.engine.protection.touched import below
from fieldlog.model.bodies import BodyRigMap, BodyTripTest
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.derived_map import map_of_list
from fieldlog.model.part_kinds import TRIPPING
from fieldlog.model.rig import Chain, Rig
from fieldlog.model.rig_map import Contradiction, Protection, RigMap
from fieldlog.model.shapes import RigPart


@dataclass(frozen=True)
class SelfContradiction:
    """A part that one trip test says went dead and stayed live, so that it tells nothing of that part.

    Parameters
    ----------
    trip : Chain
        The trip test.
    device, part : str
        Ids of the parts that tripped and that were told both ways.
    """

    trip: Chain
    device: str
    part: str


@dataclass(frozen=True)
class OutletGuards:
    """What guards an outlet in one mode.

    Parameters
    ----------
    by : tuple of str
        Names of its guards, nearest first.
    disproved : tuple of (str, str)
        Names of the guards that the map says, each with the day of the trip test that shows otherwise.
    """

    by: tuple[str, ...]
    disproved: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class DrawnRig:
    """A rig's map, judged.

    Parameters
    ----------
    body : mapping
        Body of a rig-map record.
    is_drawn : bool
        Whether its owner drew it; False where it is what the list of outlets and devices stands for.
    trips : tuple of Chain
        The trip test behind each trip of the map, in the map's order.
    rig_map : RigMap
        The same for the engine, with the trips.
    protections : mapping of str to Protection
        By mode; under "" where the map has none.
    told_both : tuple of SelfContradiction
        What the trips leave open, because they say both.
    """

    body: BodyRigMap
    is_drawn: bool
    trips: tuple[Chain[BodyTripTest], ...]
    rig_map: RigMap
    protections: Mapping[str, Protection]
    told_both: tuple[SelfContradiction, ...] = ()

    @property
    def contradictions(self) -> tuple[Contradiction, ...]:
        """Give what the trips left otherwise than the map says, of all modes."""
        return tuple(each for one in self.protections.values() for each in one.contradictions)

    def name_of(self, part_id: str) -> str:
        """Give what the owner calls a part."""
        return next((str(part["name"]) for part in self.body["parts"] if part["id"] == part_id), part_id)

    def guards_of(
        self, parts: Sequence[str], call: Callable[[str], str] | None = None
    ) -> dict[str, OutletGuards]:
        """Give by mode what guards some parts, in the modes in which one of them has power."""
        called = call or self.name_of
        return {
            mode: OutletGuards(
                tuple(called(guard) for part in parts for guard in one.protected_by.get(part, ())),
                tuple(
                    (called(guard), self.trips[trip].day)
                    for part in parts
                    for guard, trip in one.disproved.get(part, {}).items()
                ),
            )
            for mode, one in self.protections.items()
            if any(part in (*one.protected_by, *one.unguarded) for part in parts)
        }


@dataclass(frozen=True)
class _TripEvidence:
    """What is taken of one trip test: parts by their ids, and the mode in which the rig stood."""

    chain: Chain[BodyTripTest]
    device: str
    dead: tuple[str, ...]
    live: tuple[str, ...]
    both: tuple[str, ...]
    mode: str | None

    @property
    def as_trip(self) -> dict[str, Any]:
        """Give the trip as the engine takes it."""
        return {
            "device": self.device,
            "by": self.chain.body["by"],
            "dead": list(self.dead),
            "live": list(self.live),
            "mode": self.mode,
        }


def drawn(rig: Rig, tables: CodeTables, most: int = MOST_TRIPS) -> DrawnRig:
    """Give the rig's map and what it says, with what trip tests told since the wiring was last changed.

    Of the trips, the newest are held against it, `most` of them.
    """
    body = body_of(rig)
    told = list(_trips(rig, body))
    held = _newest([one for one in told if one.dead or one.live], most)
    rig_map = map_of_body(body, [one.as_trip for one in held])
    return DrawnRig(
        body=body,
        is_drawn=rig.map is not None,
        trips=tuple(one.chain for one in held),
        rig_map=rig_map,
        protections=judge(rig_map, tables),
        told_both=tuple(SelfContradiction(one.chain, one.device, part) for one in told for part in one.both),
    )


def _newest(held: list[_TripEvidence], most: int) -> list[_TripEvidence]:
    """Leave out the oldest where there are more than a map takes; the order stays."""
    if len(held) <= most:
        return held
    ages = sorted((one.chain.at for one in held), reverse=True)
    return [one for one in held if one.chain.at >= ages[most - 1]][:most]


def body_of(rig: Rig) -> BodyRigMap:
    """Give the newest version of the rig's map, or what its list stands for."""
    return map_of_list(rig) if rig.map is None else rig.map.body


def modes_to_ask(rig: Rig, device: str) -> tuple[str, ...]:
    """Give the modes to choose from at a trip of a device; none where it has power in one at most."""
    body = body_of(rig)
    parts = (part["id"] for part in body["parts"] if part.get("device") == device)
    wiring = wire(map_of_body(body)) if body["modes"] else None
    is_asked = wiring is not None and any(len(modes_with_power(wiring, part)) > 1 for part in parts)
    return tuple(body["modes"]) if is_asked else ()


def own_outlets(rig: Rig, device: str) -> tuple[str, ...]:
    """Give the outlets that are the face of a device."""
    faces = [part for part in body_of(rig)["parts"] if part["kind"] == "gfci-receptacle"]
    found = (part.get("outlet") for part in faces if part.get("device") == device)
    return tuple(outlet for outlet in found if outlet)


def _trips(rig: Rig, body: BodyRigMap) -> Iterator[_TripEvidence]:
    """Give what each device's newest trips say of each part; an older word about a part is passed over.

    Trips of a part that cannot trip are passed over as well, whatever device it names.
    """
    changed_at = _changed_at(rig, body)
    outlets = {outlet: part["id"] for part in body["parts"] if (outlet := part.get("outlet"))}
    wiring = wire(map_of_body(body)) if body["modes"] else None
    for part in body["parts"]:
        device = rig.device(part.get("device")) if part["kind"] in TRIPPING else None
        if device is not None:
            powering = () if wiring is None else modes_with_power(wiring, part["id"])
            seen = _DeviceTrips(part, outlets, changed_at, powering, tuple(body["modes"]), {})
            yield from (seen.told(chain) for chain in device.trips if chain.body["tripped"] is True)


def _changed_at(rig: Rig, body: BodyRigMap) -> dict[str, datetime]:
    """Give when each part, or what it hangs on, was last changed; what was seen before tells nothing."""
    found: dict[str, datetime] = {}
    ways = [(run["from"], run["to"]) for run in body["runs"]]
    for change in rig.changes:
        for part in below(ways, change.parts):
            found.setdefault(part, change.chain.at)
    return found


@dataclass(frozen=True)
class _DeviceTrips:
    """What the trips of one device, the newest first, said of each part so far."""

    part: RigPart
    outlets: Mapping[str, str]
    changed_at: Mapping[str, datetime]
    powering: tuple[str, ...]
    modes: tuple[str, ...]
    spoken: dict[str, set[str | None]]

    def told(self, chain: Chain[BodyTripTest]) -> _TripEvidence:
        """Give what a trip says of the parts of which no newer trip spoke."""
        mode = self._mode(chain.body)
        dead = self._of(chain, mode, chain.body["dead"], is_dead=True)
        live = self._of(chain, mode, chain.body["live"], is_dead=False)
        both = tuple(one for one in dead if one in live)
        dead, live = (tuple(one for one in seen if one not in both) for seen in (dead, live))
        for one in (*dead, *live):
            self.spoken.setdefault(one, set()).add(mode)
        return _TripEvidence(chain, self.part["id"], dead, live, both, mode)

    def _mode(self, body: BodyTripTest) -> str | None:
        """Give the mode in which the rig stood, None where nobody said and several are possible."""
        if body.get("mode") in self.modes:
            return str(body["mode"])
        return self.powering[0] if len(self.powering) == 1 else None

    def _of(
        self, chain: Chain[BodyTripTest], mode: str | None, seen: Sequence[str], *, is_dead: bool
    ) -> tuple[str, ...]:
        parts = [self.outlets[one] for one in seen if one in self.outlets]
        if self.part["kind"] == "gfci-receptacle" and chain.body["face_dead"] is is_dead:
            parts.append(self.part["id"])
        return tuple(one for one in dict.fromkeys(parts) if not self._is_old(one, chain, mode))

    def _is_old(self, part: str, chain: Chain, mode: str | None) -> bool:
        """Say whether the wiring was changed since, or a newer trip speaks of a part in the same mode."""
        newer = self.spoken.get(part, set())
        is_changed = part in self.changed_at and chain.at < self.changed_at[part]
        return is_changed or (bool(newer) if mode is None else mode in newer)
