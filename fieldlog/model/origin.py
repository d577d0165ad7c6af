"""Where entries of a log come from that were taken over from another installation."""

from dataclasses import dataclass
from datetime import datetime


@dataclass(frozen=True)
class Origin:
    """A signed record that was taken over.

    Parameters
    ----------
    taken_at : datetime
        When it was taken over, aware of its zone.
    issued_at : datetime
        The time that it bears.
    issuer : str
        The name of the key that signed it, "did:key:z6Mk…".
    position : int
        How many entries the log had in it, from 1.
    head : str
        The head after the last of them, 64 hexadecimal digits.
    """

    taken_at: datetime
    issued_at: datetime
    issuer: str
    position: int
    head: str
