"""The rulebook as typed data; finding, reading and checking it is fieldlog.rulebook's work."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property
from typing import Any

from fieldlog.model.canonical import canonical


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
    """What lamps show under one or more wirings, all connected at once.

    Parameters
    ----------
    classes : str
        One letter for each lamp: what it shows in most worlds, 0 lit, 1 dim, 2 dark, "~" where it changes.
    patterns : tuple of (str, int)
        A digit for each lamp (0 lit, 1 dim, 2 dark), and how often that pattern comes [millionths].
    """

    classes: str
    patterns: tuple[tuple[str, int], ...]


@dataclass(frozen=True)
class LoadSet:
    """How readings move under a load across one pair of contacts; pairs of contacts in the family's order.

    Parameters
    ----------
    classes : str
        One letter for each pair under load, as in MeterSet.
    steady : tuple of bool
        Whether a light load leaves the pair where it was, so that its change alone tells.
    ratio_spreads : tuple of int
        Distance between points in each pair [thousandths of the supply].
    ohms : tuple of int
        Least and most of the loop [thousandths of an ohm].
    ratios, shares : tuple of tuple of int
        A column for each pair: ratio to the supply as the current tends to nothing [thousandths], and share
        of the loop [hundredths], positive where the reading falls.
    """

    classes: str
    steady: tuple[bool, ...]
    ratio_spreads: tuple[int, ...]
    ohms: tuple[int, int]
    ratios: tuple[tuple[int, ...], ...]
    shares: tuple[tuple[int, ...], ...]


@dataclass(frozen=True)
class Variant:
    """One of the wirings that an explanation stands for.

    Parameters
    ----------
    joined : mapping
        What is joined to what, as fieldlog.engine.wiring.Wiring has it; drawings are made from it.
    sets : mapping of str to int
        Which points it shares, by instrument: "high-impedance", "low-impedance", "lamps", "load x-n" and the
        like.
    continuity : mapping of str to mapping
        By place, then "n-g" and "g-frame": "closed" or "open", with the source stopped or unplugged.
    """

    joined: Mapping[str, Any]
    sets: Mapping[str, int]
    continuity: Mapping[str, Mapping[str, str]]


@dataclass(frozen=True)
class WiringEntry:
    """One explanation of the rulebook.

    Parameters
    ----------
    id : str
        The explanation's id; unnamed ones have the joins written out.
    is_named, is_dangerous, is_decided_by_ohms : bool
        Whether it has a name, can hurt, or is a loose joint, which shows only under load.
    prior : mapping of str to float
        By kind of supply [0 to 1].
    usable : mapping of str to str
        By kind of supply: "always" or "at-pedestal".
    when_unplugged : str
        What it becomes with everything else unplugged: the id of another explanation, or "".
    variants : tuple of Variant
        Each as likely as the other.
    """

    id: str
    is_named: bool
    is_dangerous: bool
    is_decided_by_ohms: bool
    prior: Mapping[str, float]
    usable: Mapping[str, str]
    when_unplugged: str
    variants: tuple[Variant, ...]


@dataclass(frozen=True)
class Way:
    """One way in which an explanation can be: a variant of it, with the two hots as they are or swapped.

    Parameters
    ----------
    wiring, variant : int
        Places in the family's wirings and in the wiring's variants.
    is_mirrored : bool
        Whether the readings are held against it with the two hots swapped.
    """

    wiring: int
    variant: int
    is_mirrored: bool


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
    dangerous_under : frozenset of str
        Explanations under which it can hurt.
    supplies, places : tuple of str
        Where it can be made.
    done_by : str
        Which readings would make it superfluous.
    separates : mapping of (int, int) to float
        How surely it tells one explanation from an earlier one, by their places in the family [0 to 1].
    """

    id: str
    effort: float
    is_harmless: bool
    dangerous_under: frozenset[str]
    supplies: tuple[str, ...]
    places: tuple[str, ...]
    done_by: str
    separates: Mapping[tuple[int, int], float]


@dataclass(frozen=True, eq=False)
class OutletFamily:
    """Everything compiled about outlets with the same contacts.

    Parameters
    ----------
    id : str
        "three-wire" or "split-phase".
    contacts, pairs, acrosses : tuple of str
        Contacts, what a meter reads, where a load may hang.
    testers : mapping of str to tuple of str
        Lamp testers by name, with the pairs that their lamps sit between; "lamps" has one between every two.
    mirror : mapping of str to str
        What each pair becomes with the two hots swapped; empty where the outlet has one hot.
    wirings : tuple of WiringEntry
        In rulebook order, which settles ties and sums; named ones first.
    meters : mapping of str to tuple of MeterSet
        By input of the meter.
    lamps : mapping of str to tuple of LampSet
        By tester; shared by wirings.
    loads : mapping of str to tuple of LoadSet
        By the pair that the load hangs across; shared by wirings.
    tests : tuple of NextTest
        In rulebook order.
    """

    id: str
    contacts: tuple[str, ...]
    pairs: tuple[str, ...]
    acrosses: tuple[str, ...]
    testers: Mapping[str, tuple[str, ...]]
    mirror: Mapping[str, str]
    wirings: tuple[WiringEntry, ...]
    meters: Mapping[str, tuple[MeterSet, ...]]
    lamps: Mapping[str, tuple[LampSet, ...]]
    loads: Mapping[str, tuple[LoadSet, ...]]
    tests: tuple[NextTest, ...]

    @property
    def lamp_pairs(self) -> tuple[str, ...]:
        """Give every pair that a lamp may sit between."""
        return self.testers["lamps"]

    @cached_property
    def ways(self) -> tuple[Way, ...]:
        """Give every way in which explanations can be, in rulebook order; mirror images stand together."""
        mirrorings = (False, True) if self.mirror else (False,)
        return tuple(
            Way(place, variant, is_mirrored)
            for place, wiring in enumerate(self.wirings)
            for variant in range(len(wiring.variants))
            for is_mirrored in mirrorings
        )


@dataclass(frozen=True, eq=False)
class Rulebook:
    """The compiled rulebook, checked against its own id.

    Parameters
    ----------
    id : str
        "sha256:" and the hash of the canonical form of all other members.
    raw : mapping
        The JSON object as read, words included.
    families : mapping of str to OutletFamily
        By id.
    limits : mapping of str to Limit
        By id; the engine's own thresholds are among them.
    signs : mapping of str to str
        Level of each sign that a look may find.
    misread : mapping of str to tuple of float
        How often a lamp that is lit, dim or dark is noted as lit, dim, dark.
    """

    id: str
    raw: Mapping[str, Any]
    families: Mapping[str, OutletFamily]
    limits: Mapping[str, Limit]
    signs: Mapping[str, str]
    misread: Mapping[str, tuple[float, ...]]

    @cached_property
    def text(self) -> bytes:
        """Give it in its canonical form, as phones get it."""
        return canonical(self.raw)

    def family_of(self, outlet: str) -> OutletFamily:
        """Give the family of an outlet."""
        return self.families[self.raw["outlets"][outlet]["family"]]

    def limit(self, name: str) -> float:
        """Give a limit's number, in its unit."""
        return self.limits[name].value
