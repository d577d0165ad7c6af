"""The wirings an outlet may have: named ones, and those generated from single deviations."""

from dataclasses import dataclass
from itertools import product

from fieldlog.engine.circuit import EARTH, Branch, capacitor, resistor, voltage_source
from fieldlog.engine.world import World

CONTACTS = ("h", "n", "g")
JOINT_OHMS = 0.005
"""A good joint, own estimate."""


@dataclass(frozen=True)
class Wiring:
    """What each contact of a three-wire outlet is joined to.

    Parameters
    ----------
    name : str
        The explanation's id, or the joins written out for an unnamed wiring.
    joins : str
        One letter for each of the contacts h, n, g: H hot, X the other hot, N neutral, G ground, "-" nothing.
    bonded : bool
        Whether the neutral and ground contacts are joined to each other at the outlet.
    load, leak : bool
        A load hangs between hot and neutral of this circuit; an appliance leaks from hot to ground.
    floating : bool
        The source has no bond to ground.
    energised : bool
        Whether the hot conductor is live.
    loose : str
        "H" or "N" where that contact has a loose joint, "" otherwise.
    """

    name: str
    joins: str
    bonded: bool = False
    load: bool = False
    leak: bool = False
    floating: bool = False
    energised: bool = True
    loose: str = ""

    @property
    def is_named(self) -> bool:
        """Whether the trade, or this project, has a name for it."""
        return not self.name.startswith("joined-")


NAMED = (
    Wiring("correct", "HNG"),
    Wiring("dead", "HNG", energised=False),
    Wiring("open-hot", "-NG"),
    Wiring("open-neutral", "H-G"),
    Wiring("open-ground", "HN-"),
    Wiring("open-neutral-and-ground", "H--"),
    Wiring("hot-neutral-reversed", "NHG"),
    Wiring("hot-ground-reversed", "GNH"),
    Wiring("neutral-ground-reversed", "HGN"),
    Wiring("neutral-ground-bonded", "HN-", bonded=True),
    Wiring("reversed-with-bonded-ground", "NH-", bonded=True),
    Wiring("open-ground-and-reversed", "NH-"),
    Wiring("open-hot-and-reversed", "-HG"),
    Wiring("open-neutral-with-load", "H-G", load=True),
    Wiring("two-hots", "HXG"),
    Wiring("two-hots-open-ground", "HX-"),
    Wiring("same-hot-twice", "HHG"),
    Wiring("leaking-appliance", "HN-", leak=True),
    Wiring("floating-supply", "HNG", floating=True),
    Wiring("high-resistance-hot", "HNG", loose="H"),
    Wiring("high-resistance-neutral", "HNG", loose="N"),
)


def unnamed_wirings() -> list[Wiring]:
    """Give every way to join the three contacts that has no name of its own.

    Two mirror images through the other hot look alike everywhere, so only those that hold H or no hot remain.
    Ground and neutral contacts on one conductor are the bonded wirings, which have names.
    """
    taken = {w.joins for w in NAMED} | {"HNN", "NHH"}
    joins = ("".join(letters) for letters in product("HXNG-", repeat=3))
    kept = [j for j in joins if j not in taken and not ("X" in j and "H" not in j)]
    return [Wiring(f"joined-{j}", j) for j in kept]


def circuit(wiring: Wiring, world: World) -> list[Branch]:
    """Build the circuit of a wiring in one plausible world, without any instrument.

    Parameters
    ----------
    wiring : Wiring
        What is joined to what.
    world : World
        Supply volts, impedances and capacitances.

    Returns
    -------
    list of Branch
        Nodes: star (the source's neutral point), H X N G (conductors at the outlet), h n g (contacts),
        stake (an earth reference independent of the outlet).

    Notes
    -----
    Neighbours on the same run draw their current between hot and neutral at the outlet, so the neutral rises
    by current times its resistance; a negative current stands for neighbours on the other leg. The ground
    conductor carries nothing. Where a contact is open, each pair of contacts has a capacitance.
    """
    return [*_source(wiring, world), *_outlet(wiring, world)]


def _source(wiring: Wiring, world: World) -> list[Branch]:
    hot_ohms = world.loop_ohms * (1.0 - world.neutral_share)
    neutral_ohms = world.loop_ohms * world.neutral_share
    earthing = (
        [
            capacitor("star", EARTH, world.neutral_to_ground_farads),
            capacitor("H", EARTH, world.hot_to_ground_farads),
        ]
        if wiring.floating
        else [resistor("star", EARTH, 0.001)]
    )
    hot = [voltage_source("star", "H", world.volts, hot_ohms)] if wiring.energised else []
    return [
        *earthing,
        *hot,
        voltage_source("star", "X", world.other_hot, hot_ohms),
        resistor("star", "N", neutral_ohms),
        Branch("H" if wiring.energised else "X", "N", 0j, complex(world.neighbour_amps)),
        resistor(EARTH, "G", world.ground_ohms),
        resistor(EARTH, "stake", world.stake_ohms),
    ]


def _outlet(wiring: Wiring, world: World) -> list[Branch]:
    parts = [
        resistor(joined, contact, world.joint_ohms if joined == wiring.loose else JOINT_OHMS)
        for joined, contact in zip(wiring.joins, CONTACTS, strict=True)
        if joined != "-"
    ]
    if "-" in wiring.joins or not wiring.energised:
        parts += [
            capacitor("h", "n", world.hot_neutral_farads),
            capacitor("h", "g", world.hot_ground_farads),
            capacitor("n", "g", world.neutral_ground_farads),
        ]
    if wiring.bonded:
        parts.append(resistor("n", "g", JOINT_OHMS))
    if wiring.load:
        parts.append(resistor("h", "n", world.load_ohms))
    if wiring.leak:
        parts.append(resistor("h", "g", world.leak_ohms))
    return parts
