"""The rulebook as typed data; finding, reading and checking it is fieldlog.rulebook's work."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class MeterSet:
    """Sample points that one or more wirings share under one kind of meter.

    Parameters
    ----------
    classes : str
        One letter for each pair: what it shows as a class of ratio to the supply ("0", "1", "2" or "~").
    spreads : tuple of int
        Distance between points in each pair [thousandths of the supply].
    points : tuple of tuple of int
        Ratios to the supply of each pair [thousandths].
    """

    classes: str
    spreads: tuple[int, ...]
    points: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class LampSet:
    """What three lamps show under one or more wirings.

    Parameters
    ----------
    classes : str
        One letter for each lamp, as in MeterSet.
    table : tuple of int
        Probability of the 27 patterns [millionths].
    """

    classes: str
    table: tuple[int, ...]


@dataclass(frozen=True)
class WiringEntry:
    """One wiring of the rulebook.

    Parameters
    ----------
    id : str
        The explanation's id; unnamed wirings begin with "joined-".
    is_named, is_dangerous, is_decided_by_ohms : bool
        Whether it has a name, can hurt, or is a loose joint, which shows only under load.
    prior : mapping of str to float
        By kind of supply [0 to 1].
    usable : mapping of str to str
        By kind of supply: "always" or "at-pedestal".
    sets : mapping of str to int
        Which set of points or lamps it shares, by instrument.
    """

    id: str
    is_named: bool
    is_dangerous: bool
    is_decided_by_ohms: bool
    prior: Mapping[str, float]
    usable: Mapping[str, str]
    sets: Mapping[str, int]


@dataclass(frozen=True)
class Limit:
    """A number with its unit, source and date.

    Parameters
    ----------
    id, unit, source, valid_from : str
        As in schemas/limits.
    value : float
        In `unit`.
    """

    id: str
    unit: str
    value: float
    source: str
    valid_from: str


@dataclass(frozen=True)
class NextTest:
    """A test that may tell explanations apart.

    Parameters
    ----------
    id : str
        Its name in the rulebook.
    effort : float
        Own estimate, 1 for a glance [1 and up].
    is_harmless : bool
        Whether it may be proposed whatever is left.
    dangerous_under : tuple of str
        Explanations under which it can hurt.
    done_by : str
        Which readings would make it superfluous.
    separates : mapping of (str, str) to float
        How surely it tells one explanation from another [0 to 1].
    """

    id: str
    effort: float
    is_harmless: bool
    dangerous_under: tuple[str, ...]
    done_by: str
    separates: Mapping[tuple[str, str], float]


@dataclass(frozen=True)
class Rulebook:
    """The compiled rulebook, checked against its own id.

    Parameters
    ----------
    id : str
        "sha256:" and the hash of the canonical form of all other members.
    raw : mapping
        The JSON object as read, words included.
    wirings : tuple of WiringEntry
        In rulebook order, which settles ties and sums.
    meters : mapping of str to tuple of MeterSet
        By input of the meter.
    lamps : tuple of LampSet
        Shared by wirings.
    limits : mapping of str to Limit
        By id.
    tests : tuple of NextTest
        In rulebook order.
    """

    id: str
    raw: Mapping[str, Any]
    wirings: tuple[WiringEntry, ...]
    meters: Mapping[str, tuple[MeterSet, ...]]
    lamps: tuple[LampSet, ...]
    limits: Mapping[str, Limit]
    tests: tuple[NextTest, ...]
