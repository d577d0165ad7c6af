"""A rig with a drawn map in somebody's log."""

from dataclasses import dataclass
from typing import Any

from fieldlog.model.record import StoredRecord
from fieldlog.store.session import Store
from tests.builders import a_device, a_record, a_rig, an_id, an_outlet
from tests.conftest import Person
from tests.web.rigs import log_of

Body = dict[str, Any]


@dataclass(frozen=True)
class Drawn:
    """Ids of a rig: inlet, breaker, a GFCI in the galley, and the bunk on its load side."""

    rig: str
    device: str
    galley: str
    bunk: str
    first: str

    @property
    def map(self) -> str:
        """Give the address of the map."""
        return f"/rigs/{self.rig}/map"

    def part(self, part: str) -> str:
        """Give the address of a part."""
        return f"{self.map}/parts/{part}"


def a_map(device: str, galley: str, bunk: str) -> Body:
    """Give the body of that map."""
    return {
        "parts": [
            {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30},
            {"id": "b1", "kind": "breaker", "name": "Outlets breaker", "amps": 15},
            {
                "id": "g1",
                "kind": "gfci-receptacle",
                "name": "Galley",
                "amps": 15,
                "outlet_type": "5-15",
                "where": ["near-water"],
                "outlet": galley,
                "device": device,
            },
            {
                "id": "r1",
                "kind": "receptacle",
                "name": "Bunk",
                "amps": 15,
                "outlet_type": "5-15",
                "outlet": bunk,
            },
        ],
        "runs": [
            {"from": "inlet", "to": "b1", "awg": 10, "feet": 3},
            {"from": "b1", "to": "g1", "awg": 14, "feet": 10},
            {"from": "g1", "to": "r1", "from_side": "load", "awg": 14, "feet": 6},
        ],
        "modes": {},
    }


def draw_a_rig(person: Person) -> Drawn:
    """Hand in a rig with a drawn map."""
    rig = a_rig()
    device = a_device(rig["id"], "Galley")
    galley = an_outlet(rig["id"], "Galley", guard=device["id"])
    bunk = an_outlet(rig["id"], "Bunk", guard=device["id"])
    drawing = a_record("rig-map", a_map(device["id"], galley["id"], bunk["id"]), rig=rig["id"])
    receipts = person.send(rig, device, galley, bunk, drawing)
    assert [receipt["status"] for receipt in receipts] == ["stored"] * 5, receipts
    return Drawn(rig["id"], device["id"], galley["id"], bunk["id"], drawing["id"])


def keep_version(person: Person, drawn: Drawn, corrects: str, body: Body, reason: str = "seen") -> str:
    """Hand in another version of the map, as another desk would."""
    record = a_record("rig-map", body, rig=drawn.rig, id=an_id(), corrects=corrects, reason=reason)
    assert person.send(record)[0]["status"] == "stored"
    return str(record["id"])


def maps_of(store: Store, person: Person) -> list[StoredRecord]:
    """Give all versions of maps in somebody's log."""
    return [entry for entry in log_of(store, person) if entry.record.kind == "rig-map"]


def last_map(store: Store, person: Person) -> Body:
    """Give the body of the newest version."""
    return dict(maps_of(store, person)[-1].record.body)
