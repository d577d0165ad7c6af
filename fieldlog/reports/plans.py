"""Plans of what was to run together, as a record lists them."""

from dataclasses import dataclass
from datetime import datetime

from fieldlog.kinds import NOTHING_KNOWN, kind_of
from fieldlog.model.rig import Rig


@dataclass(frozen=True)
class PlanLine:
    """A plan as a record lists it: what was planned, and what was read later."""

    day: str
    words: str
    number: int


def plan_lines(rig: Rig, since: datetime | None = None) -> tuple[PlanLine, ...]:
    """Give every plan of a rig, newest first, on demand from a moment on."""
    in_short = kind_of("plan").in_short
    return tuple(
        PlanLine(plan.at.date().isoformat(), in_short(plan.body, NOTHING_KNOWN), plan.entry.position)
        for plan in rig.newest("plan")
        if since is None or plan.at >= since
    )
