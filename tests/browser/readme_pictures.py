"""python -m tests.browser.readme_pictures: draws the pictures of README.md anew, from the demo's rig."""

import tempfile
from pathlib import Path
from typing import Final

from PIL import Image
from playwright.sync_api import sync_playwright

from fieldlog.clock import now
from fieldlog.config import ROOT
from fieldlog.model.account import Account
from fieldlog.sync.demo import demo_records
from fieldlog.sync.inbox import Inbox
from tests.browser.conftest import SHELL, SWITCHES
from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone
from tests.conftest import PASSWORD

FOLDER: Final = ROOT / "static/img"
NAME: Final = "Demo"
COLORS: Final = 64
"""Of the palette: flat areas and text need no more."""


def main() -> None:
    """Draw a verdict, the map and the service record, 360 by 740 at twice the points."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        server = Server(Path(folder))
        rig = load_demo(server)
        browser = playwright.chromium.launch(executable_path=SHELL, args=SWITCHES)
        try:
            with a_phone(browser, server, device_scale_factor=2) as phone:
                arrive_by_meter(phone)
                keep(phone, "verdict", "[data-verdict]")
                phone.enter(NAME, PASSWORD, f"/rigs/{rig}/map")
                keep(phone, "map", ".rig-map-frame")
                phone.open(f"/rigs/{rig}/record")
                keep(phone, "record", ".service-record, article")
        finally:
            browser.close()
            server.close()


def load_demo(server: Server) -> str:
    """Load the invented rig under an account; give its id."""
    server.account(NAME)
    parts = server.app.extensions["fieldlog"]
    records = demo_records(now())
    Inbox(parts.store, parts.rulebook_or_damage, Account(server.accounts[NAME], NAME)).receive(records, now())
    return str(next(record["id"] for record in records if record["kind"] == "rig"))


def keep(phone: Phone, name: str, shown: str) -> None:
    """Wait for what is to be seen, bring it up, and keep the screen as a small picture."""
    place = phone.page.locator(shown).first
    place.wait_for()
    place.evaluate("(place) => scrollTo(0, place.getBoundingClientRect().top + scrollY - 72)")
    path = FOLDER / f"{name}.png"
    phone.page.screenshot(path=path)
    Image.open(path).convert("P", palette=Image.Palette.ADAPTIVE, colors=COLORS).save(path, optimize=True)


if __name__ == "__main__":
    main()
