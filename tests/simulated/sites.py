"""One outlet with every unknown drawn at random, whatever is wrong with it."""

import random
from dataclasses import dataclass, replace

import numpy as np

THREE_WIRE = {
    "correct": "HNG",
    "dead": "DNG",
    "open-hot": "-NG",
    "open-neutral": "H-G",
    "open-ground": "HN-",
    "open-neutral-and-ground": "H--",
    "hot-neutral-reversed": "NHG",
    "hot-ground-reversed": "GNH",
    "neutral-ground-reversed": "HGN",
    "neutral-ground-bonded": "HNN",
    "reversed-with-bonded-ground": "NHH",
    "open-ground-and-reversed": "NH-",
    "open-hot-and-reversed": "-HG",
    "open-neutral-with-load": "H-G",
    "two-hots": "HXG",
    "two-hots-open-ground": "HX-",
    "same-hot-twice": "HHG",
    "ground-joined-to-hot": "HNH",
    "leaking-appliance": "HN-",
    "floating-supply": "HNG",
    "high-resistance-hot": "HNG",
    "high-resistance-neutral": "HNG",
    "neutral-lost-upstream": "HNG",
}
SPLIT_PHASE = {
    "correct": ("HXNG",),
    "dead": ("CDNG",),
    "leg-dead": ("-XNG", "H-NG", "DXNG", "HDNG"),
    "open-neutral": ("HX-G",),
    "open-ground": ("HXN-",),
    "lost-neutral": ("HXNG",),
    "same-leg": ("HHNG", "XXNG"),
    "leg-neutral-swapped": ("NXHG", "HNXG"),
    "leg-ground-swapped": ("GXNH", "HGNX"),
    "leg-ground-joined": ("HXNH", "HXNX"),
    "neutral-ground-reversed": ("HXGN",),
    "neutral-ground-bonded": ("HXNN",),
    "floating-supply": ("HXNG",),
    "high-resistance-hot": ("HXNG",),
    "high-resistance-neutral": ("HXNG",),
}
CONTACTS = {"three-wire": "hng", "split-phase": "xyng"}
GOOD_JOINT_OHMS = 0.01
USUAL_AMPS, MOST_AMPS = 8.0, 40.0
"""What neighbours draw, and what a feeder carries, own estimates."""
LEAST_FLOATING_FARADS, MOST_FLOATING_FARADS = 1.5e-9, 6e-9
LOST = ("neutral-lost-upstream", "lost-neutral")


@dataclass(frozen=True)
class Site:
    """Everything that a person at the outlet does not know; letters of `joins`: C, D dead legs, - nothing."""

    truth: str
    family: str
    supply: str
    volts: float
    other: complex
    loop_ohms: float
    loop_beside_joint_ohms: float
    neutral_share: float
    ground_ohms: float
    joint_ohms: float
    neighbour_amps: float
    stray_volts: float
    neighbour_leg: str
    neighbours_ohms: tuple[float, float]
    electrode_ohms: float
    is_lost_before_the_bond: bool
    stake_ohms: float
    farads: tuple[float, ...]
    floating_farads: tuple[float, float, float]
    load_ohms: float
    leak_ohms: float
    variant: float

    @property
    def contacts(self) -> str:
        """Name the contacts by one letter each."""
        return CONTACTS[self.family]

    @property
    def joins(self) -> str:
        """Say which wire each contact is joined to."""
        if self.family == "three-wire":
            return THREE_WIRE[self.truth]
        choices = SPLIT_PHASE[self.truth]
        return choices[int(self.variant * len(choices))]

    @property
    def loose_wire(self) -> str:
        """Name the wire with a loose joint at this outlet, if there is one."""
        if self.truth == "high-resistance-neutral":
            return "N"
        if self.truth == "high-resistance-hot":
            return "X" if self.family == "split-phase" and self.variant >= 0.5 else "H"
        return ""

    @property
    def hot_ohms(self) -> float:
        """Give the ohms of each hot conductor up to the outlet."""
        return self._loop * (1 - self.neutral_share)

    @property
    def neutral_ohms(self) -> float:
        """Give the ohms of the neutral conductor up to the outlet."""
        return self._loop * self.neutral_share

    @property
    def _loop(self) -> float:
        return self.loop_beside_joint_ohms if self.loose_wire else self.loop_ohms

    def ohms_of_loop(self, across: str) -> float:
        """Give the ohms that a load between two contacts of right wiring sees, its joints included."""
        loose_ohms = self.joint_ohms if self.loose_wire else 0.0
        both = 2 * self.hot_ohms if across == "x-y" else self.hot_ohms + self.neutral_ohms
        return both + loose_ohms + 2 * GOOD_JOINT_OHMS

    def ohms_of_loose_conductor(self) -> float:
        """Give the ohms of the conductor with the loose joint."""
        own = self.neutral_ohms if self.loose_wire == "N" else self.hot_ohms
        return own + self.joint_ohms + GOOD_JOINT_OHMS

    @property
    def is_floating(self) -> bool:
        """Tell whether no bond joins the source to ground."""
        return self.truth == "floating-supply"

    @property
    def is_neutral_lost(self) -> bool:
        """Tell whether the neutral is broken upstream of the neighbours."""
        return self.truth in LOST


def drawn_site(
    rng: random.Random,
    truth: str,
    low: float = 92.0,
    high: float = 142.0,
    *,
    family: str = "three-wire",
    supply: str = "utility",
    legs: int | None = None,
    most_lift_volts: float | None = None,
) -> Site:
    """Draw a site; capacitances evenly or evenly by ratio, at a toss; `legs` 240 or 208, or either.

    Neighbours draw up to 8 A or, on a long feeder, lift the neutral by up to `most_lift_volts`.
    """
    by_ratio = rng.random() < 0.5

    def ratio(a: float, b: float) -> float:
        return float(a * (b / a) ** rng.random())

    def spread(a: float, b: float) -> float:
        return ratio(a, b) if by_ratio else rng.uniform(a, b)

    volts = rng.uniform(low, high)
    is_240 = rng.random() < 0.67 if legs is None else legs == 240
    share, joint = rng.uniform(0.3, 0.7), ratio(0.5, 5)
    loop_ohms = rng.uniform(0.04, 1.0)
    return Site(
        truth=truth,
        family=family,
        supply=supply,
        volts=volts,
        other=complex(volts * np.exp(1j * (np.pi if is_240 else 2 * np.pi / 3))),
        loop_ohms=loop_ohms,
        loop_beside_joint_ohms=rng.uniform(0.04, _most_beside(truth, joint, share)),
        neutral_share=share,
        ground_ohms=rng.uniform(0.02, 1.0),
        joint_ohms=joint,
        neighbour_amps=_neighbour_amps(rng, loop_ohms * share, most_lift_volts),
        stray_volts=rng.uniform(-5, 5),
        neighbour_leg="X" if rng.random() < 0.3 else "H",
        neighbours_ohms=(ratio(5, 500), ratio(5, 500)),
        electrode_ohms=ratio(5, 250),
        is_lost_before_the_bond=rng.random() < 0.5,
        stake_ohms=rng.uniform(25, 2000),
        farads=tuple(spread(0.3e-9, 5e-9) for _ in range(6)),
        floating_farads=(
            spread(LEAST_FLOATING_FARADS, MOST_FLOATING_FARADS),
            spread(LEAST_FLOATING_FARADS, MOST_FLOATING_FARADS),
            spread(LEAST_FLOATING_FARADS, MOST_FLOATING_FARADS),
        ),
        load_ohms=ratio(10, 800),
        leak_ohms=spread(500, 25000),
        variant=rng.random(),
    )


def floating_as_read(site: Site, volts: dict[str, float]) -> Site:
    """Give the site as one whose source is joined to no ground, as near as it can to these readings."""
    share = volts["n-g"] / max(volts["h-g"] + volts["n-g"], 0.1)
    most = MOST_FLOATING_FARADS
    of_hot = most if share > 0.5 else most * share / (1 - share)
    of_neutral = most if share <= 0.5 else most * (1 - share) / share
    neutral_farads, hot_farads = max(LEAST_FLOATING_FARADS, of_neutral), max(LEAST_FLOATING_FARADS, of_hot)
    farads = (neutral_farads, hot_farads, hot_farads)
    return replace(site, truth="floating-supply", volts=volts["h-n"], floating_farads=farads)


def _neighbour_amps(rng: random.Random, neutral_ohms: float, most_lift_volts: float | None) -> float:
    """Give what neighbours draw [A]; what lifts a stiff neutral far is more than a feeder carries."""
    if most_lift_volts is None:
        return rng.uniform(0, USUAL_AMPS)
    return min(MOST_AMPS, rng.uniform(0, most_lift_volts) / neutral_ohms)


def _most_beside(truth: str, joint_ohms: float, neutral_share: float) -> float:
    """Give the most that the rest may be, so that the loose conductor holds three quarters of the loop."""
    own = neutral_share if truth == "high-resistance-neutral" else 1 - neutral_share
    return max(0.05, min(1.0, 0.25 * joint_ohms / (0.75 - own)))
