"""Volts at the rig: a supply behind a resistance, with loads of constant resistance and of constant power."""

from collections.abc import Sequence
from math import sqrt

from fieldlog.engine.planning.model import Load, Supply
from fieldlog.model.code_tables import CodeTables


def loop_ohms(supply: Supply, tables: CodeTables) -> float:
    """Give the resistance of the loop from the source to the rig [ohm].

    Notes
    -----
    A cord counts there and back, and with the contacts of both its ends.

    Examples
    --------
    50 ft of 10 AWG cord behind 0.15 ohm: 0.15 + 2 · 50 · 1.24 / 1000.

    >>> from fieldlog.engine.planning.model import Cord
    >>> from fieldlog.tables import load
    >>> supply = Supply("utility", 115.0, 0.15, 30.0, 30.0, None, (Cord(10, 50.0, 0.0),), None)
    >>> round(loop_ohms(supply, load()), 3)
    0.274

    References
    ----------
    NEC Chapter 9 Table 8: stranded uncoated copper at 75 °C.
    """
    ohms = supply.source_ohms
    for cord in supply.cords:
        ohms += (
            2 * cord.feet * tables.entries[f"ohms-stranded-{cord.awg}"].value / 1000 + 2 * cord.contacts_ohms
        )
    return ohms


def volts_with(loads: Sequence[Load], volts: float, ohms: float) -> float | None:
    """Give the volts at the rig while loads run, None where the circuit has no solution.

    Parameters
    ----------
    loads : sequence of Load
        What runs, all currents in phase.
    volts : float
        Of the source with nothing on [V].
    ohms : float
        Between it and the rig, there and back [ohm].

    Notes
    -----
    Kirchhoff: V = V0 - R (V G + P / V), with G the conductance of the resistances and P the power of the
    others; so (1 + R G) V² - V0 V + R P = 0, of which the greater root is the one at which the loads run.

    Examples
    --------
    24 A of a resistance made for 108.424 V, at 115 V behind 0.274 ohm:

    >>> heater = Load("heater", 2602.176, 24.0, 108.424, "resistive", False, None, 1, None)
    >>> round(volts_with([heater], 115.0, 0.274), 3)
    108.424
    """
    siemens = watts = 0.0
    for load in loads:
        siemens += load.siemens
        watts += load.steady_watts
    scale = 1 + ohms * siemens
    inner = volts * volts - 4 * scale * ohms * watts
    return None if volts <= 0 or inner < 0 else (volts + sqrt(inner)) / (2 * scale)


def start_volts(load: Load, others: Sequence[Load], volts: float, ohms: float) -> float | None:
    """Give the volts at the rig for the moment in which a load starts while others run.

    Parameters
    ----------
    load : Load
        What starts: a constant current of its start multiple.
    others : sequence of Load
        What runs meanwhile.
    volts, ohms : float
        As for `volts_with`.

    Returns
    -------
    float or None
        None where nothing is known of its start, or the circuit has no solution.

    Examples
    --------
    60 A through 0.36 ohm take 21.6 V of 122:

    >>> compressor = Load("compressor", 1200.0, 10.0, 120.0, "motor", False, 6.0, 1, None)
    >>> round(start_volts(compressor, [], 122.0, 0.36), 1)
    100.4
    """
    amps = load.start_amps
    return None if amps is None else volts_with(others, volts - ohms * amps, ohms)


def amps_of(loads: Sequence[Load], volts: float) -> float:
    """Give what loads draw together at some volts [A]."""
    amps = 0.0
    for load in loads:
        amps += load.amps_at(volts)
    return amps


def amps_to_fit(loads: Sequence[Load], volts: float, tables: CodeTables) -> float:
    """Give what a rating has to hold [A]: what runs for hours counts with a quarter more.

    Examples
    --------
    24 A for hours need a rating of 30 A:

    >>> from fieldlog.tables import load
    >>> heater = Load("heater", 2880.0, 24.0, 120.0, "resistive", True, None, 1, None)
    >>> amps_to_fit([heater], 120.0, load())
    30.0

    References
    ----------
    NEC 210.20(A) and 215.3.
    """
    factor = tables.entries["continuous-factor"].value
    amps = 0.0
    for load in loads:
        amps += load.amps_at(volts) * factor if load.is_continuous else load.amps_at(volts)
    return amps
