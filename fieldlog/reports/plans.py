"""Plans of what was to run together, as a rig's page lists them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from fieldlog.model.measured import measured
from fieldlog.model.record import StoredRecord


@dataclass(frozen=True)
class PlanLine:
    """A plan as its rig's page lists it, what was read later beside it."""

    id: str
    day: str
    loads: str
    planned: str
    read: str
    is_below: bool


def kept_plans(entries: Sequence[StoredRecord]) -> tuple[PlanLine, ...]:
    """Give the plans that some records are, in their order, what was measured against what was planned."""
    return tuple(_kept(entry) for entry in entries)


def _kept(entry: StoredRecord) -> PlanLine:
    record = entry.record
    body = record.body
    legs = [("", body["planned"], body["read"])]
    if second := body.get("second"):
        legs = [("leg X ", body["planned"], body["read"]), ("leg Y ", second["planned"], second["read"])]
    return PlanLine(
        id=record.id,
        day=record.observed.date().isoformat(),
        loads=", ".join(load["name"] for load in body["loads"]),
        planned="; ".join(f"{leg}{_planned(planned)}" for leg, planned, _ in legs),
        read="; ".join(f"{leg}{_read(planned, read)}" for leg, planned, read in legs),
        is_below=any(_is_below(planned, read) for _, planned, read in legs),
    )


def _planned(planned: dict[str, Any]) -> str:
    return f"{planned['volts']} ({planned['least']} to {planned['most']}) at {planned['amps']}"


def _read(planned: dict[str, Any], read: dict[str, Any] | None) -> str:
    if read is None:
        return "not read yet"
    return f"{read['volts']} at {read['amps']}: {_against(planned, read)}"


def _is_below(planned: dict[str, Any], read: dict[str, Any] | None) -> bool:
    return read is not None and measured(read["volts"], "V") < measured(planned["least"], "V")


def _against(planned: dict[str, Any], read: dict[str, Any]) -> str:
    volts = measured(read["volts"], "V")
    apart = f"{abs(volts - measured(planned['volts'], 'V')):.1f} V"
    if _is_below(planned, read):
        return f"{apart} below what was planned"
    return "as planned" if volts <= measured(planned["most"], "V") else f"{apart} above what was planned"
