"""What the kinds of parts, devices and records are called, as facts/kinds.json and the book tell it."""

from typing import Final

from fieldlog.book import record_kinds
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Rig
from fieldlog.tables import entries


def _names(of: str) -> dict[str, str]:
    return {entry["id"]: entry["name"] for entry in entries("facts/kinds.json") if of in entry["of"]}


PARTS: Final = _names("part")
DEVICES: Final = _names("device")
"""A plain breaker is on the map only: it can be opened by hand, and guards nobody."""
GUARDS: Final = {kind: name for kind, name in DEVICES.items() if kind != "breaker"}
SETS: Final = _names("set")
"""Cords, extensions and adapters: devices of the log that have a number, and guard nobody."""
RECORDS: Final = {kind.id: kind.name for kind in record_kinds()}
NAMES: Final[dict[str, str]] = {**PARTS, **DEVICES, **SETS, **RECORDS}


def kind_name(kind: str) -> str:
    """Give the name of any kind, as it stands in a sentence."""
    return NAMES[kind]


def device_kind(part_kind: str, is_gfci: bool) -> str:
    """Give what a part of the map is as a device: a breaker that trips on a ground fault is another kind."""
    return "gfci-breaker" if part_kind == "breaker" and is_gfci else part_kind


def entry_name(rig: Rig, entry: StoredRecord) -> str:
    """Say what an entry of a rig's log is about."""
    kind = RECORDS[entry.record.kind]
    named = rig.thing(entry.record.subject or entry.root)
    return kind if named is None else f"{kind} “{named.name}”"
