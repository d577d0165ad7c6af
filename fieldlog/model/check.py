"""One outlet as it was read: the input of the judgement."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

LAMP_STATES = ("lit", "dim", "dark")
SUPPLIES = ("utility", "generator", "inverter")
PLACES = ("pedestal", "rig")
METER_INPUTS = ("high-impedance", "low-impedance")
METER_RMS = ("true", "average")
STATES = ("as-found", "unplugged", "breaker-off")
CONTINUITIES = ("n-g", "g-frame")
MOST_ADAPTERS = 4
"""Adapters one behind the other, own choice."""
MOST_SETS = 20
"""Further sets of one outlet, own choice."""
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
    rms : str
        "true", or "average" for one that only averages and is misled by waves that are no sine.
    """

    input: str = "high-impedance"
    accuracy_percent: float = 1.0
    accuracy_volts: float = 0.3
    rms: str = "true"


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
class LoadTest:
    """Readings while a load ran.

    Parameters
    ----------
    across : str
        The pair of contacts that the load hangs across.
    amps, amps_percent : float
        Its current [A, above 0 to 100] and how well that is known [%, 0 to 20].
    volts : mapping of str to float
        RMS volts [V] by pair, with the meter of the set.
    after : mapping of str to float
        The same pairs once more with the load off again [V].
    """

    across: str
    amps: float
    amps_percent: float = 5.0
    volts: Mapping[str, float] = field(default_factory=dict[str, float])
    after: Mapping[str, float] = field(default_factory=dict[str, float])


@dataclass(frozen=True)
class ReadingSet:
    """What one meter and one lamp tester showed while nothing was changed.

    Parameters
    ----------
    state : str
        "as-found", "unplugged" (everything else on the circuit) or "breaker-off".
    meter : Meter
        What the volts were read with.
    volts : mapping of str to float
        RMS volts [V] by pair of contacts.
    lamps : mapping of str to str
        "lit", "dim" or "dark" by pair of contacts.
    loaded : LoadTest or None
        The same pairs under a load.
    """

    state: str = "as-found"
    meter: Meter = field(default_factory=Meter)
    volts: Mapping[str, float] = field(default_factory=dict[str, float])
    lamps: Mapping[str, str] = field(default_factory=dict[str, str])
    loaded: LoadTest | None = None

    def without_load(self, pair: str) -> float | None:
        """Give a pair's volts without the load [V]: the mean of before and after where both were read."""
        before = self.volts.get(pair)
        after = None if self.loaded is None else self.loaded.after.get(pair)
        if before is None or after is None:
            return after if before is None else before
        return (before + after) / 2.0


@dataclass(frozen=True)
class Check:
    """Everything that was read or seen at one outlet.

    Parameters
    ----------
    outlet, supply, where : str
        Kind of outlet, kind of supply, "pedestal" or "rig".
    breaker_amps, hertz : float or None
        Number on the breaker [A]; frequency [Hz].
    sets : tuple of ReadingSet
        The first set and further ones of the same outlet, judged together.
    continuity : mapping of str to str
        "open" or "closed" for n-g and g-frame, with the source stopped or unplugged.
    detector : mapping of str to bool
        What a non-contact detector told near a contact or the rig's skin.
    trip : tuple of Trip
        Trip tests.
    has_no_button : bool
        Whether a ground-fault device's button was looked for and none found.
    via : tuple of str
        Adapters between the pedestal and the reading, from the pedestal on, such as "14-50-to-TT-30".
    look : tuple of str or None
        Signs seen; empty when looked and nothing seen, None when not looked.
    """

    outlet: str
    supply: str = "utility"
    where: str = "pedestal"
    breaker_amps: float | None = None
    hertz: float | None = None
    sets: tuple[ReadingSet, ...] = (ReadingSet(),)
    continuity: Mapping[str, str] = field(default_factory=dict[str, str])
    detector: Mapping[str, bool] = field(default_factory=dict[str, bool])
    trip: tuple[Trip, ...] = ()
    has_no_button: bool = False
    via: tuple[str, ...] = ()
    look: tuple[str, ...] | None = None

    @cached_property
    def live_sets(self) -> tuple[ReadingSet, ...]:
        """Give the sets that were read with the breaker on."""
        return tuple(one for one in self.sets if one.state != "breaker-off")
