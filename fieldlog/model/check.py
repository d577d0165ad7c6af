"""One outlet as it was read: the input of the judgement."""

from collections.abc import Mapping
from dataclasses import dataclass, field

PAIRS = ("h-n", "h-g", "n-g", "h-e", "n-e", "g-e")
LAMP_PAIRS = ("h-n", "h-g", "n-g")
LAMP_STATES = ("lit", "dim", "dark")
SUPPLIES = ("utility", "generator", "inverter")
PLACES = ("pedestal", "rig")
METER_INPUTS = ("high-impedance", "low-impedance")
SIGNS = (
    "burned",
    "wet",
    "warm",
    "buzzing",
    "tingle",
    "breaker-will-not-hold",
    "cracked",
    "loose",
    "cover-missing",
)


@dataclass(frozen=True)
class Meter:
    """A voltmeter.

    Parameters
    ----------
    input : str
        "high-impedance" or "low-impedance".
    accuracy_percent : float
        Of the reading [%, 0 to 20].
    accuracy_volts : float
        Digits, as volts [V, 0 to 20].
    """

    input: str = "high-impedance"
    accuracy_percent: float = 1.0
    accuracy_volts: float = 0.3


@dataclass(frozen=True)
class Trip:
    """One trip test of a ground-fault device; None stands for what was not tested.

    Parameters
    ----------
    by : str
        "button" or "external".
    device : str
        "this" outlet's or one "upstream".
    tripped, face_dead, reset : bool or None
        Whether it tripped, its own face went dead, it reset and held.
    milliseconds : float or None
        Time to trip [ms].
    milliamps : float or None
        Fault current [mA].
    """

    by: str
    device: str = "this"
    tripped: bool | None = None
    face_dead: bool | None = None
    reset: bool | None = None
    milliseconds: float | None = None
    milliamps: float | None = None


@dataclass(frozen=True)
class Check:
    """Everything that was read or seen at one outlet.

    Parameters
    ----------
    outlet, supply, where : str
        Kind of outlet, kind of supply, "pedestal" or "rig".
    breaker_amps, hertz : float or None
        Number on the breaker [A]; frequency [Hz].
    meter : Meter
        What the volts were read with.
    volts : mapping of str to float
        RMS volts [V] by pair of contacts.
    lamps : mapping of str to str
        "lit", "dim" or "dark" by pair of contacts.
    is_ground_on_frame : bool or None
        Whether ground and the source's frame are joined, by continuity with the source stopped.
    near : mapping of str to bool
        What a non-contact detector told near h, n, g or the rig's skin.
    trip : tuple of Trip
        Trip tests.
    look : tuple of str or None
        Signs seen; empty when looked and nothing seen, None when not looked.
    """

    outlet: str
    supply: str = "utility"
    where: str = "pedestal"
    breaker_amps: float | None = None
    hertz: float | None = None
    meter: Meter = field(default_factory=Meter)
    volts: Mapping[str, float] = field(default_factory=dict[str, float])
    lamps: Mapping[str, str] = field(default_factory=dict[str, str])
    is_ground_on_frame: bool | None = None
    near: Mapping[str, bool] = field(default_factory=dict[str, bool])
    trip: tuple[Trip, ...] = ()
    look: tuple[str, ...] | None = None
