"""What an owner lets somebody without an account see of a rig, and until when."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from typing import Final

MOST_NAME, MOST_ASK = 80, 160
PAPER: Final = "paper"
LINK: Final = "link"


class ShareState(StrEnum):
    """Where a share stands."""

    OPEN = "open"
    CLOSED = "closed"
    EXPIRED = "expired"
    ENDED = "ended"


@dataclass(frozen=True, kw_only=True)
class Terms:
    """What is shown, and what is said where nothing is.

    Parameters
    ----------
    is_open : bool
        The record is shown; otherwise only whose it is.
    arrivals : bool
        Checks on arrival whole, with their parks and days; otherwise by their month.
    photos : bool
        What was noted of photos.
    pictures : bool
        The photos themselves, of which something is shown.
    owner_name : str
        The name that the owner chose to show, "" for none.
    how_to_ask : str
        How to reach them, "" where that is not told.
    """

    is_open: bool = False
    arrivals: bool = False
    photos: bool = False
    pictures: bool = False
    owner_name: str = ""
    how_to_ask: str = ""


@dataclass(frozen=True, kw_only=True)
class Share:
    """One link, or the code that stands on what is printed of a rig; its secret is kept by nobody here.

    Parameters
    ----------
    id, account, log : str
        Its own name, whose it is, and of which log.
    use : str
        LINK or PAPER.
    made_at : datetime
        When it was made.
    expires_at, ended_at : datetime or None
        Until when it shows what it shows, and when the owner ended it.
    opened : int
        How often it was opened.
    terms : Terms
        What is shown.
    """

    id: str
    account: str
    log: str
    use: str
    made_at: datetime
    expires_at: datetime | None
    ended_at: datetime | None
    opened: int
    terms: Terms

    def standing(self, now: datetime) -> ShareState:
        """Say where it stands at a time."""
        if self.ended_at is not None:
            return ShareState.ENDED
        if not self.terms.is_open:
            return ShareState.CLOSED
        is_over = self.expires_at is not None and self.expires_at <= now
        return ShareState.EXPIRED if is_over else ShareState.OPEN


@dataclass(frozen=True)
class ShareVisit:
    """That a share was opened, and whether something was shown."""

    at: datetime
    was_shown: bool
