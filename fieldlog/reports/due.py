"""What of a rig comes round: each device, outlet, cord and alarm with its last test that counts."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import cached_property
from typing import Any, Final

from fieldlog.errors import BadInput
from fieldlog.model.bodies import LOOK, PROOF, BodyLook, BodyOutletTest, BodyProof, BodyTripTest
from fieldlog.model.derived_map import map_of_list
from fieldlog.model.due import days_after
from fieldlog.model.due_items import DueItem, Thing, due_items
from fieldlog.model.kind_of import HeldT
from fieldlog.model.proving import ChangeScope
from fieldlog.model.rig import Chain, Change, CordSet, Device, Outlet, Rig, is_press
from fieldlog.model.shapes import Check, More
from fieldlog.reports.incidents import Incidents
from fieldlog.reports.proving import ChangeScopes, touching
from fieldlog.tables import entries


@dataclass(frozen=True)
class _Question:
    """The rig that is asked about, what its changes touch, and the last day that a clock may have shown."""

    rig: Rig
    touched: ChangeScopes
    today: date
    until: date
    incidents: Incidents

    @cached_property
    def shows(self) -> dict[str, Mapping[str, Any]]:
        """Give by thing the steps of a proof, or the points of a look, that show it after an incident."""
        return {str(rule["id"]): rule for rule in self.incidents.rules if rule["of"] == "thing"}

    def is_dated(self, chain: Chain) -> bool:
        """Say whether its time can be that of a test; one far ahead comes from a wrong clock."""
        return chain.at.date() <= self.until

    def newest(self, found: Iterable[Chain[HeldT]]) -> Chain[HeldT] | None:
        """Give the first that is dated, of what comes newest first."""
        return next((chain for chain in found if self.is_dated(chain)), None)

    def day(self, chain: Chain | None) -> date | None:
        """Give the day of what makes a thing due, at the latest today."""
        return None if chain is None else min(chain.at.date(), self.today)


def due_of(
    rig: Rig, rules: Sequence[Mapping[str, Any]], today: date, known: ChangeScopes | None = None
) -> tuple[DueItem, ...]:
    """Say what of a rig is due when, by the entries of schemas/facts/due.json.

    What its changes touch may be known already.
    """
    months = rig.chain.body.get("assured_months")
    ahead_days = next((rule["ahead_days"] for rule in rules if "ahead_days" in rule), None)
    until = date.max if ahead_days is None else days_after(today, ahead_days)
    touched = known or _touching(rig)
    incidents = Incidents(rig, touched.body, entries("facts/incidents.json"), today)
    return due_items(
        list(_things(_Question(rig, touched, today, until, incidents))),
        rules,
        today,
        chosen=() if months is None else (f"assured-{months}",),
        season=rig.chain.body.get("season_starts"),
    )


def due_devices(
    rig: Rig, rules: Sequence[Mapping[str, Any]], today: date, known: ChangeScopes | None = None
) -> dict[str, DueItem]:
    """Say of each ground-fault device of a rig, by its id, when its own TEST is due."""
    return {
        str(item.thing.subject): item
        for item in due_of(rig, rules, today, known)
        if item.thing.what == "device"
    }


def _touching(rig: Rig) -> ChangeScopes:
    """Give what each change touches; by a map that cannot be read, everything."""
    try:
        return touching(rig)
    except BadInput:
        body = map_of_list(rig) if rig.map is None else rig.map.body
        parts = tuple(str(part["id"]) for part in body["parts"])
        every = ChangeScope(tuple((part, ()) for part in parts), parts)
        return ChangeScopes(body, {change.id: every for change in rig.changes}, rig.changes)


def _things(asked: _Question) -> Iterator[Thing]:
    rig = asked.rig
    for device in (device for device in rig.devices if device.is_guard):
        yield _of_device(device, asked)
    for outlet in rig.outlets:
        loaded = [test for test in outlet.tests if _is_read_loaded(test)]
        yield _of_outlet(outlet, "outlet", outlet.tests, asked)
        yield _of_outlet(outlet, "outlet-loaded", loaded, asked)
        if asked.touched.is_exposed(outlet.id):
            yield _of_look(asked, "outlet-look", ("outlet",), outlet)
    for outlet in rig.outlets:
        yield _of_ground(outlet, asked)
    if rig.outlets or rig.devices:
        yield _of_look(asked, "cord", ("cord", "inlet"))
        yield _of_look(asked, "alarms", ("alarms",))
        yield _of_look(asked, "skin", ("skin",))
        yield from _after_incidents(asked)
    yield from (_of_set(each, asked) for each in rig.sets if not each.is_retired)


NAMES: Final[Mapping[str, str]] = {
    "cord": "Cord and inlet",
    "alarms": "Smoke and gas alarms",
    "skin": "The rig’s skin",
    "surge": "Surge protector",
    "cord-loaded": "Cord and inlet under load",
    "insulation": "Insulation",
    "set": "Shore cord, as a set with a number",
}


def _after_incidents(asked: _Question) -> Iterator[Thing]:
    """Give what comes round by no month, and is due after an incident alone."""
    yield _of_look(asked, "surge", ("surge",))
    loaded = [test for outlet in asked.rig.outlets for test in outlet.tests if _is_read_loaded(test)]
    usable = [test for test in loaded if not _is_not_to_be_used(test) and asked.is_dated(test)]
    yield _only_struck(asked, "cord-loaded", max(usable, key=lambda test: test.at, default=None))
    shown = [
        asked.newest(
            proof
            for proof in asked.rig.newest(PROOF)
            if proof.body["step"] == step and proof.body["outcome"] == "good"
        )
        for step in asked.shows["insulation"]["steps"]
    ]
    yield _only_struck(asked, "insulation", _older(shown))
    # The month's test is of sets that are noted; where none is, an incident asks for the first of them.
    unknown = None if asked.rig.sets else asked.incidents.since("set", None, None)
    if unknown is not None:
        struck = replace(unknown, clears=str(asked.shows["set-to-note"]["clears"]))
        yield Thing("set", None, NAMES["set"], None, struck=struck)


def _only_struck(asked: _Question, what: str, last: Chain | None) -> Thing:
    return Thing(what, None, NAMES[what], _day(last), struck=asked.incidents.since(what, None, last))


def _of_device(device: Device, asked: _Question) -> Thing:
    last = asked.newest(trip for trip in device.trips if is_press(trip))
    failed = next((trip for trip in _down_to(last, device.trips) if _has_failed(trip)), None)
    changed = _changed(asked.touched.changes_of_device(device.id), last)
    return _tested(asked, "device", device, last, failed, changed)


def _of_outlet(outlet: Outlet, what: str, tests: Sequence[Chain[BodyOutletTest]], asked: _Question) -> Thing:
    last = asked.newest(test for test in tests if _is_read(test))
    failed = next((test for test in _down_to(last, tests) if _is_not_to_be_used(test)), None)
    changed = _changed(asked.touched.changes_of_outlet(outlet.id), last)
    return _tested(asked, what, outlet, last, failed, changed)


def _of_ground(outlet: Outlet, asked: _Question) -> Thing:
    proofs = _ground_proofs(outlet, asked)
    last = asked.newest(proof for proof in proofs if proof.body["outcome"] == "good")
    failed = next((proof for proof in _down_to(last, proofs) if proof.body["outcome"] == "bad"), None)
    changed = _changed(asked.touched.changes_of_outlet(outlet.id), last)
    return _tested(asked, "ground", outlet, last, failed, changed)


def _of_set(cord_set: CordSet, asked: _Question) -> Thing:
    """Give a cord set by its last whole test.

    What was found bad since, by a look too, puts it out of use, as does what no later look found good.
    """
    looks = [
        look for look in asked.rig.newest(LOOK) if asked.rig.thing(look.entry.record.subject) is cord_set
    ]
    last = asked.newest(look for look in looks if look.body["of"] == "set" and _is_all_good(look))
    bad = [look for look in _down_to(last, looks) if "bad" in look.body["points"].values()]
    failed = next((look for look in looks if look in bad or _stands_bad(look, looks)), None)
    return Thing(
        "set-fixed" if cord_set.is_fixed else "set",
        cord_set.id,
        cord_set.name,
        _day(last),
        failed=asked.day(failed),
        struck=asked.incidents.since("set", cord_set.id, last),
    )


def _stands_bad(look: Chain[BodyLook], looks: Sequence[Chain[BodyLook]]) -> bool:
    """Say whether a look found something bad of which no later one says anything else."""
    later = {point for each in looks[: looks.index(look)] for point in each.body["points"]}
    return any(how == "bad" and point not in later for point, how in look.body["points"].items())


def _tested(
    asked: _Question,
    what: str,
    thing: Device | Outlet,
    *tests: Chain | None,
) -> Thing:
    """Give a thing by its last test that counts, the one that failed and the change after it."""
    last, failed, changed = tests
    return Thing(
        what,
        thing.id,
        thing.name,
        _day(last),
        failed=asked.day(failed),
        changed=asked.day(changed),
        struck=asked.incidents.since(what, thing.id, last),
    )


def _day(chain: Chain | None) -> date | None:
    return None if chain is None else chain.at.date()


def _down_to(last: Chain[HeldT] | None, tests: Sequence[Chain[HeldT]]) -> Sequence[Chain[HeldT]]:
    """Give the tests from the newest to the last that counts: one that settles nothing hides no failure."""
    return tests if last is None else tests[: tests.index(last) + 1]


def _has_failed(trip: Chain[BodyTripTest]) -> bool:
    """Say whether a device failed; a plug-in tester decides nothing where the device stays on."""
    body = trip.body
    if body["by"] == "external" and body["tripped"] is False:
        return False
    return False in (body["tripped"], body["face_dead"], body["reset"])


def _is_not_to_be_used(test: Chain[BodyOutletTest]) -> bool:
    return bool(test.body["judgement"]["verdict"] == "do-not-use")


def _is_read(test: Chain[BodyOutletTest]) -> bool:
    """Say whether volts or lamps were read; a look alone does not show how an outlet is wired."""
    return _is_read_loaded(test) or any("volts" in one or "lamps" in one for one in _sets(test))


def _is_read_loaded(test: Chain[BodyOutletTest]) -> bool:
    """Say whether volts were read with the load on; a load alone shows no joint."""
    return any("volts" in one.get("loaded", {}) for one in _sets(test))


def _sets(test: Chain[BodyOutletTest]) -> list[Check | More]:
    check = test.body["check"]
    return [check, *check.get("more", ())]


def _ground_proofs(outlet: Outlet, asked: _Question) -> list[Chain[BodyProof]]:
    """Give the proofs of how the ground reaches an outlet, made for a change or for itself, newest first."""
    parts = asked.touched.parts_of_outlet(outlet.id)
    return [
        proof
        for proof in asked.rig.newest(PROOF)
        if proof.body["step"] == "ground-continuous" and proof.body["part"] in parts
    ]


def _of_look(asked: _Question, what: str, looked_at: Sequence[str], outlet: Outlet | None = None) -> Thing:
    """Give a thing by the older of its looks; only one that found all good settles an incident."""
    found = [_looks(asked, of, outlet) for of in looked_at]
    days = [_day(asked.newest(looks)) for looks in found]
    last = None if None in days else min(day for day in days if day is not None)
    points = asked.shows.get(what, {}).get("points")
    good = _older([asked.newest(look for look in looks if _is_all_good(look, points)) for looks in found])
    subject, name = (None, NAMES[what]) if outlet is None else (outlet.id, outlet.name)
    return Thing(what, subject, name, last, struck=asked.incidents.since(what, subject, good))


def _looks(asked: _Question, of: str, outlet: Outlet | None) -> list[Chain[BodyLook]]:
    """Give the looks at which anything was looked at, newest first."""
    about = None if outlet is None else {version.record.id for version in outlet.chain.versions}
    points = set(asked.shows.get(of, {}).get("points", ()))
    return [
        look
        for look in asked.rig.newest(LOOK)
        if (look.body["of"] == of or points & look.body["points"].keys())
        and look.body["points"]
        and (about is None or look.entry.record.subject in about)
    ]


def _is_all_good(look: Chain[BodyLook], points: Sequence[str] | None = None) -> bool:
    """Say whether these points were found good, or all that is asked at such a look."""
    if points is not None:
        return all(look.body["points"].get(point) == "good" for point in points)
    return (
        bool(look.body["points"])
        and "bad" not in look.body["points"].values()
        and not look.body["not_tested"]
    )


def _older(found: Sequence[Chain | None]) -> Chain | None:
    """Give the older of several, None where one of them never was."""
    there = [chain for chain in found if chain is not None]
    return min(there, key=lambda chain: chain.at) if len(there) == len(found) else None


def _changed(changes: Sequence[Change], last: Chain | None) -> Chain | None:
    """Give the newest change, where it came after the last test."""
    after = [change.chain for change in changes if last is None or change.chain.at > last.at]
    return max(after, key=lambda chain: chain.at, default=None)
