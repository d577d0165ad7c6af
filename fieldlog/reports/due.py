"""What of a rig comes round: each device, outlet, cord and alarm with its last test that counts."""

from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from fieldlog.model.due_items import DueItem, Thing, due_items
from fieldlog.model.rig import Chain, Change, Device, Outlet, Rig
from fieldlog.reports.proving import Touching, touching


def due_of(rig: Rig, rules: Sequence[Mapping[str, Any]], today: date) -> tuple[DueItem, ...]:
    """Say what of a rig is due when, by the entries of schemas/facts/due.json."""
    months = rig.chain.body.get("assured_months")
    return due_items(
        list(_things(rig)),
        rules,
        today,
        chosen=() if months is None else (f"assured-{months}",),
        season=rig.chain.body.get("season_starts"),
    )


def _things(rig: Rig) -> Iterator[Thing]:
    touched = touching(rig)
    for device in (device for device in rig.devices if device.is_guard):
        yield _of_device(device, touched)
    for outlet in rig.outlets:
        loaded = next((test for test in outlet.tests if _is_loaded(test.body["check"])), None)
        for what, last in (("outlet", outlet.last_test), ("outlet-loaded", loaded)):
            yield _of_outlet(outlet, what, last, touched)
        if touched.is_exposed(outlet.id):
            yield Thing("outlet-look", outlet.id, outlet.name, _last_look(rig, "outlet", outlet))
    for outlet in rig.outlets:
        yield _of_outlet(outlet, "ground", _last_ground(rig, outlet, touched), touched)
    if rig.outlets or rig.devices:
        yield Thing("cord", None, "Cord and inlet", _both(_last_look(rig, "cord"), _last_look(rig, "inlet")))
        yield Thing("alarms", None, "Smoke and gas alarms", _last_look(rig, "alarms"))


def _of_device(device: Device, touched: Touching) -> Thing:
    last = device.last_press
    failed = last is not None and False in (last.body["tripped"], last.body["reset"])
    changed = _changed(touched.changes_of_device(device.id), last)
    return Thing("device", device.id, device.name, None if last is None else last.at.date(), failed, changed)


def _of_outlet(outlet: Outlet, what: str, last: Chain | None, touched: Touching) -> Thing:
    changed = _changed(touched.changes_of_outlet(outlet.id), last)
    day = None if last is None else last.at.date()
    return Thing(what, outlet.id, outlet.name, day, changed=changed)


def _is_loaded(check: Mapping[str, Any]) -> bool:
    return "loaded" in check or any("loaded" in more for more in check.get("more", ()))


def _last_ground(rig: Rig, outlet: Outlet, touched: Touching) -> Chain | None:
    """Give the newest proof that the ground reaches an outlet, made for a change or for itself."""
    parts = touched.parts_of_outlet(outlet.id)
    shown = [
        proof
        for proof in rig.proofs
        if (proof.body["step"], proof.body["outcome"]) == ("ground-continuous", "good")
        and proof.body["part"] in parts
    ]
    return shown[0] if shown else None


def _last_look(rig: Rig, of: str, outlet: Outlet | None = None) -> date | None:
    """Give the day of the newest look at which anything was looked at."""
    about = None if outlet is None else {version.record.id for version in outlet.chain.versions}
    looks = (
        look
        for look in rig.looks
        if look.body["of"] == of
        and look.body["points"]
        and (about is None or look.entry.record.subject in about)
    )
    last = next(looks, None)
    return None if last is None else last.at.date()


def _both(one: date | None, other: date | None) -> date | None:
    return None if one is None or other is None else min(one, other)


def _changed(changes: Sequence[Change], last: Chain | None) -> date | None:
    """Give the day of the newest change that came after the last test."""
    after = [change.chain.at for change in changes if last is None or change.chain.at > last.at]
    return max(after).date() if after else None
