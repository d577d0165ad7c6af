"""Made from schemas/book by deploy/javascript/kinds.mjs; not edited by hand."""

from collections.abc import Mapping, Sequence
from typing import Final, Literal, NotRequired, TypedDict

from fieldlog.model.kind_of import KindOf
from fieldlog.model.shapes import Check, Judgement, OutletType, Place, Ready, RigPart, RigRun


class BodyArrivalCheck(TypedDict):
    """The body of a record of the kind arrival-check."""

    place: Place
    check: Check
    ready: Ready
    not_tested: Sequence[str]
    judgement: Judgement


class BodyOutletTest(TypedDict):
    """The body of a record of the kind outlet-test."""

    check: Check
    ready: Ready
    not_tested: Sequence[str]
    judgement: Judgement


class BodyPlugInSkin(TypedDict):
    """How the rig's skin was tried, or null."""

    by: Literal["meter", "detector"]
    detected: NotRequired[bool]
    volts: NotRequired[str]
    low_impedance: NotRequired[str]
    earth_proved: NotRequired[bool]


class BodyPlugInJudgement(TypedDict):
    """What was judged where the record was made."""

    level: Literal["stop", "limit", "note", "none", "not-tested"]
    rulebook: str


class BodyPlugIn(TypedDict):
    """The body of a record of the kind plug-in."""

    skin: BodyPlugInSkin | None
    inside: str | None
    tingle: bool
    not_tested: Sequence[Literal["skin", "inside"]]
    judgement: BodyPlugInJudgement


class BodyTripTest(TypedDict):
    """The body of a record of the kind trip-test."""

    by: Literal["button", "external", "hand"]
    tripped: bool | None
    face_dead: bool | None
    reset: bool | None
    milliseconds: NotRequired[str]
    milliamps: NotRequired[str]
    dead: Sequence[str]
    live: Sequence[str]
    not_tested: Sequence[str]
    mode: NotRequired[str | None]


class BodyRig(TypedDict):
    """The body of a record of the kind rig."""

    name: str
    outlet: OutletType
    note: str
    assured_months: NotRequired[Literal[3, 6] | None]
    season_starts: NotRequired[str | None]
    assured_by: NotRequired[str]
    plate_ends: NotRequired[str]
    year: NotRequired[str]
    papers: NotRequired[str]
    tested_with: NotRequired[str]


class BodyOutlet(TypedDict):
    """The body of a record of the kind outlet."""

    name: str
    outlet: OutletType
    guard: str | None
    note: str


class BodyDevice(TypedDict):
    """The body of a record of the kind device."""

    name: str
    type: Literal[
        "gfci-receptacle",
        "gfci-breaker",
        "cord-gfci",
        "breaker",
        "cord-set",
        "extension",
        "adapter",
    ]
    installed: str | None
    made: NotRequired[str | None]
    number: NotRequired[str]
    hots: NotRequired[Literal[1, 2]]
    fixed: NotRequired[bool]
    retired: NotRequired[bool]
    marked: NotRequired[str]
    note: str


class BodyInstrumentLamps(TypedDict):
    """What it holds."""

    called: str
    pair: Literal["h-n", "h-g", "n-g", "x-y", "x-n", "y-n", "x-g", "y-g"]


class BodyInstrument(TypedDict):
    """The body of a record of the kind instrument."""

    type: Literal["lamp-tester", "meter"]
    name: str
    input: NotRequired[Literal["high-impedance", "low-impedance"]]
    accuracy_percent: NotRequired[str]
    accuracy_volts: NotRequired[str]
    category: NotRequired[str | None]
    lamps: NotRequired[Sequence[BodyInstrumentLamps]]


class BodyPhoto(TypedDict):
    """The body of a record of the kind photo."""

    hash: str
    bytes: int
    type: Literal["image/jpeg", "image/png", "image/webp"]
    width: int
    height: int
    what: str


class BodyRigMapModes(TypedDict):
    """A mode."""

    without: Sequence[int]


class BodyRigMap(TypedDict):
    """The body of a record of the kind rig-map."""

    parts: Sequence[RigPart]
    runs: Sequence[RigRun]
    modes: Mapping[str, BodyRigMapModes]


class BodyChange(TypedDict):
    """The body of a record of the kind change."""

    what: str
    why: str
    parts: Sequence[str]
    map: str | None
    wire: str
    device: str


class BodyProof(TypedDict):
    """The body of a record of the kind proof."""

    step: str
    part: str | None
    pair: Literal["h-n", "h-g", "n-g", "x-y", "x-n", "y-n", "x-g", "y-g"] | None
    outcome: Literal["good", "bad"] | None
    value: str | None
    unit: Literal["V", "ohm", "Mohm", "ms"] | None
    record: str | None
    note: str


class BodyLook(TypedDict):
    """The body of a record of the kind look."""

    of: Literal["outlet", "cord", "inlet", "alarms", "skin", "surge", "set", "set-look"]
    points: Mapping[str, Literal["good", "bad"]]
    not_tested: Sequence[str]
    note: str
    volts: NotRequired[str]
    ohms: NotRequired[str]
    ends: NotRequired[Mapping[str, str]]


class BodyRoundSteps(TypedDict):
    """A step of the round."""

    what: Literal["device", "outlet", "look"]
    subject: str | None
    of: Literal["cord", "inlet", "alarms", "skin", "surge", "set", "set-look"] | None
    record: str | None
    skipped: bool
    why: str


class BodyRound(TypedDict):
    """The body of a record of the kind round."""

    started_at: str
    steps: Sequence[BodyRoundSteps]


class BodyHandOver(TypedDict):
    """The body of a record of the kind hand-over."""

    count: int
    head: str


class BodyIncident(TypedDict):
    """The body of a record of the kind incident."""

    what: Literal["shock", "burned", "water", "overvoltage", "pull", "trips", "none"]
    at: Literal["thing", "cord", "rig"]
    note: str


class BodyPlanCords(TypedDict):
    """A cord."""

    awg: Literal[18, 16, 14, 12, 10, 8, 6]
    feet: float


class BodyPlanLoads(TypedDict):
    """A load."""

    name: str
    watts: float
    leg: NotRequired[Literal["x", "y", "both"]]


class BodyPlanPlanned(TypedDict):
    """What was worked out for the rig, with all of it on."""

    volts: str
    least: str
    most: str
    amps: str
    fits: bool


class BodyPlanRead(TypedDict):
    """What was read later at the rig, and at the outlet under the same load, or null."""

    volts: str
    amps: str
    outlet: str | None


class BodyPlanSecondPlanned(TypedDict):
    """What was worked out for leg Y, and the amps of the neutral."""

    volts: str
    least: str
    most: str
    amps: str
    neutral: str


class BodyPlanSecondRead(TypedDict):
    """What was read later on leg Y, or null."""

    volts: str
    amps: str
    outlet: str | None


class BodyPlanSecond(TypedDict):
    """Of a supply with two hots: leg Y, all else being of leg X; left out where one is planned."""

    open: str
    between: str | None
    planned: BodyPlanSecondPlanned
    read: BodyPlanSecondRead | None


class BodyPlan(TypedDict):
    """The body of a record of the kind plan."""

    supply: Literal["utility", "generator", "inverter"]
    open: str
    is_read: bool
    loop_ohms: float
    loop_spread: float
    cords: Sequence[BodyPlanCords]
    cord_ohms: float
    loads: Sequence[BodyPlanLoads]
    off: Sequence[str]
    planned: BodyPlanPlanned
    read: BodyPlanRead | None
    second: NotRequired[BodyPlanSecond]
    note: str


class BodySiteNote(TypedDict):
    """The body of a record of the kind site-note."""

    place: Place
    note: str


ARRIVAL_CHECK: Final[KindOf[BodyArrivalCheck]] = KindOf("arrival-check")
OUTLET_TEST: Final[KindOf[BodyOutletTest]] = KindOf("outlet-test")
PLUG_IN: Final[KindOf[BodyPlugIn]] = KindOf("plug-in")
TRIP_TEST: Final[KindOf[BodyTripTest]] = KindOf("trip-test")
RIG: Final[KindOf[BodyRig]] = KindOf("rig")
OUTLET: Final[KindOf[BodyOutlet]] = KindOf("outlet")
DEVICE: Final[KindOf[BodyDevice]] = KindOf("device")
INSTRUMENT: Final[KindOf[BodyInstrument]] = KindOf("instrument")
PHOTO: Final[KindOf[BodyPhoto]] = KindOf("photo")
RIG_MAP: Final[KindOf[BodyRigMap]] = KindOf("rig-map")
CHANGE: Final[KindOf[BodyChange]] = KindOf("change")
PROOF: Final[KindOf[BodyProof]] = KindOf("proof")
LOOK: Final[KindOf[BodyLook]] = KindOf("look")
ROUND: Final[KindOf[BodyRound]] = KindOf("round")
HAND_OVER: Final[KindOf[BodyHandOver]] = KindOf("hand-over")
INCIDENT: Final[KindOf[BodyIncident]] = KindOf("incident")
PLAN: Final[KindOf[BodyPlan]] = KindOf("plan")
SITE_NOTE: Final[KindOf[BodySiteNote]] = KindOf("site-note")
