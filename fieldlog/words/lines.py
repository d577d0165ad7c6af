"""A line of a page or paper: something that was read or computed, and what it is."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Line:
    """Something that was read or computed, and what it is."""

    label: str
    value: str

    @property
    def text(self) -> str:
        """Give both in a row."""
        return f"{self.label}: {self.value}"


@dataclass(frozen=True)
class LineGroup:
    """Lines that belong together."""

    title: str
    lines: tuple[Line, ...]

    @property
    def text(self) -> str:
        """Give all of it in a row."""
        return f"{self.title}: {in_a_row(self.lines)}"


def in_a_row(lines: Iterable[Line]) -> str:
    """Give lines as one text."""
    return "; ".join(line.text for line in lines)
