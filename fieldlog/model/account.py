"""Who is signed in."""

from dataclasses import dataclass
from typing import Final

DEMO_NAME: Final = "Robin (invented)"


@dataclass(frozen=True)
class Account:
    """One person's account.

    Parameters
    ----------
    id : str
        UUIDv7; also the key of the log for records without a rig.
    name : str
        The name as the person wrote it.
    """

    id: str
    name: str
