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
    planned, read = record.body["planned"], record.body["read"]
    below = read is not None and measured(read["volts"], "V") < measured(planned["least"], "V")
    return PlanLine(
        id=record.id,
        day=record.observed.date().isoformat(),
        loads=", ".join(load["name"] for load in record.body["loads"]),
        planned=f"{planned['volts']} ({planned['least']} to {planned['most']}) at {planned['amps']}",
        read="not read yet"
        if read is None
        else f"{read['volts']} at {read['amps']}: {_against(planned, read)}",
        is_below=below,
    )


def _against(planned: dict[str, Any], read: dict[str, Any]) -> str:
    volts = measured(read["volts"], "V")
    apart = f"{abs(volts - measured(planned['volts'], 'V')):.1f} V"
    if volts < measured(planned["least"], "V"):
        return f"{apart} below what was planned"
    return "as planned" if volts <= measured(planned["most"], "V") else f"{apart} above what was planned"
