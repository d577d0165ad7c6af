"""Made from schemas/book by deploy/javascript/kinds.mjs; not edited by hand."""

from collections.abc import Mapping, Sequence
from typing import Literal, NotRequired, TypedDict

OutletType = Literal["5-15", "5-20", "TT-30", "14-50"]
Pair = Literal["h-n", "h-g", "n-g", "h-e", "n-e", "g-e", "x-y", "x-n", "y-n", "x-g", "y-g", "x-e", "y-e"]


class Meter(TypedDict):
    """The meter's input and accuracy."""

    input: NotRequired[Literal["high-impedance", "low-impedance"]]
    accuracy_percent: NotRequired[str]
    accuracy_volts: NotRequired[str]
    rms: NotRequired[Literal["true", "average"]]


class Loaded(TypedDict):
    """Readings with a load on."""

    across: NotRequired[Pair]
    amps: str
    amps_percent: NotRequired[str]
    volts: NotRequired[Mapping[str, str]]
    after: NotRequired[Mapping[str, str]]


class More(TypedDict):
    """A further set of readings."""

    state: NotRequired[Literal["as-found", "unplugged", "breaker-off"]]
    meter: NotRequired[Meter]
    volts: NotRequired[Mapping[str, str]]
    lamps: NotRequired[Mapping[str, Literal["lit", "dim", "dark"]]]
    loaded: NotRequired[Loaded]


class Pressed(TypedDict):
    """One press of TEST."""

    by: Literal["button", "external"]
    device: NotRequired[Literal["this", "upstream"]]
    tripped: NotRequired[bool]
    face_dead: NotRequired[bool]
    reset: NotRequired[bool]
    milliseconds: NotRequired[str]
    milliamps: NotRequired[str]


class Check(TypedDict):
    """What was read at the outlet."""

    outlet: OutletType
    supply: NotRequired[Literal["utility", "generator", "inverter"]]
    where: NotRequired[Literal["pedestal", "rig"]]
    breaker_amps: NotRequired[str]
    hertz: NotRequired[str]
    via: NotRequired[Sequence[str]]
    meter: NotRequired[Meter]
    volts: NotRequired[Mapping[str, str]]
    lamps: NotRequired[Mapping[str, Literal["lit", "dim", "dark"]]]
    loaded: NotRequired[Loaded]
    more: NotRequired[Sequence[More]]
    continuity: NotRequired[Mapping[str, Literal["open", "closed"]]]
    near: NotRequired[Mapping[str, bool]]
    trip: NotRequired[Sequence[Pressed]]
    look: NotRequired[Sequence[str]]


class Ready(TypedDict):
    """What was made sure of before measuring."""

    dry: bool
    meter_proved: bool
    category: str | None


class Judgement(TypedDict):
    """What was judged where the record was made."""

    verdict: Literal["use", "use-limited", "test-more", "do-not-use"]
    rulebook: str
    first: str | None


class Place(TypedDict):
    """Where it was."""

    park: str
    site: str


class RigPart(TypedDict):
    """A part of the rig."""

    id: str
    kind: Literal[
        "supply",
        "cord-gfci",
        "inlet",
        "breaker",
        "junction",
        "receptacle",
        "gfci-receptacle",
        "strip",
        "appliance",
        "inverter",
        "relay",
    ]
    name: str
    amps: NotRequired[float | None]
    gfci: NotRequired[bool]
    outlet_type: NotRequired[Literal["5-15", "5-20", "TT-30", "14-50"] | None]
    outlet: NotRequired[str | None]
    device: NotRequired[str | None]
    where: NotRequired[Sequence[str]]
    bonded: NotRequired[bool]
    watts: NotRequired[float | None]
    continuous: NotRequired[bool]
    leg: NotRequired[Literal["x", "y", "both"] | None]
    shares_neutral: NotRequired[str | None]
    tied: NotRequired[bool | None]
    note: NotRequired[str]


RigRun = TypedDict(
    "RigRun",
    {
        "from": str,
        "to": str,
        "from_side": NotRequired[Literal["line", "load"]],
        "awg": NotRequired[Literal[18, 16, 14, 12, 10, 8, 6, 4, 2] | None],
        "cord": NotRequired[Literal["listed", "field-made"] | None],
        "feet": NotRequired[float | None],
    },
)
