"""The readings of a check and their standard errors, as a trace tells them."""

from collections.abc import Iterator

from fieldlog.engine.kernel import (
    SQUARE_ROOT_OF_2,
    Kernel,
    change_error,
    least_telling_drop,
    measured_drop,
    reading_error,
)
from fieldlog.engine.trace.figures import said, told
from fieldlog.model.check import Check, LoadTest, Meter, ReadingSet


def readings_lines(check: Check, kernel: Kernel) -> Iterator[str]:
    """Write every set with the standard error of each reading, and what else was told."""
    yield f"Check of a {check.outlet} at the {check.where}, supply by {check.supply}"
    for number, one in enumerate(check.sets, start=1):
        if one.volts or one.lamps or one.loaded or number > 1:
            yield from _set_lines(number, one, kernel)
    if check.continuity:
        yield f"  continuity, source stopped or unplugged: {told(check.continuity)}"
    if check.detector:
        heard = {name: "live" if found else "silent" for name, found in check.detector.items()}
        yield f"  detector: {told(heard)}"
    for trip in check.trip:
        yield f"  trip by {trip.by} of the device {trip.device}: {_trip_words(trip.tripped)}"
    yield f"  look: {', '.join(check.look) or 'nothing seen'}" if check.look is not None else "  look: none"


def _trip_words(has_tripped: bool | None) -> str:
    return {True: "tripped", False: "did not trip", None: "not told"}[has_tripped]


def _set_lines(number: int, one: ReadingSet, kernel: Kernel) -> Iterator[str]:
    meter = one.meter
    off = "; not weighed for the wiring" if one.state == "breaker-off" else ""
    yield (
        f"Set {number}, {one.state}, {meter.input} meter of {said(meter.accuracy_percent)} % "
        f"and {said(meter.accuracy_volts)} V{off}"
    )
    for pair, volts in one.volts.items():
        yield f"  {pair} {said(volts)} V, standard error {reading_error_words(volts, meter, kernel)}"
    if one.lamps:
        yield f"  lamps {told(one.lamps)}"
    if one.loaded is not None:
        yield from _loaded_lines(one, one.loaded, kernel)


def reading_error_words(volts: float, meter: Meter, kernel: Kernel) -> str:
    """Write a reading's standard error and how it comes about."""
    share = f"{said(volts)} x {said(meter.accuracy_percent)} / 100 + {said(meter.accuracy_volts)}"
    return _error_words(reading_error(volts, meter, kernel), share, kernel)


def _error_words(error_volts: float, share: str, kernel: Kernel) -> str:
    law = f"{said(kernel.error_share)} x ({share})"
    is_floor = error_volts == kernel.floor_volts
    return f"{said(error_volts)} V" + (f", the floor; {law} is no more" if is_floor else f" = {law}")


def _loaded_lines(one: ReadingSet, loaded: LoadTest, kernel: Kernel) -> Iterator[str]:
    yield f"  under {said(loaded.amps)} A across {loaded.across}"
    for pair, volts in loaded.volts.items():
        yield f"    {pair} {said(volts)} V, standard error {reading_error_words(volts, one.meter, kernel)}"
        if pair in one.volts:
            yield f"      fell {_fall_words(one.volts[pair] - volts, one.meter, kernel)}"
    drop = measured_drop(one)
    if drop is not None:
        tells = "tells" if drop >= least_telling_drop(one.meter, kernel) else "does not tell"
        yield (
            f"    the drop of {said(drop)} V {tells} where the ohms lie: it would from "
            f"{said(least_telling_drop(one.meter, kernel))} V = {said(kernel.tells_at)} x "
            f"{said(change_error(0.0, one.meter, kernel))} / {said(kernel.least_share)}"
        )


def _fall_words(change_volts: float, meter: Meter, kernel: Kernel) -> str:
    digits = f"{said(SQUARE_ROOT_OF_2)} x {said(meter.accuracy_volts)}"
    share = f"{said(abs(change_volts))} x {said(meter.accuracy_percent)} / 100 + {digits}"
    error_words = _error_words(change_error(change_volts, meter, kernel), share, kernel)
    return f"{said(change_volts)} V, standard error {error_words}"
