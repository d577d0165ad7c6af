"""The map of a rig's wiring: parts, the runs between them, modes, and what was seen when a device tripped."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from fieldlog.model.part_kinds import OUTLETS, TWO_SIDED

MOST_PARTS = 500
"""Parts of one map, own choice."""


@dataclass(frozen=True)
class MapPart:
    """One thing on the map.

    Parameters
    ----------
    id : str
        Its name on the map; no two parts share one.
    kind : str
        One of part_kinds.KINDS.
    amps : float or None
        Rating [A, above 0 to 100]; None where it is not known.
    gfci : bool
        Whether a breaker is a ground-fault device as well.
    where : tuple of str
        "outside", "near-water": where common practice wants a guard.
    bonded : bool
        Whether neutral and ground are joined here.
    name : str
        What the owner calls it; "" where it has no other name.
    watts : float or None
        What an appliance draws [W, above 0 to 12000]; None where it is not known.
    continuous : bool
        Whether an appliance runs for three hours and more.
    leg : str or None
        On which hot of its supply a breaker is, one of part_kinds.LEGS; None where it is not known.
    shares_neutral : str or None
        Id of the breaker whose circuit has the same neutral.
    tied : bool or None
        Whether the handles of these two are tied, so that they open together; None where it is not known.
    """

    id: str
    kind: str
    amps: float | None = None
    gfci: bool = False
    where: tuple[str, ...] = ()
    bonded: bool = False
    name: str = ""
    watts: float | None = None
    continuous: bool = False
    leg: str | None = None
    shares_neutral: str | None = None
    tied: bool | None = None

    @property
    def is_outlet(self) -> bool:
        """Whether a person can touch it or plug into it."""
        return self.kind in OUTLETS

    @property
    def is_guard(self) -> bool:
        """Whether it trips on a ground fault."""
        return self.kind in TWO_SIDED or (self.kind == "breaker" and self.gfci)


@dataclass(frozen=True)
class Run:
    """A piece of wire from one part to the line side of the next.

    Parameters
    ----------
    start, end : str
        Ids of the parts.
    side : str
        "line" shares the feed of the part it leaves, "load" lies beyond it.
    awg : int or None
        Gauge [AWG]; None where it is not known.
    feet : float or None
        Length [ft].
    cord : str or None
        What sort of cord set it is, one of part_kinds.CORDS; None for fixed wire, or where it is not known.
    """

    start: str
    end: str
    side: str = "line"
    awg: int | None = None
    feet: float | None = None
    cord: str | None = None


@dataclass(frozen=True)
class MapTrip:
    """A device that tripped or was opened, and what was seen.

    Parameters
    ----------
    device : str
        Id of the device.
    by : str
        "button", "external", or "hand" for a breaker.
    dead, live : tuple of str
        Ids of the parts that went dead, and of those that stayed live.
    mode : str or None
        The mode the rig was in; None where nobody said.
    """

    device: str
    by: str = "button"
    dead: tuple[str, ...] = ()
    live: tuple[str, ...] = ()
    mode: str | None = None


@dataclass(frozen=True)
class RigMap:
    """A rig's wiring as the owner notes it.

    Parameters
    ----------
    parts : tuple of MapPart
        In the owner's order.
    runs : tuple of Run
        Numbered from 0.
    trips : tuple of MapTrip
        Numbered from 0.
    modes : mapping of str to frozenset of int
        By name, the runs that are not there in that mode; empty where the rig has one way of standing.
    """

    parts: tuple[MapPart, ...]
    runs: tuple[Run, ...] = ()
    trips: tuple[MapTrip, ...] = ()
    modes: Mapping[str, frozenset[int]] = field(default_factory=dict[str, frozenset[int]])

    @property
    def standings(self) -> Mapping[str, frozenset[int]]:
        """Give the runs left out in each mode; one mode without a name where none is noted."""
        return self.modes or {"": frozenset()}


@dataclass(frozen=True)
class Contradiction:
    """A part that a trip left otherwise than the map says.

    Parameters
    ----------
    trip : int
        Number of the trip.
    part : str
        Id of the part.
    expected, seen : str
        "dead" or "live".
    """

    trip: int
    part: str
    expected: str
    seen: str

    def as_json(self) -> dict[str, object]:
        """Give the contradiction as a JSON object."""
        return {"trip": self.trip, "part": self.part, "expected": self.expected, "seen": self.seen}


@dataclass(frozen=True)
class MapEdit:
    """One way in which the rig may differ from its map.

    Parameters
    ----------
    change : str
        "to-line-side", "to-load-side", "fed-from", "fed-from-load-side" of a run; "line-and-load-swapped",
        "does-not-trip" of a part.
    run : int or None
        Number of the run.
    part : str or None
        Id of the part.
    start : str or None
        Where a run is fed from instead.
    """

    change: str
    run: int | None = None
    part: str | None = None
    start: str | None = None

    def as_json(self) -> dict[str, object]:
        """Give the change as a JSON object, without the members that it has not."""
        members = {"run": self.run, "part": self.part, "change": self.change, "from": self.start}
        return {name: member for name, member in members.items() if member is not None}


@dataclass(frozen=True)
class MapFinding:
    """Advice about the map, and never a verdict of law.

    Parameters
    ----------
    id : str
        Key of its words in schemas/facts/protection.json.
    level : str
        "stop", "limit" or "note".
    clause, edition, known : str
        Where the rule stands, in which edition, and how that is known.
    part : str or None
        Id of the part it speaks of.
    runs : tuple of int
        The runs it speaks of.
    among : tuple of str
        Further parts it speaks of.
    value, limit : float or None
        What is there, and what should be at most [unit].
    unit : str or None
        Of both, "A".
    """

    id: str
    level: str
    clause: str
    edition: str
    known: str
    part: str | None = None
    runs: tuple[int, ...] = ()
    among: tuple[str, ...] = ()
    value: float | None = None
    limit: float | None = None
    unit: str | None = None

    def as_json(self) -> dict[str, object]:
        """Give the finding as a JSON object with every member present."""
        return {
            "id": self.id,
            "level": self.level,
            "part": self.part,
            "runs": list(self.runs),
            "among": list(self.among),
            "value": self.value,
            "limit": self.limit,
            "unit": self.unit,
            "clause": self.clause,
            "edition": self.edition,
            "known": self.known,
        }


@dataclass(frozen=True)
class Amendment:
    """A set of changes after which every trip agrees with the map.

    Parameters
    ----------
    changes : tuple of MapEdit
        In order of run, then of change.
    """

    changes: tuple[MapEdit, ...]

    @property
    def cost(self) -> int:
        """How many changes it takes."""
        return len(self.changes)

    def as_json(self) -> dict[str, object]:
        """Give the explanation as a JSON object."""
        return {"changes": [change.as_json() for change in self.changes], "cost": self.cost}


@dataclass(frozen=True)
class Protection:
    """What guards what in one mode, and how the trips agree with it.

    Parameters
    ----------
    protected_by : mapping of str to tuple of str
        By outlet, its guards, nearest first, without those that a trip disproved; in the order of the map.
    unguarded : tuple of str
        Outlets that have power and no guard.
    contradictions : tuple of Contradiction
        In order of trips, then of parts.
    explanations : tuple of Amendment
        Every one that takes the fewest changes, up to ten; empty where nothing contradicts.
    findings : tuple of MapFinding
        Advice.
    disproved : mapping of str to mapping of str to int
        By outlet, the guards that the map says and a trip disproved, with the number of the trip; as JSON it
        is a finding.
    """

    protected_by: Mapping[str, tuple[str, ...]]
    unguarded: tuple[str, ...]
    contradictions: tuple[Contradiction, ...]
    explanations: tuple[Amendment, ...]
    findings: tuple[MapFinding, ...]
    disproved: Mapping[str, Mapping[str, int]] = field(default_factory=dict[str, Mapping[str, int]])

    @property
    def stops(self) -> tuple[MapFinding, ...]:
        """Give the findings that forbid use."""
        return tuple(one for one in self.findings if one.level == "stop")

    def as_json(self) -> dict[str, object]:
        """Give the answer as a JSON object."""
        return {
            "protected_by": {outlet: list(guards) for outlet, guards in self.protected_by.items()},
            "unprotected": list(self.unguarded),
            "contradictions": [one.as_json() for one in self.contradictions],
            "explanations": [one.as_json() for one in self.explanations],
            "findings": [one.as_json() for one in self.findings],
        }
