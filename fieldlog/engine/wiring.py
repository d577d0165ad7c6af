"""One wiring of an outlet, and the circuit it makes with its source."""

from dataclasses import dataclass

from fieldlog.engine.circuit import EARTH, Branch, capacitor, resistor, voltage_source
from fieldlog.engine.world import World
from fieldlog.model.contacts import SPLIT_PHASE, THREE_WIRE

_FOUR = len(SPLIT_PHASE.contacts)
JOINT_OHMS = 0.005
"""A good joint, own estimate."""
LOOP_BESIDE_LOOSE_JOINT = 0.55
"""Most that the rest of the loop may be of a joint, whose conductor then holds three quarters of it all."""
CAPACITANCES = {
    ("h", "n"): "hot_neutral_farads",
    ("h", "g"): "hot_ground_farads",
    ("x", "n"): "hot_neutral_farads",
    ("x", "g"): "hot_ground_farads",
    ("y", "n"): "other_neutral_farads",
    ("y", "g"): "other_ground_farads",
    ("x", "y"): "hot_other_farads",
    ("n", "g"): "neutral_ground_farads",
}


@dataclass(frozen=True)
class Wiring:
    """What each contact of an outlet is joined to.

    Parameters
    ----------
    joins : str
        One letter for each of the contacts h, n, g, or x, y, n, g: H hot, X the other hot, N neutral, G
        ground, D a dead leg on which only neighbours hang, "-" nothing.
    bonded : bool
        Whether the neutral and ground contacts are joined to each other at the outlet.
    load, leak : bool
        A load hangs between hot and neutral of this circuit; an appliance leaks from hot to ground.
    floating : bool
        The source has no bond to ground.
    energised : bool
        Whether the hot conductors are live.
    loose : str
        "H", "X" or "N" where that conductor has a loose joint, "" otherwise.
    lost_neutral : str
        "source" where the neutral is broken between the source's bond and here, "service" where it is broken
        before that bond, so that ground goes with it; "" otherwise.
    """

    joins: str
    bonded: bool = False
    load: bool = False
    leak: bool = False
    floating: bool = False
    energised: bool = True
    loose: str = ""
    lost_neutral: str = ""

    @property
    def contacts(self) -> tuple[str, ...]:
        """Name the contacts, in the order of `joins`."""
        return (SPLIT_PHASE if len(self.joins) == _FOUR else THREE_WIRE).contacts


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
        Nodes: star (the source's neutral point), H X N G (conductors at the outlet), h n g or x y n g
        (contacts), stake (an earth reference independent of the outlet).

    Notes
    -----
    Neighbours on the same run draw their current between one hot and the neutral, so the neutral is lifted
    towards that hot, and the hot falls by as much where its resistance is no less than the neutral's. Soil
    may lie at some volts against the ground at the source. The ground conductor carries nothing. Where a
    contact is open, each pair of contacts has a capacitance. Behind a lost neutral the neighbours of both
    legs divide the volts between the legs.
    """
    return [*_source(wiring, world), *_ground(wiring, world), *_outlet(wiring, world)]


def _source(wiring: Wiring, world: World) -> list[Branch]:
    loop_ohms = world.loop_ohms
    if wiring.loose:
        loop_ohms = min(loop_ohms, LOOP_BESIDE_LOOSE_JOINT * world.joint_ohms)
    hot_ohms = loop_ohms * (1.0 - world.neutral_share)
    neutral_ohms = loop_ohms * world.neutral_share
    is_split = len(wiring.joins) == _FOUR
    branches = [voltage_source("star", "H", world.volts, hot_ohms)] if wiring.energised else []
    if wiring.energised or not is_split:
        branches.append(voltage_source("star", "X", world.other_hot, hot_ohms))
    if wiring.lost_neutral:
        return [*branches, *_neighbours_across(world)]
    branches.append(resistor("star", "N", neutral_ohms))
    if "D" in wiring.joins:
        branches.append(resistor("N", "D", world.hot_neighbours_ohms))
    if wiring.energised or not is_split:
        on_other = world.is_other_leg or not wiring.energised
        branches += _neighbours_on("X" if on_other else "H", hot_ohms, neutral_ohms, world)
    return branches


def _neighbours_on(hot: str, hot_ohms: float, neutral_ohms: float, world: World) -> list[Branch]:
    """Lift the neutral towards a hot that neighbours load, and let that hot fall."""
    lift_volts = world.neutral_lift_volts * (world.other_hot / world.volts if hot == "X" else complex(1.0))
    return [
        Branch("star", "N", 0j, lift_volts / neutral_ohms),
        Branch(hot, "star", 0j, lift_volts / max(hot_ohms, neutral_ohms)),
    ]


def _neighbours_across(world: World) -> list[Branch]:
    return [resistor("H", "N", world.hot_neighbours_ohms), resistor("X", "N", world.other_neighbours_ohms)]


def _ground(wiring: Wiring, world: World) -> list[Branch]:
    stake = voltage_source(EARTH, "stake", world.stray_volts, world.stake_ohms)
    if wiring.floating:
        return [stake, resistor(EARTH, "G", world.ground_ohms), *_floating_capacitances(wiring, world)]
    star = resistor("star", EARTH, 0.001)
    if wiring.lost_neutral == "service":
        return [
            stake,
            star,
            resistor(EARTH, "service", world.electrode_ohms),
            resistor("service", "N", JOINT_OHMS),
            resistor("service", "G", world.ground_ohms),
        ]
    return [stake, star, resistor(EARTH, "G", world.ground_ohms)]


def _floating_capacitances(wiring: Wiring, world: World) -> list[Branch]:
    legs = [
        capacitor("star", EARTH, world.neutral_to_ground_farads),
        capacitor("H", EARTH, world.hot_to_ground_farads),
    ]
    if len(wiring.joins) == _FOUR:
        legs.append(capacitor("X", EARTH, world.other_to_ground_farads))
    return legs


def _outlet(wiring: Wiring, world: World) -> list[Branch]:
    contacts = wiring.contacts
    parts = [
        resistor(joined, contact, world.joint_ohms if joined == wiring.loose else JOINT_OHMS)
        for joined, contact in zip(wiring.joins, contacts, strict=True)
        if joined != "-"
    ]
    if "-" in wiring.joins or not wiring.energised:
        parts += [
            capacitor(one, two, getattr(world, CAPACITANCES[one, two]))
            for place, one in enumerate(contacts)
            for two in contacts[place + 1 :]
        ]
    hot = contacts[0]
    if wiring.bonded:
        parts.append(resistor("n", "g", JOINT_OHMS))
    if wiring.load:
        parts.append(resistor(hot, "n", world.load_ohms))
    if wiring.leak:
        parts.append(resistor(hot, "g", world.leak_ohms))
    return parts
