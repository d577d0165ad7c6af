"""A checkpoint: a line that names a log, its number of entries and its head, short enough for a sticker.

Whoever keeps one outside of the server can show later that nothing before it was changed or dropped.
"""

import re
from dataclasses import dataclass
from typing import Final, Self

from fieldlog.bundle.refused import say
from fieldlog.errors import FieldlogError

FORM: Final = "fieldlog-checkpoint-1"
_TEXT: Final = re.compile(
    FORM
    + r" ([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}) ([1-9][0-9]{0,8}) ([0-9a-f]{64}) (\d{4}-\d\d-\d\d)"
)


class NoCheckpoint(FieldlogError):
    """A text is no checkpoint."""

    def __init__(self) -> None:
        super().__init__(say("no-checkpoint", form=FORM))


@dataclass(frozen=True)
class Checkpoint:
    """Where a log stood.

    Parameters
    ----------
    log : str
        The log, by the id of its rig.
    count : int
        How many entries it had, from 1.
    head : str
        The head after the last of them, 64 hexadecimal digits.
    day : str
        When it was written, "2026-11-30", by the server's clock.
    """

    log: str
    count: int
    head: str
    day: str

    def __str__(self) -> str:
        return f"{FORM} {self.log} {self.count} {self.head} {self.day}"

    @classmethod
    def read(cls, text: str) -> Self:
        """Read the line; raise NoCheckpoint where it is none."""
        found = _TEXT.fullmatch(text.strip())
        if found is None:
            raise NoCheckpoint
        log, count, head, day = found.groups()
        return cls(log, int(count), head, day)
