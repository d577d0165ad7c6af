"""Which contacts an outlet has, and between which of them something can be read."""

from dataclasses import dataclass
from typing import Final

from fieldlog.model.outlets import FAMILIES, FAMILY_OF


@dataclass(frozen=True)
class Contacts:
    """The places of an outlet where readings are taken.

    Parameters
    ----------
    contacts : tuple of str
        Its own.
    usual, to_earth : tuple of str
        What a meter reads between its own contacts, where a lamp may sit too, and to an earth outside.
    loaded, acrosses : tuple of str
        What is read again under a load, and where a load may hang.
    detector_places : tuple of str
        Where a non-contact detector is held.
    """

    contacts: tuple[str, ...]
    usual: tuple[str, ...]
    to_earth: tuple[str, ...]
    loaded: tuple[str, ...]
    acrosses: tuple[str, ...]
    detector_places: tuple[str, ...]

    @property
    def pairs(self) -> tuple[str, ...]:
        """Give all pairs that a meter reads."""
        return self.usual + self.to_earth


OF_FAMILY: Final = {family: Contacts(**lists) for family, lists in FAMILIES.items()}
THREE_WIRE: Final = OF_FAMILY["three-wire"]
SPLIT_PHASE: Final = OF_FAMILY["split-phase"]
OF_OUTLET: Final = {outlet: OF_FAMILY[family] for outlet, family in FAMILY_OF.items()}


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
