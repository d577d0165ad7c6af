"""What speaks against a plan, each finding with its figures and its source."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import floor
from typing import Any

from fieldlog.engine.planning.circuit import amps_to_fit, seen_by
from fieldlog.engine.planning.limits import Rating, is_held, without_a_breaker
from fieldlog.engine.planning.model import Load, Supply
from fieldlog.model.code_tables import CodeTables

_CALLED = {"receptacle": "outlet", "cord": "cord"}


@dataclass(frozen=True)
class WorkedPlan:
    """A plan that was worked out.

    Parameters
    ----------
    supply : Supply
        What feeds the rig.
    loads : tuple of Load
        In the order of the input.
    ohms : float
        Of the loop up to the rig [ohm].
    volts, amps : float or None
        At the rig with all loads on [V, A]; None where the circuit has no solution.
    ratings : tuple of Rating
        All on the way.
    limit : Rating or None
        The one that binds.
    at : tuple of float
        Volts at the panel and at the end of each wire [V]; none where the circuit has no solution.
    starts : tuple of (float or None)
        Volts while each load starts, all others on [V].
    tables : CodeTables
        Thresholds, and what findings say.
    """

    supply: Supply
    loads: tuple[Load, ...]
    ohms: float
    volts: float | None
    amps: float | None
    ratings: tuple[Rating, ...]
    limit: Rating | None
    at: tuple[float, ...]
    starts: tuple[float | None, ...]
    tables: CodeTables

    @property
    def drop_percent(self) -> float | None:
        """Give the share of the volts that is lost on the way [%]."""
        return None if self.volts is None else 100 * (self.supply.volts - self.volts) / self.supply.volts

    @property
    def asked_amps(self) -> float | None:
        """Give what the rating has to hold with all loads on [A]."""
        return amps_to_fit(self.loads, self.seen(self.loads), self.tables) if self.at else None

    @property
    def fits(self) -> bool:
        """Say whether the loads together stay within the rating; not where the circuit has no solution."""
        asked = self.asked_amps
        if asked is None or (self.limit is not None and asked > self.limit.amps):
            return False
        branches = enumerate(self.supply.branches)
        return all((self.amps_of_branch(number) or 0.0) <= branch.amps for number, branch in branches)

    def amps_of_branch(self, number: int) -> float | None:
        """Give what the loads on a branch ask of it [A]; None where the circuit has no solution."""
        if not self.at:
            return None
        on_it = [load for load in self.loads if number in load.within]
        return amps_to_fit(on_it, self.seen(on_it), self.tables)

    def seen(self, loads: Sequence[Load]) -> list[float]:
        """Give the volts that reach some of the loads [V]."""
        return seen_by(loads, self.at)

    def volts_of(self, load: Load) -> float | None:
        """Give the volts that reach a load [V]; None where the circuit has no solution."""
        return self.at[load.wire + 1] if self.at else None

    def start_of(self, load: Load) -> float | None:
        """Give the volts while a load starts [V]."""
        return next(volts for one, volts in zip(self.loads, self.starts, strict=True) if one is load)

    def runs(self, load: Load) -> bool:
        """Say whether a load has volts that it can run at and, a motor, start at."""
        volts, start = self.volts_of(load), self.start_of(load)
        if volts is None or not self.value("low-stop") <= volts <= self.value("high-stop"):
            return False
        return not load.is_motor or (start is not None and start >= self.value("start-least-volts"))

    def value(self, key: str) -> float:
        """Give a threshold; a missing one is an error, never a pass."""
        return self.tables.entries[key].value


def findings(planned: WorkedPlan, tables: CodeTables) -> list[dict[str, Any]]:
    """List what speaks against a plan.

    Parameters
    ----------
    planned : WorkedPlan
        What was worked out.
    tables : CodeTables
        What each finding says.

    Returns
    -------
    list of dict
        Each "id", "level" (stop, limit or note), "load" (a name or null), "value" and "limit" in "unit",
        "says", "do", "source" and "known".
    """
    found = [*_of_limits(planned), *_of_volts(planned), *_of_starts(planned), *_of_hours(planned)]
    return [told(*one, tables) for one in found]


_FindingRow = tuple[str, str | None, float | None, float | None]


def _of_limits(planned: WorkedPlan) -> Iterator[_FindingRow]:
    limit, asked = planned.limit, planned.asked_amps
    if limit is None:
        yield "no-rating", None, None, None
    elif asked is not None and asked > limit.amps:
        yield "over-limit", None, asked, limit.amps
    elif (plate := amps_to_fit_on_plates(planned)) > limit.amps:
        yield "over-at-rated-volts", None, plate, limit.amps
    for rating in without_a_breaker(planned.supply, list(planned.ratings)):
        name = "held-by-limit-alone" if is_held(planned.supply, rating) else "not-protected-by-breaker"
        yield name, _CALLED[rating.what], rating.amps, planned.supply.breaker_amps
    for number, branch in enumerate(planned.supply.branches):
        on_it = planned.amps_of_branch(number)
        if on_it is not None and on_it > branch.amps:
            yield "branch-over-limit", branch.name, on_it, branch.amps


def amps_to_fit_on_plates(planned: WorkedPlan) -> float:
    """Give what the rating has to hold were each load at its rated volts [A]."""
    factor = planned.value("continuous-factor")
    amps = 0.0
    for load in planned.loads:
        amps += load.amps * factor if load.is_continuous else load.amps
    return amps


def _of_volts(planned: WorkedPlan) -> Iterator[_FindingRow]:
    volts, drop = planned.volts, planned.drop_percent
    if volts is None or drop is None:
        yield "cannot-deliver", None, None, None
        return
    least, low = planned.value("low-stop"), planned.value("rig-low-limit")
    if volts < least:
        yield "rig-volts-too-low", None, volts, least
    elif volts < low:
        yield "rig-volts-low", None, volts, low
    # With little on, the rig gets what the supply gives.
    if planned.supply.volts > planned.value("high-stop"):
        yield "rig-volts-too-high", None, planned.supply.volts, planned.value("high-stop")
    for load in planned.loads:
        reached = planned.at[load.wire + 1]
        if volts >= least > reached:
            yield "load-volts-too-low", load.name, reached, least
        elif volts >= low > reached:
            yield "load-volts-low", load.name, reached, low
    for key in ("drop-limit-percent", "drop-note-percent"):
        if drop > planned.value(key):
            yield "drop", None, drop, planned.value(key)
            return


def _of_starts(planned: WorkedPlan) -> Iterator[_FindingRow]:
    battery = planned.supply.battery
    for load, volts in zip(planned.loads, planned.starts, strict=True):
        if load.is_motor and (volts is None or volts < planned.value("start-least-volts")):
            yield "start-volts-low", load.name, volts, planned.value("start-least-volts")
        amps = load.start_amps
        if battery is not None and amps is not None and amps * load.rated_volts > battery.inverter_watts:
            yield "start-above-inverter", load.name, amps * load.rated_volts, battery.inverter_watts
        if load.is_motor and planned.supply.kind == "generator":
            yield "droop-at-start", load.name, None, None


def _of_hours(planned: WorkedPlan) -> Iterator[_FindingRow]:
    least = planned.value("continuous-hours")
    for load in planned.loads:
        if load.hours is not None and load.hours >= least and not load.is_continuous:
            yield "hours-make-it-continuous", load.name, load.hours, least
    battery, hours = planned.supply.battery, [load.hours for load in planned.loads if load.hours is not None]
    if battery is None or not hours:
        return
    watt_hours = 0.0
    for load in planned.loads:
        watt_hours += load.watts * (load.hours or 0.0)
    taken = watt_hours / battery.efficiency + battery.idle_watts * max(hours)
    is_covered = taken <= battery.usable_watt_hours
    yield "hours-covered" if is_covered else "hours-not-covered", None, taken, battery.usable_watt_hours


def told(
    name: str, load: str | None, value: float | None, limit: float | None, tables: CodeTables
) -> dict[str, Any]:
    """Give a finding in its words."""
    entry = tables.entries[name]
    words = {"load": load, "value": _shown(value), "limit": _shown(limit)}
    says, do = (text.format(**words) for text in (entry.says, entry.do))
    return {
        "id": name,
        "level": entry.level,
        "load": load,
        "value": value,
        "limit": limit,
        "unit": entry.unit,
        "says": says,
        "do": do,
        "source": entry.source,
        "known": entry.known,
    }


def _shown(value: float | None) -> str:
    """Give a figure for a sentence: to a tenth; "no" where there is none."""
    return "no" if value is None else str(floor(value * 10 + 0.5) / 10).removesuffix(".0")
