"""What the rest of the program asks of a kind of record."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from enum import Enum
from typing import Any, Final, Generic, Protocol

from fieldlog.kinds.forms import FormReading
from fieldlog.kinds.paper import Listing
from fieldlog.model.kind_of import HeldT
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain
from fieldlog.model.rulebook import Rulebook
from fieldlog.words.lines import Line, LineGroup

NOTED: Final = "Noted"
NOT_NOTED: Final = "not noted"
NOT_TESTED: Final = "not tested"
Body = Mapping[str, Any]
Names = Mapping[str, str]
"""What the things that a record speaks of are called, by their ids."""


@dataclass(frozen=True)
class Glossary:
    """What helps to word a record: what things are called, the parts of the newest map, and the rulebook."""

    names: Names = field(default_factory=dict)
    parts: Sequence[Mapping[str, Any]] = ()
    rulebook: Rulebook | None = None


NOTHING_KNOWN: Final = Glossary()


class Entry(Protocol):
    """What the log knows of a record without reading it."""

    @property
    def kind(self) -> str:
        """Give its kind."""

    @property
    def rig(self) -> str | None:
        """Give its rig."""

    @property
    def root(self) -> str:
        """Give the id of the first record of its chain of corrections."""


class Log(Protocol):
    """What the rules of a kind ask the log."""

    def find(self, identity: str | None) -> Entry | None:
        """Give what is known of the record with this id, if there is one."""

    def record(self, identity: str | None) -> Record | None:
        """Give the record with this id, if there is one."""

    def has(self, identity: str | None, kind: str) -> bool:
        """Say whether the id is that of a record of a kind."""

    def has_thing(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of a rig or a part of a rig: the id of its first record."""

    def is_of(self, identity: str | None, kind: str, rig: str | None) -> bool:
        """Say whether the id is that of any record of a kind that belongs to a rig, a correction too."""


Rule = Callable[[Record[HeldT]], Iterator[Problem]]
LogRule = Callable[[Record[HeldT], Log], Iterator[Problem]]


class Extent(Enum):
    """How much of a kind is read where a rig is shown."""

    ALL = "all of it: how the rig is built"
    NEWEST = "of each thing the newest few that say the same: what was done with it"
    ALONE = "only what is asked for by itself"


def _nothing_said(_body: Body) -> Mapping[str, Any]:
    return {}


def _tidy(_body: dict[str, Any]) -> None:
    """Leave a body as it was typed."""


@dataclass(frozen=True, kw_only=True)
class Kind(Generic[HeldT]):
    """A kind of record.

    Parameters
    ----------
    parts : callable
        Give everything that a body says, part by part.
    in_short : callable
        Say in a few words what it came to.
    readings : callable
        Give what of a body is corrected by a form.
    rules : tuple of Rule
        Each gives where a record that has passed the schema contradicts itself, or what can be.
    log_rules : tuple of LogRule
        Each gives where it speaks of what is not in the log.
    extent : Extent
        How much of it is read where its rig is shown.
    says : callable
        Give what of a body makes it say something else than another of the same thing; the time of the day
        and notes do not. Asked only of what is kept as NEWEST.
    tidy : callable
        Put in order what a correction by the form left of a body.
    is_in_history : bool
        Whether the history lists it by itself.
    begins_a_rig : bool
        Whether its first record is a rig, and so has its own id as rig.
    corrected_at : str
        The page on which it is corrected; the form of the history where there is none.
    in_years : callable or None
        Say of all of a year that are too old to be listed what they were; None for what is always listed.
    listing : Listing or None
        How a service record lists it in a section of its own; None where it has none.
    """

    parts: Callable[[HeldT, Glossary], Iterable[LineGroup]]
    in_short: Callable[[HeldT, Glossary], str]
    readings: Callable[[HeldT], Iterable[FormReading]]
    rules: tuple[Rule[HeldT], ...] = ()
    log_rules: tuple[LogRule[HeldT], ...] = ()
    extent: Extent = Extent.ALONE
    says: Callable[[HeldT], Mapping[str, Any]] = _nothing_said
    tidy: Callable[[dict[str, Any]], None] = _tidy
    is_in_history: bool = False
    begins_a_rig: bool = False
    corrected_at: str = ""
    in_years: Callable[[Sequence[Chain[HeldT]]], str] | None = None
    listing: Listing[HeldT] | None = None


def noted(
    lines: Callable[[HeldT, Glossary], Iterable[Line]],
) -> Callable[[HeldT, Glossary], tuple[LineGroup]]:
    """Make one part of lines."""
    return lambda body, known: (LineGroup(NOTED, tuple(lines(body, known))),)


def name_in_short(body: Body, _known: Glossary) -> str:
    """Give the name of what is called by one."""
    return str(body["name"])


def said_by(*members: str) -> Callable[[Body], Mapping[str, Any]]:
    """Tell records apart by some members of their bodies."""
    return lambda body: {name: body.get(name) for name in members}


def named(ids: Sequence[str], names: Names) -> str:
    """Give what things are called, in a row."""
    return ", ".join(f"“{names.get(each, 'not in your log')}”" for each in ids) or NOT_NOTED


def counted(count: int, one: str, more: str) -> str:
    """Give a number with its noun."""
    return f"{count:,} {one if count == 1 else more}"
