"""A rig in somebody's log, and what became of it."""

from dataclasses import dataclass
from typing import Any

from fieldlog.model.record import StoredRecord
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from tests.builders import a_device, a_rig, an_outlet
from tests.conftest import Person


@dataclass(frozen=True)
class Noted:
    """Ids of a rig with a device and two outlets, of which the device is noted to guard the first."""

    rig: str
    device: str
    galley: str
    fridge: str

    @property
    def page(self) -> str:
        """Give the address of the rig's page."""
        return f"/rigs/{self.rig}"

    @property
    def trip_test(self) -> str:
        """Give the address of the device's trip test form."""
        return f"{self.page}/devices/{self.device}/trip-tests/new"


def note_a_rig(person: Person) -> Noted:
    """Hand in a rig with a device and two outlets."""
    rig = a_rig()
    device = a_device(rig["id"], "GFCI in the galley")
    galley = an_outlet(rig["id"], "Galley", guard=device["id"])
    fridge = an_outlet(rig["id"], "Behind the fridge")
    receipts = person.send(rig, device, galley, fridge)
    assert [receipt["status"] for receipt in receipts] == ["stored"] * 4, receipts
    return Noted(rig["id"], device["id"], galley["id"], fridge["id"])


def log_of(store: Store, person: Person) -> list[StoredRecord]:
    """Give everything in somebody's log."""
    assert person.account is not None
    with store.reading() as tx:
        return records_after(tx, person.account.id, 0, 1000)


def last_body(store: Store, person: Person) -> dict[str, Any]:
    """Give the body of the newest record."""
    return dict(log_of(store, person)[-1].record.body)
