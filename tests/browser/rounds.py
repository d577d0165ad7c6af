"""A rig with devices and outlets, and the ways through its round that the tests take."""

from dataclasses import dataclass
from typing import Any, Final

from playwright.sync_api import expect

from fieldlog.store.accounts import accounts_by_name
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.builders import a_device, a_rig, an_outlet
from tests.conftest import PASSWORD

RIGHT: Final = "lit lit dark"


@dataclass(frozen=True)
class Noted:
    """A rig with two devices and six outlets: one hangs on the inlet, the others on the two devices."""

    rig: dict[str, Any]
    galley: dict[str, Any]
    bath: dict[str, Any]
    outlets: dict[str, dict[str, Any]]

    @property
    def records(self) -> list[dict[str, Any]]:
        """Give all that is noted."""
        return [self.rig, self.galley, self.bath, *self.outlets.values()]

    def way(self, thing: dict[str, Any]) -> str:
        """Give the address of a thing's step."""
        return f"/round#rig={self.rig['id']}&at={thing['kind']}-{thing['id']}"


def a_noted_rig(name: str = "Wren") -> Noted:
    """Give it, not yet handed in."""
    rig = a_rig(name)
    galley, bath = a_device(rig["id"], "Galley receptacle"), a_device(rig["id"], "Bath receptacle")
    guards = {"Galley": galley, "Sink": galley, "Bath": bath, "Awning": bath, "Shelf": bath}
    outlets = {name: an_outlet(rig["id"], name, str(guard["id"])) for name, guard in guards.items()}
    outlets["Bed"] = an_outlet(rig["id"], "Bed")
    return Noted(rig, galley, bath, outlets)


def handed_in(phone: Phone, site: Site, name: str) -> Noted:
    """Give the rig, on the server and on the phone."""
    noted = a_noted_rig()
    site.hand_in(site.account(name), *noted.records)
    phone.enter(name, PASSWORD)
    expect(phone.find(".due-card").first).to_be_visible()
    return noted


def press(phone: Phone, device: dict[str, Any], dead: list[dict[str, Any]], *, goes_on: bool = True) -> None:
    """Press TEST, find what is dead, and press RESET; what contradicts the map is noted before the way on."""
    expect(phone.find("h1")).to_have_text(device["body"]["name"])
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "yes")
    for outlet in dead:
        phone.choose(f"outlet.{outlet['id']}", "dead")
    phone.choose("others", "live")
    phone.choose("pressed", "yes")
    phone.choose("reset", "yes")
    if goes_on:
        phone.next()


def look_over(phone: Phone) -> None:
    """Say yes to all points at once."""
    phone.tap("[data-all]")
    phone.next()


def read_the_skin(phone: Phone, volts: str = "0.4") -> None:
    """Say what a meter shows from the skin to earth."""
    expect(phone.find("h1")).to_have_text("The rig’s skin")
    phone.choose("shore", "yes")
    phone.choose("earth", "yes")
    phone.type("volts", volts)
    phone.next()


def read_lamps(phone: Phone, outlet: dict[str, Any], pattern: str = RIGHT) -> None:
    """Say what the tester shows, and go on."""
    expect(phone.find("h1")).to_have_text(outlet["body"]["name"])
    if phone.find("[name=supply]").count():
        phone.choose("supply", "utility")
    phone.choose("pattern", pattern)
    phone.expect_verdict("use-limited")
    phone.next()


def kept(store: Store, noted: Noted, kind: str) -> list[dict[str, Any]]:
    """Give the rig's records of a kind that the server has."""
    with store.reading() as tx:
        found = [
            entry.as_json()["record"]
            for account in accounts_by_name(tx)
            for entry in records_after(tx, account.id, 0, 1000)
        ]
    return [record for record in found if (record["rig"], record["kind"]) == (noted.rig["id"], kind)]
