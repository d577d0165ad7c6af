"""A backup that was put back: from when on a log may differ from what somebody saw of it before."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Restored:
    """When a backup was put back, when it was made, and the last entry and head that each log had in it."""

    restored_at: datetime
    made_at: datetime
    heads: Mapping[str, tuple[int, str]]
