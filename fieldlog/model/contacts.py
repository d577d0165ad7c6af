"""Which contacts an outlet has, and between which of them something can be read."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True)
class Contacts:
    """The places of an outlet where readings are taken.

    Parameters
    ----------
    pairs, lamp_pairs, acrosses : tuple of str
        What a meter reads, where a lamp may sit, where a load may hang.
    near : tuple of str
        Where a non-contact detector is held.
    """

    pairs: tuple[str, ...]
    lamp_pairs: tuple[str, ...]
    acrosses: tuple[str, ...]
    near: tuple[str, ...]

    @property
    def usual(self) -> tuple[str, ...]:
        """Give the pairs between the outlet's own contacts, without those to an earth outside."""
        return tuple(pair for pair in self.pairs if not pair.endswith("-e"))


THREE_WIRE: Final = Contacts(
    pairs=("h-n", "h-g", "n-g", "h-e", "n-e", "g-e"),
    lamp_pairs=("h-n", "h-g", "n-g"),
    acrosses=("h-n",),
    near=("h", "n", "g", "skin"),
)
SPLIT_PHASE: Final = Contacts(
    pairs=("x-y", "x-n", "y-n", "x-g", "y-g", "n-g", "x-e", "y-e", "n-e", "g-e"),
    lamp_pairs=("x-y", "x-n", "y-n", "x-g", "y-g", "n-g"),
    acrosses=("x-y", "x-n", "y-n"),
    near=("x", "y", "n", "g", "h", "skin"),
)
OF_OUTLET: Final[Mapping[str, Contacts]] = {
    "5-15": THREE_WIRE,
    "5-20": THREE_WIRE,
    "TT-30": THREE_WIRE,
    "14-50": SPLIT_PHASE,
}


def contacts_of(outlet: str) -> Contacts:
    """Give the contacts of an outlet.

    Parameters
    ----------
    outlet : str
        "5-15", "5-20", "TT-30" or "14-50".

    Returns
    -------
    Contacts
        Where readings can be taken at it.

    Examples
    --------
    >>> contacts_of("TT-30").usual
    ('h-n', 'h-g', 'n-g')

    References
    ----------
    ANSI/NEMA WD 6: the 14-50 has two hot contacts, a neutral and a ground; the others one hot contact.
    """
    return OF_OUTLET[outlet]


def contacts_of_inlet(amps: float | None, two_legs_amps: float) -> Contacts:
    """Give the contacts of a rig's inlet by its rating.

    Parameters
    ----------
    amps : float or None
        Rating [A]; None where it is not known.
    two_legs_amps : float
        The rating at which it has two hots [A]: "two-legs-from" of schemas/facts/planning.json.

    Returns
    -------
    Contacts
        Those of the 14-50 at that rating; else three, which the 5-15, the 5-20 and the TT-30 share.

    Examples
    --------
    >>> contacts_of_inlet(50, 50).usual[0], contacts_of_inlet(None, 50).usual[0]
    ('x-y', 'h-n')

    References
    ----------
    ANSI/NEMA WD 6.
    """
    return SPLIT_PHASE if amps == two_legs_amps else THREE_WIRE
