"""How far a cord of each gauge reaches until loads get too few volts."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from fieldlog.engine.planning.circuit import volts_with
from fieldlog.engine.planning.legs import together
from fieldlog.engine.planning.model import Legs, Load
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.part_kinds import CORD_GAUGES

_NARROW: Final = 1e-9
"""A search ends where ohms are known to this share of them."""
_MOST_OHMS: Final = 1e6


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
    leg : str
        The leg that binds; "x" where there is one.
    """

    awg: int
    feet: float
    carries: bool
    leg: str


def cord_reach(
    loads: Sequence[Load],
    *,
    volts: float,
    ohms: float,
    least_volts: float,
    tables: CodeTables,
    legs: Legs | None = None,
) -> list[Reach]:
    """Say how long a cord of each gauge may be, the thinnest first.

    Parameters
    ----------
    loads : sequence of Load
        What runs at its end, with two hots each with its leg.
    volts, ohms : float
        Of the source with nothing on, of hot x [V], and of all before the cord, there and back [ohm].
    least_volts : float
        That the loads are to get, on each leg [V].
    tables : CodeTables
        Ohms and ampacity of cords, and of their contacts.
    legs : Legs or None
        The other hot, where the cord has two.

    Returns
    -------
    list of Reach
        Empty where the loads draw nothing.

    Notes
    -----
    The ohms of the loop at which the least volts are just left are found by halving, to a thousandth of a
    millionth of them. Contacts count at both ends of the cord. What it has to carry is asked at the volts
    at which each load draws most: a resistance behind next to no cord, what draws its power whatever the
    volts at the least of them.

    A leg of two gets least while the other one is empty, since what flows there lifts it through the
    neutral: so each is worked out with its own loads and those between the hots alone, over the whole
    circuit (see legs.together), and the shorter cord counts. Both legs then keep the volts with all on, and
    what hangs between the hots gets at least as many times these volts as there are between them with
    nothing on. On 120/208 V the neutral carries about as much as the hots, and the cord is one of three
    wires that carry current.

    Examples
    --------
    30 A through 10 AWG lose 3.72 V in 50 ft, its contacts left out of account by hand:

    >>> from fieldlog.tables import load
    >>> heater = Load("heater", 3488.4, 30.0, 116.28, "resistive", False, None, 1, None)
    >>> found = cord_reach([heater], volts=120.6, ohms=0.0, least_volts=116.28, tables=load())
    >>> [round(each.feet, 1) for each in found if each.awg == 10]
    [50.0]

    50 A on one leg, the other empty, lose 2.455 V in 50 ft of 6 AWG; on both legs together half of that,
    but the other one may go off. The contacts are left out of account by hand:

    >>> one = Load("one", 5829.75, 50.0, 116.595, "resistive", False, None, 1, None, leg="x")
    >>> opposed = Legs(120.05, 2.0, -1.0)
    >>> found = cord_reach([one], volts=120.05, ohms=0.0, least_volts=116.595, tables=load(), legs=opposed)
    >>> [round(each.feet, 1) for each in found if each.awg == 6]
    [50.0]

    References
    ----------
    NEC Chapter 9 Table 8, stranded uncoated copper at 75 °C; NEC Table 400.5(A)(1), column B, and A where
    three wires carry current; NEC 310.15(E)(2): the neutral of two of three phases carries current.
    """
    before = ohms + 2 * tables.entries["contact-ohms"].value
    column = "cord-two" if legs is None or legs.cosine <= -1.0 else "cord-three"
    found: list[Reach] = []
    for leg in ("x",) if legs is None else ("x", "y"):
        own = [load for load in loads if legs is None or load.leg in (leg, "both")]
        alone = _Alone(own, volts, legs, leg, tables.entries["neutral-share"].value)
        factor = 1.0 if legs is None else legs.factor
        amps = _most_amps(own, least_volts, max(least_volts, alone.volts_at(before)), factor, tables)
        if amps > 0:
            free = _most_ohms(alone, least_volts, before) - before
            found = _shorter(found, [_reach_of(awg, free, amps, column, leg, tables) for awg in CORD_GAUGES])
    return found


class _Alone(NamedTuple):
    """One leg with its own loads and those between the hots."""

    loads: Sequence[Load]
    volts: float
    legs: Legs | None
    leg: str
    neutral_share: float

    def volts_at(self, ohms: float) -> float:
        """Give its volts behind a loop of so many ohms [V], 0 where the circuit has no solution."""
        if self.legs is None:
            return volts_with(self.loads, self.volts, ohms) or 0.0
        neutral = self.neutral_share * ohms
        both = together(self.loads, self.volts, self.legs, ohms - neutral, neutral, ())
        return 0.0 if both is None else both.volts["xy".index(self.leg)]


def _most_ohms(leg: _Alone, least_volts: float, before: float) -> float:
    """Find the ohms of the loop at which the least volts are just left [ohm]."""
    low, high = before, 2 * before + 1.0
    while leg.volts_at(high) >= least_volts and high < _MOST_OHMS:
        high = 2 * high
    while high - low > _NARROW * high:
        middle = (low + high) / 2
        if leg.volts_at(middle) < least_volts:
            high = middle
        else:
            low = middle
    return low


def _most_amps(loads: Sequence[Load], low: float, high: float, factor: float, tables: CodeTables) -> float:
    """Give what a cord has to carry [A], each load at the one of two volts at which it draws more."""
    amps = 0.0
    for load in loads:
        times = factor if load.leg == "both" else 1.0
        drawn = load.amps_at((high if load.kind == "resistive" else low) * times)
        amps += drawn * (tables.entries["continuous-factor"].value if load.is_continuous else 1.0)
    return amps


def _reach_of(awg: int, free_ohms: float, amps: float, column: str, leg: str, tables: CodeTables) -> Reach:
    feet = 1000 * free_ohms / (2 * tables.entries[f"ohms-stranded-{awg}"].value)
    return Reach(awg, feet, amps <= tables.entries[f"{column}-{awg}"].value, leg)


def _shorter(known: Sequence[Reach], others: list[Reach]) -> list[Reach]:
    """Give gauge by gauge the shorter cord, which has to carry both legs."""
    if not known:
        return others
    return [
        (one if one.feet <= other.feet else other)._replace(carries=one.carries and other.carries)
        for one, other in zip(known, others, strict=True)
    ]
