"""How far a cord of each gauge reaches until loads get too few volts."""

from collections.abc import Sequence
from typing import NamedTuple

from fieldlog.engine.planning.circuit import amps_of, amps_to_fit
from fieldlog.engine.planning.model import Load
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.part_kinds import CORD_GAUGES


class Reach(NamedTuple):
    """A gauge and how long a cord of it may be.

    Parameters
    ----------
    awg : int
        Its gauge [AWG].
    feet : float
        The longest, one way [ft]; 0 where not even the shortest leaves the volts.
    carries : bool
        Whether its ampacity holds what the loads ask.
    """

    awg: int
    feet: float
    carries: bool


def cord_reach(
    loads: Sequence[Load], *, volts: float, ohms: float, least_volts: float, tables: CodeTables
) -> list[Reach]:
    """Say how long a cord of each gauge may be, the thinnest first.

    Parameters
    ----------
    loads : sequence of Load
        What runs at its end.
    volts, ohms : float
        Of the source with nothing on [V], and of all before the cord [ohm].
    least_volts : float
        That the loads are to get [V].
    tables : CodeTables
        Ohms and ampacity of cords, and of their contacts.

    Returns
    -------
    list of Reach
        Empty where the loads draw nothing.

    Notes
    -----
    At the least volts the loads draw I = V G + P / V; the cord may have (V0 - V) / I less what is before it.
    No iteration is needed. Contacts count at both its ends.

    Examples
    --------
    30 A through 10 AWG lose 3.72 V in 50 ft, its contacts left out of account by hand:

    >>> from fieldlog.tables import load
    >>> heater = Load("heater", 3488.4, 30.0, 116.28, "resistive", False, None, 1, None)
    >>> found = cord_reach([heater], volts=120.6, ohms=0.0, least_volts=116.28, tables=load())
    >>> [round(each.feet, 1) for each in found if each.awg == 10]
    [50.0]

    References
    ----------
    NEC Chapter 9 Table 8, stranded uncoated copper at 75 °C; NEC Table 400.5(A)(1), column B.
    """
    seen = [least_volts] * len(loads)
    amps = amps_of(loads, seen)
    if amps <= 0:
        return []
    asked = amps_to_fit(loads, seen, tables)
    free = (volts - least_volts) / amps - ohms - 2 * tables.entries["contact-ohms"].value
    return [
        Reach(
            awg,
            1000 * free / (2 * tables.entries[f"ohms-stranded-{awg}"].value) if free > 0 else 0.0,
            asked <= tables.entries[f"cord-two-{awg}"].value,
        )
        for awg in CORD_GAUGES
    ]
