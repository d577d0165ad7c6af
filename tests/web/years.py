"""Years of readings under a load, at an outlet of a rig and at pedestals."""

from collections.abc import Sequence
from typing import Any

from tests.builders import a_check, an_arrival_check, an_outlet_test

AMPS = 12.0


def loaded(ohms: float, volts: float = 121.0, *, outlet: str = "5-15", **members: Any) -> dict[str, Any]:
    """Give a check in which a load of 12 A showed a loop of so many ohms, half of them the neutral's."""
    drop = ohms * AMPS
    under = {"h-n": f"{volts - drop:.1f} V", "h-g": f"{volts - drop / 2:.1f} V", "n-g": f"{drop / 2:.1f} V"}
    bare = {"h-n": f"{volts:.1f} V", "h-g": f"{volts:.1f} V", "n-g": "0.0 V"}
    load = {"across": "h-n", "amps": "12 A", "amps_percent": "5 %", "volts": under}
    return a_check(outlet=outlet, volts=bare, loaded=load, breaker_amps="15 A", **members)


def month(number: int) -> str:
    """Give a time in a month, counted from January 2025."""
    return f"{2025 + number // 12}-{number % 12 + 1:02d}-05T10:00:00.000+01:00"


def outlet_years(rig: str, outlet: str, ohms: Sequence[float], **members: Any) -> list[dict[str, Any]]:
    """Give a test of an outlet for each month."""
    return [
        an_outlet_test(rig, outlet, loaded(each, where="rig", **members), observed_at=month(number))
        for number, each in enumerate(ohms)
    ]


def pedestal_years(ohms: Sequence[float], **members: Any) -> list[dict[str, Any]]:
    """Give an arrival check for each month, two hours before that month's test."""
    return [
        an_arrival_check(
            loaded(each, outlet="TT-30"), observed_at=month(number).replace("T10", "T08"), **members
        )
        for number, each in enumerate(ohms)
    ]
