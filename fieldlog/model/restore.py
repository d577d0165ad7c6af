"""A backup that was put back: from when on a log may differ from what somebody saw of it before."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Restore:
    """When a backup was put back, when it was made, and the last entry and head that a log had in it.

    The position is 0 where the log had not begun.
    """

    restored_at: datetime
    made_at: datetime
    position: int
    head: str
