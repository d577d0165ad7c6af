"""A supply, the cords from it to the rig, and what is to run there."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Cord:
    """A cord of hot, neutral and ground.

    Parameters
    ----------
    awg : int
        Gauge of its wires [AWG].
    feet : float
        Its length, one way [ft].
    contacts_ohms : float
        What plug and outlet at each of its ends add, hot and neutral together [ohm].
    """

    awg: int
    feet: float
    contacts_ohms: float


@dataclass(frozen=True)
class Load:
    """Something that is to run.

    Parameters
    ----------
    name : str
        What its owner calls it.
    watts : float
        What it takes of a battery at its rated volts [W].
    amps : float
        What it draws at its rated volts [A].
    rated_volts : float
        On its plate [V].
    kind : str
        "resistive" draws in proportion to the volts; "motor" and "electronic" draw more as they fall.
    is_continuous : bool
        Whether it runs for three hours or more.
    start_multiple : float or None
        How many times its running current it draws for a moment when it is switched on; None where nothing
        is known of that and it is no motor.
    priority : int
        1 is what is given up last.
    hours : float or None
        For how long it is to run [h].
    within : tuple of int
        Numbers of the branches that it hangs on.
    leg : str
        Of a supply with two hots: "x", "y", or "both" where it hangs between them.
    wire : int
        Number of the wire at whose end it hangs; -1 at the panel.
    """

    name: str
    watts: float
    amps: float
    rated_volts: float
    kind: str
    is_continuous: bool
    start_multiple: float | None
    priority: int
    hours: float | None
    within: tuple[int, ...] = ()
    leg: str = "x"
    wire: int = -1

    @property
    def is_motor(self) -> bool:
        """Say whether it has to start."""
        return self.kind == "motor"

    @property
    def siemens(self) -> float:
        """Its conductance [S]; 0 where its power stays the same."""
        return self.amps / self.rated_volts if self.kind == "resistive" else 0.0

    @property
    def steady_watts(self) -> float:
        """What it draws whatever the volts [VA]; 0 where it is a resistance."""
        return 0.0 if self.kind == "resistive" else self.amps * self.rated_volts

    @property
    def start_amps(self) -> float | None:
        """What it draws for a moment when it is switched on [A], None where that is not known."""
        return None if self.start_multiple is None else self.start_multiple * self.amps

    def amps_at(self, volts: float) -> float:
        """Give what it draws at some volts [A]."""
        return volts * self.siemens if self.kind == "resistive" else self.steady_watts / volts


@dataclass(frozen=True)
class Battery:
    """A battery with its inverter.

    Parameters
    ----------
    watt_hours : float
        What it holds when full [Wh].
    usable : float
        The share of it that may be taken.
    efficiency : float
        The share of what is taken that the inverter gives.
    idle_watts : float
        What the inverter takes by itself [W].
    inverter_watts : float
        What it gives at most, for hours [W].
    """

    watt_hours: float
    usable: float
    efficiency: float
    idle_watts: float
    inverter_watts: float

    @property
    def usable_watt_hours(self) -> float:
        """What may be taken of it [Wh]."""
        return self.watt_hours * self.usable


@dataclass(frozen=True)
class Branch:
    """Something inside the rig that carries only some of the loads: a breaker, a wire, a strip.

    Parameters
    ----------
    name : str
        What its owner calls it.
    amps : float
        Its rating [A].
    """

    name: str
    amps: float


@dataclass(frozen=True)
class Wire:
    """A wire inside the rig whose ohms count.

    Parameters
    ----------
    ohms : float
        There and back [ohm].
    amps : float
        Rating of its branch [A].
    parent : int
        Number of the wire that it begins at, which is less than its own; -1 at the panel.
    leg : str
        That of its loads: "x", "y" or "both".
    """

    ohms: float
    amps: float
    parent: int
    leg: str


@dataclass(frozen=True)
class Legs:
    """The second hot of a supply with two.

    Parameters
    ----------
    volts_y : float
        From the second hot to neutral with nothing on [V].
    factor : float
        Volts between the hots over those of one: 2 on 120/240 V, the root of 3 on 120/208 V.
    cosine : float
        Of the angle between them: -1 where they are opposed, -0.5 where they are two of three phases.
    """

    volts_y: float
    factor: float
    cosine: float


@dataclass(frozen=True)
class Supply:
    """What feeds the rig, up to its panel, and the branches behind that.

    Parameters
    ----------
    kind : str
        "utility", "generator" or "inverter".
    volts : float
        With nothing on [V].
    source_ohms : float
        Of the loop up to the outlet [ohm].
    breaker_amps, receptacle_amps, limit_amps : float or None
        Ratings of its breaker and outlet, and a further limit that the person sets [A].
    cords : tuple of Cord
        From the outlet to the rig.
    battery : Battery or None
        Where it is one.
    branches : tuple of Branch
        Inside the rig.
    wires : tuple of Wire
        Inside the rig, where their ohms are known.
    legs : Legs or None
        Where it has two hots; `volts` is then that of leg x.
    """

    kind: str
    volts: float
    source_ohms: float
    breaker_amps: float | None
    receptacle_amps: float | None
    limit_amps: float | None
    cords: tuple[Cord, ...]
    battery: Battery | None
    branches: tuple[Branch, ...] = ()
    wires: tuple[Wire, ...] = ()
    legs: Legs | None = None
