"""Which contacts an outlet has."""

import pytest

from fieldlog.model.contacts import OF_OUTLET, contacts_of


@pytest.mark.parametrize("outlet", OF_OUTLET)
def test_an_earth_is_outside_the_outlet(outlet: str) -> None:
    contacts = contacts_of(outlet)

    assert not any("e" in pair.split("-") for pair in (*contacts.usual, *contacts.usual))
    assert {pair for pair in contacts.pairs if pair not in contacts.usual} == {
        f"{contact}-e" for contact in {each for pair in contacts.usual for each in pair.split("-")}
    }


@pytest.mark.parametrize(("outlet", "contacts"), [("5-15", 3), ("5-20", 3), ("TT-30", 3), ("14-50", 4)])
def test_every_two_contacts_are_read_once(outlet: str, contacts: int) -> None:
    """ANSI/NEMA WD 6: three contacts, or four on a 14-50, give three pairs or six."""
    usual = contacts_of(outlet).usual

    assert len({frozenset(pair.split("-")) for pair in usual}) == len(usual) == contacts * (contacts - 1) / 2
