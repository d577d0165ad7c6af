"""How a rig was kept up: months with a test and without, what was never tested, ohms then and now."""

from collections.abc import Iterator, Sequence
from datetime import date, datetime
from typing import Any, Final

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.model.measured import check_input
from fieldlog.model.rig import Chain, Rig, is_press
from fieldlog.model.rulebook import Rulebook
from fieldlog.reports.buyer import NOT_NOTED, BuyerLine
from fieldlog.words.naming import ending

MONTHS: Final = 24
"""Own choice: whole months before this one that are looked at for gaps."""
WRONG: Final = "Pedestals that did not end in “use”"
MOST: Final = 24
"""Own choice: the newest of these."""


def kept_up_lines(rig: Rig, rulebook: Rulebook, made_at: datetime) -> tuple[BuyerLine, ...]:
    """Give the lines; of a pedestal its month alone is told."""
    return (
        BuyerLine("Monthly tests of ground-fault devices", tuple(_months(rig, made_at.date()))),
        BuyerLine("Never tested", tuple(_never(rig)) or ("nothing that is noted here",)),
        BuyerLine(WRONG, tuple(_pedestals(rig, rulebook))[:MOST] or ("none",)),
        BuyerLine("Loop ohms, first and newest", tuple(_ohms(rig, rulebook)) or (NOT_NOTED,)),
    )


def _months(rig: Rig, today: date) -> Iterator[str]:
    guards = [device for device in rig.devices if device.is_guard]
    if not guards:
        yield "no ground-fault device is noted"
    for device in guards:
        begun = device.chain.versions[0].record.observed_at[:7]
        due = [month for month in _last_months(today) if month > begun]
        pressed = {_month(chain) for chain in device.trips if is_press(chain)}
        missing = [month for month in due if month not in pressed]
        if not due:
            yield f"{device.name}: noted for less than a whole month"
            continue
        told = f"{device.name}: in {len(due) - len(missing)} of the last {len(due)} whole months"
        yield f"{told}; none in {', '.join(missing)}" if missing else told


def _last_months(today: date) -> list[str]:
    """Give the whole months before this one, the newest first."""
    first = today.year * 12 + today.month - 1
    return [f"{month // 12}-{month % 12 + 1:02}" for month in range(first - 1, first - 1 - MONTHS, -1)]


def _month(chain: Chain[Any]) -> str:
    return chain.entry.record.observed_at[:7]


def _never(rig: Rig) -> Iterator[str]:
    yield from (outlet.name for outlet in rig.outlets if not outlet.tests)
    yield from (device.name for device in rig.devices if device.is_guard and not device.trips)


def _pedestals(rig: Rig, rulebook: Rulebook) -> Iterator[str]:
    for chain in rig.arrivals:
        if chain.body["judgement"]["verdict"] != "use":
            yield f"{_month(chain)}, {chain.body['check']['outlet']}: {ending(chain.body, rulebook)}"


def _ohms(rig: Rig, rulebook: Rulebook) -> Iterator[str]:
    for outlet in rig.outlets:
        newest = _read(outlet.tests, rulebook)
        first = _read(outlet.tests[::-1], rulebook)
        if newest and first:
            told = f"{outlet.name}: {newest}"
            yield told if first == newest else f"{told}, first {first}"


def _read(tests: Sequence[Chain[Any]], rulebook: Rulebook) -> str:
    """Give the ohms of the first of these tests that was read under a load, "" where none was."""
    for chain in tests:
        if "loaded" in chain.body["check"]:
            try:
                supply = assess(check_input(chain.body["check"]), rulebook)["supply"]
            except BadInput:
                continue
            if supply is not None:
                return f"{supply['ohms']:.2f} Ω ({chain.day})"
    return ""
