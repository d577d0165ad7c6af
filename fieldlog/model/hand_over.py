"""That a rig's log is handed over to its next owner on the same server."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True, kw_only=True)
class HandOver:
    """An offer of a rig's log, and what became of it; its secret is kept by nobody here.

    Parameters
    ----------
    id, account, log : str
        Its own name, who offers it, and which log.
    name : str
        What the rig was called.
    made_at, expires_at : datetime
        When it was offered, and until when it can be taken.
    ended_at : datetime or None
        When it was taken back.
    taken_at : datetime or None
        When it was taken.
    taken_by : str or None
        The name of the account that took it.
    position : int or None
        How many entries the log had then, that of the hand-over included.
    """

    id: str
    account: str
    log: str
    name: str
    made_at: datetime
    expires_at: datetime
    ended_at: datetime | None = None
    taken_at: datetime | None = None
    taken_by: str | None = None
    position: int | None = None

    def stands(self, now: datetime) -> bool:
        """Say whether it can be taken at a time."""
        return self.ended_at is None and self.taken_at is None and now < self.expires_at
