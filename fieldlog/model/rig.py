"""A rig as its records tell it: outlets, ground-fault devices, cord sets, and what was tested last."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from functools import cached_property
from typing import Any, Generic, cast, overload

from fieldlog.model.bodies import (
    ARRIVAL_CHECK,
    CHANGE,
    DEVICE,
    OUTLET,
    OUTLET_TEST,
    PROOF,
    RIG,
    RIG_MAP,
    TRIP_TEST,
    BodyArrivalCheck,
    BodyChange,
    BodyDevice,
    BodyOutlet,
    BodyOutletTest,
    BodyProof,
    BodyRig,
    BodyRigMap,
    BodyTripTest,
)
from fieldlog.model.kind_of import BodyT, HeldT, KindOf
from fieldlog.model.record import StoredRecord


@dataclass(frozen=True)
class Chain(Generic[BodyT]):
    """A record and all its corrections, oldest first; the one that nothing corrects is what counts.

    Parameters
    ----------
    versions : tuple of StoredRecord
        At least one, in the order in which the log received them.
    """

    versions: tuple[StoredRecord[BodyT], ...]

    @property
    def id(self) -> str:
        """Give the id of the first record, which names the thing for good."""
        return self.entry.root

    @property
    def entry(self) -> StoredRecord[BodyT]:
        """Give the version that counts, as the log holds it."""
        return self.leaves[-1]

    @cached_property
    def body(self) -> BodyT:
        """Give the body of the version that counts."""
        return self.entry.record.body

    @property
    def at(self) -> datetime:
        """Give the time of the observation, with the zone of the person who made it."""
        return self.entry.record.observed

    @property
    def day(self) -> str:
        """Give the day of the observation, as ISO 8601 writes it."""
        return self.at.date().isoformat()

    @property
    def corrections(self) -> tuple[StoredRecord[BodyT], ...]:
        """Give every version but the first."""
        return self.versions[1:]

    @cached_property
    def leaves(self) -> tuple[StoredRecord[BodyT], ...]:
        """Give the versions that no other corrects; where there are several, they stand side by side.

        Notes
        -----
        Two phones that correct one record without knowing of each other leave two. The one with the greatest
        id counts until a further correction names both, whatever the order in which they arrived: ids begin
        with the time by the phone's clock, and so every phone and every server shows the same one. They are
        given in the order of their ids, the one that counts last.
        """
        if len(self.versions) == 1:
            return self.versions
        corrected = {identity for version in self.versions for identity in version.record.stands_in_for}
        open_ones = (version for version in self.versions if version.record.id not in corrected)
        return tuple(sorted(open_ones, key=lambda version: version.record.id))

    @property
    def beside(self) -> tuple[StoredRecord[BodyT], ...]:
        """Give the leaves that do not count: empty, unless corrections stand side by side."""
        return self.leaves[:-1]


@dataclass(frozen=True)
class Outlet:
    """An outlet of the rig with its tests, newest first."""

    chain: Chain[BodyOutlet]
    tests: tuple[Chain[BodyOutletTest], ...]

    @property
    def id(self) -> str:
        """Give the outlet's id."""
        return self.chain.id

    @property
    def name(self) -> str:
        """Give the name that the owner uses."""
        return str(self.chain.body["name"])

    @property
    def guard(self) -> str | None:
        """Give the id of the device that the owner believes guards it."""
        guard = self.chain.body["guard"]
        return None if guard is None else str(guard)

    @property
    def last_test(self) -> Chain[BodyOutletTest] | None:
        """Give the newest test, None where there never was one."""
        return self.tests[0] if self.tests else None


@dataclass(frozen=True)
class Device:
    """A ground-fault device of the rig with its trip tests, newest first."""

    chain: Chain[BodyDevice]
    trips: tuple[Chain[BodyTripTest], ...]

    @property
    def id(self) -> str:
        """Give the device's id."""
        return self.chain.id

    @property
    def name(self) -> str:
        """Give the name that the owner uses."""
        return str(self.chain.body["name"])

    @property
    def is_guard(self) -> bool:
        """Say whether it trips on a ground fault; a plain breaker has no TEST button and guards nobody."""
        return str(self.chain.body["type"]) != "breaker"

    @property
    def last_trip(self) -> Chain[BodyTripTest] | None:
        """Give the newest trip test of any kind, None where there never was one."""
        return self.trips[0] if self.trips else None

    @property
    def last_press(self) -> Chain[BodyTripTest] | None:
        """Give the newest press of TEST whose outcome was noted; only that starts a new month."""
        return next((trip for trip in self.trips if is_press(trip)), None)

    @property
    def trips_that_count(self) -> tuple[Chain[BodyTripTest], ...]:
        """Give the trip tests from the last press on: a later one that settles nothing must not hide it."""
        last = self.last_press
        return self.trips if last is None else self.trips[: self.trips.index(last) + 1]


@dataclass(frozen=True)
class CordSet:
    """A cord, extension or adapter with a number marked on it; a device of the log that guards nothing."""

    chain: Chain[BodyDevice]

    @property
    def id(self) -> str:
        """Give the set's id."""
        return self.chain.id

    @property
    def name(self) -> str:
        """Give what it is called, its number with it."""
        return str(self.chain.body["name"])

    @property
    def is_fixed(self) -> bool:
        """Say whether it is fixed and not exposed to damage, as its owner has it."""
        return bool(self.chain.body.get("fixed"))

    @property
    def is_retired(self) -> bool:
        """Say whether it is gone for good."""
        return bool(self.chain.body.get("retired"))


@dataclass(frozen=True)
class Change:
    """A change to the rig's wiring with what was noted to prove it, oldest first."""

    chain: Chain[BodyChange]
    proofs: tuple[Chain[BodyProof], ...]

    @property
    def id(self) -> str:
        """Give the change's id."""
        return self.chain.id

    @property
    def parts(self) -> tuple[str, ...]:
        """Give the ids of the parts that were changed."""
        return tuple(self.chain.body["parts"])


@dataclass(frozen=True)
class Rig:
    """A rig with everything noted about it.

    Parameters
    ----------
    chain : Chain
        The rig's own record and its corrections.
    outlets, devices : tuple
        In the order in which they were first noted.
    arrivals : tuple of Chain
        Arrival checks made with this rig, newest first.
    log : tuple of StoredRecord
        Every entry of the rig, in the order of the log.
    map : Chain or None
        The rig's map with all its versions; None where nobody drew one yet.
    changes : tuple of Change
        Changes to the wiring, newest first.
    sets : tuple of CordSet
        Cords, extensions and adapters with a number, in the order in which they were first noted.
    by_kind : Mapping
        Everything noted, by its kind, newest first.
    """

    chain: Chain[BodyRig]
    outlets: tuple[Outlet, ...]
    devices: tuple[Device, ...]
    arrivals: tuple[Chain[BodyArrivalCheck], ...]
    log: tuple[StoredRecord, ...]
    map: Chain[BodyRigMap] | None = None
    changes: tuple[Change, ...] = ()
    sets: tuple[CordSet, ...] = ()
    by_kind: Mapping[str, tuple[Chain, ...]] = field(default_factory=dict[str, tuple[Chain, ...]])

    @property
    def id(self) -> str:
        """Give the rig's id."""
        return self.chain.id

    @property
    def name(self) -> str:
        """Give the name that the owner uses."""
        return str(self.chain.body["name"])

    @cached_property
    def chains(self) -> tuple[Chain, ...]:
        """Give every record of the rig with its corrections, in the order of the first records."""
        return chains(self.log)

    @overload
    def newest(self, kind: KindOf[HeldT]) -> tuple[Chain[HeldT], ...]: ...

    @overload
    def newest(self, kind: str) -> tuple[Chain, ...]: ...

    def newest(self, kind: str) -> tuple[Chain, ...]:
        """Give everything noted of a kind, newest first."""
        return self.by_kind.get(kind, ())

    @property
    def things(self) -> tuple[Outlet | Device | CordSet, ...]:
        """Give every outlet, device and cord set."""
        return (*self.outlets, *self.devices, *self.sets)

    def thing(self, identity: str | None) -> Outlet | Device | CordSet | None:
        """Give an outlet, device or cord set by the id of any of its versions."""
        return next((each for each in self.things if _is_version(each.chain, identity)), None)

    def outlet(self, outlet_id: str) -> Outlet | None:
        """Give one outlet of the rig, None where it has no such outlet."""
        return next((outlet for outlet in self.outlets if outlet.id == outlet_id), None)

    def device(self, device_id: str | None) -> Device | None:
        """Give one device of the rig, None where it has no such device."""
        return next((device for device in self.devices if device.id == device_id), None)


def is_set(body: Mapping[str, Any]) -> bool:
    """Say whether the body of a device is that of a cord set: only these have a number."""
    return "number" in body


def is_press(trip: Chain) -> bool:
    """Say whether a trip test pressed the device's own TEST and noted the outcome.

    Notes
    -----
    An external tester decides nothing when the device stays on, so it never counts as the month's test.

    References
    ----------
    OSHA, standard interpretation of 2003-07-09: only the built-in test circuit decides.
    """
    return trip.body["by"] == "button" and trip.body["tripped"] is not None


def chains(entries: Iterable[StoredRecord]) -> tuple[Chain, ...]:
    """Gather records with their corrections.

    Parameters
    ----------
    entries : iterable of StoredRecord
        In the order of the log.

    Returns
    -------
    tuple of Chain
        In the order of their first records.
    """
    versions: dict[str, list[StoredRecord]] = {}
    for entry in entries:
        versions.setdefault(entry.root, []).append(entry)
    return tuple(Chain(tuple(each)) for each in versions.values())


def rigs_of(entries: Sequence[StoredRecord]) -> tuple[Rig, ...]:
    """Gather every rig that the entries speak of, in the order in which they were first noted."""
    gathered = chains(entries)
    return tuple(_rig(chain, gathered) for chain in _of(_by_kind(gathered), RIG))


def rig_of(entries: Sequence[StoredRecord], rig_id: str) -> Rig | None:
    """Gather one rig, None where the entries do not hold it."""
    gathered = chains(entries)
    return next((_rig(chain, gathered) for chain in _of(_by_kind(gathered), RIG) if chain.id == rig_id), None)


def _rig(chain: Chain[BodyRig], gathered: Sequence[Chain]) -> Rig:
    all_of_it = [each for each in gathered if each.entry.record.rig == chain.id]
    own = _by_kind(all_of_it)
    newest = {kind: _newest_first(each) for kind, each in own.items()}
    tests, trips = _by_subject(_of(newest, OUTLET_TEST)), _by_subject(_of(newest, TRIP_TEST))
    proofs, devices = _by_subject(_of(newest, PROOF)), _of(own, DEVICE)
    return Rig(
        chain=chain,
        outlets=tuple(Outlet(each, _about(each, tests)) for each in _of(own, OUTLET)),
        devices=tuple(Device(each, _about(each, trips)) for each in devices if not is_set(each.body)),
        sets=tuple(CordSet(each) for each in devices if is_set(each.body)),
        arrivals=tuple(_of(newest, ARRIVAL_CHECK)),
        log=tuple(sorted((entry for each in all_of_it for entry in each.versions), key=_number)),
        map=next(iter(_of(newest, RIG_MAP)), None),
        changes=tuple(Change(each, _about(each, proofs)[::-1]) for each in _of(newest, CHANGE)),
        by_kind=newest,
    )


def _of(by_kind: Mapping[str, Sequence[Chain]], kind: KindOf[HeldT]) -> Sequence[Chain[HeldT]]:
    """Give what there is of a kind; each was held against its schema when it came in."""
    return cast("Sequence[Chain[HeldT]]", by_kind.get(kind, ()))


def _is_version(chain: Chain, identity: str | None) -> bool:
    return any(version.record.id == identity for version in chain.versions)


def _by_kind(gathered: Iterable[Chain]) -> defaultdict[str, list[Chain]]:
    found: defaultdict[str, list[Chain]] = defaultdict(list)
    for chain in gathered:
        found[chain.entry.record.kind].append(chain)
    return found


def _by_subject(gathered: Iterable[Chain[HeldT]]) -> defaultdict[str | None, list[Chain[HeldT]]]:
    found: defaultdict[str | None, list[Chain[HeldT]]] = defaultdict(list)
    for chain in gathered:
        found[chain.entry.record.subject].append(chain)
    return found


def _newest_first(gathered: Iterable[Chain[HeldT]]) -> tuple[Chain[HeldT], ...]:
    return tuple(sorted(gathered, key=_age, reverse=True))


def _age(chain: Chain) -> tuple[datetime, int]:
    return chain.at, chain.versions[0].seq


def _number(entry: StoredRecord) -> int:
    return entry.seq


def _about(thing: Chain, by_subject: Mapping[str | None, Sequence[Chain[HeldT]]]) -> tuple[Chain[HeldT], ...]:
    """Give what speaks of any version of a thing, newest first."""
    ids = {version.record.id for version in thing.versions}
    found = [chain for identity in ids for chain in by_subject.get(identity, ())]
    return tuple(found) if len(ids) == 1 else _newest_first(found)
