"""The section of a service record in which a kind of record is listed."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Generic

from fieldlog.model.kind_of import HeldT
from fieldlog.model.rig import Chain, Rig


@dataclass(frozen=True)
class SectionLine:
    """What one record says in its section: when and which, what, more below it, and the hash of a photo."""

    head: str
    text: str
    below: tuple[str, ...] = ()
    hash: str = ""


@dataclass(frozen=True)
class Section:
    """A section of a service record: its heading, what it says of all its lines, and these."""

    title: str
    lines: tuple[SectionLine, ...]
    intro: str = ""


@dataclass(frozen=True, kw_only=True)
class Listing(Generic[HeldT]):
    """How a kind is listed in a service record.

    Parameters
    ----------
    title, intro : str
        The heading of its section, and what is said of all its lines.
    place : int
        Where the section stands among the others; the least comes first.
    line : callable
        Give the line of a record of the rig; None where it is not listed.
    is_whole : bool
        Whether all of a long log is listed, not the last two years alone.
    """

    title: str
    place: int
    line: Callable[[Rig, Chain[HeldT]], SectionLine | None]
    intro: str = ""
    is_whole: bool = False

    def section(self, rig: Rig, records: Iterable[Chain[HeldT]], since: datetime | None) -> Section:
        """Give the section of a rig's records of this kind, in their order, on demand from a moment on."""
        listed = [each for each in records if self.is_whole or since is None or each.at >= since]
        lines = (self.line(rig, each) for each in listed)
        return Section(self.title, tuple(line for line in lines if line is not None), self.intro)


def head_of(chain: Chain) -> str:
    """Give the day of a record and the number of its entry."""
    return f"{chain.day}, entry {chain.entry.position}"
