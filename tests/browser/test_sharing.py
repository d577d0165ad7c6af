"""What an owner shares, opened by somebody without an account in a real browser."""

import hashlib
import json
from itertools import cycle
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import new_id, now
from fieldlog.errors import NotFound
from fieldlog.model.share import Terms
from fieldlog.sync.sharing import Sharing, address_of
from tests.browser.conftest import Site
from tests.browser.looks import LIGHT, Look, faults_in
from tests.browser.phone import Phone
from tests.builders import a_device, a_photo, a_rig, an_outlet
from tests.hostile import acting_texts, with_texts
from tests.pictures import a_jpeg
from tests.reports.test_render import Canary
from tests.web.rigs import Noted
from tests.web.test_whatever_was_accepted import records_of

pytestmark = pytest.mark.browser


def hostile_log(texts: list[str]) -> tuple[str, list[dict[str, Any]]]:
    """Give a rig's id and a log of every kind of record, each with the texts wherever one can be typed."""
    rig = a_rig()
    device, outlet, other = a_device(rig["id"]), an_outlet(rig["id"]), an_outlet(rig["id"], "Bath")
    noted = Noted(rig["id"], device["id"], outlet["id"], other["id"])
    of_it = [
        each for each in records_of(noted) if each["rig"] == rig["id"] and each["subject"] != other["id"]
    ]
    turns = cycle(texts)
    return rig["id"], [with_texts(each, turns) for each in (rig, device, outlet, other, *of_it)]


def test_a_stranger_sees_what_holds_as_text_alone_and_nothing_once_it_is_ended(
    site: Site, browser: Browser
) -> None:
    canary = Canary()
    texts = acting_texts(canary.port)
    account, (rig, records) = site.account("Kim"), hostile_log(texts)
    site.hand_in(account, *records)
    sharing = Sharing(store=site.store, secret="x", new_id=new_id, now=now())
    terms = Terms(is_open=True, arrivals=True, photos=True, owner_name=texts[0], how_to_ask=texts[2])
    secret = sharing.link(account.id, rig, terms, 7)
    context = browser.new_context(viewport={"width": 360, "height": 740})
    phone = Phone(context, site.address)
    asked = list[str]()
    phone.page.on("request", lambda request: asked.append(request.url))

    phone.page.goto(address_of(site.address, secret))
    answer = phone.page.locator(".shared")
    expect(answer).to_have_attribute("data-state", "holds")
    phone.page.evaluate("document.querySelectorAll('details').forEach((each) => { each.open = true })")
    shown = phone.page.inner_text(".shared")
    missing = [text for text in texts if " ".join(text.split()) not in " ".join(shown.split())]

    assert missing == []
    assert answer.locator("img, script, style, iframe, link, object, svg, a[href^=javascript]").count() == 0
    assert [url for url in asked if secret in url.partition("#")[0]] == []
    assert phone.errors == []

    sharing.set_paper(account.id, rig, Terms(owner_name=texts[0], how_to_ask=texts[2]), 7)
    phone.page.goto(address_of(site.address, sharing.on_paper(account.id, rig)))
    expect(answer).to_have_attribute("data-state", "closed")
    expect(answer).to_contain_text(f"This is the record of a rig of {texts[0]}")

    phone.excuse("404")
    phone.page.goto(address_of(site.address, "x" * 43))
    expect(answer).to_contain_text(str(NotFound("link")))
    assert all(json.dumps(url).startswith(f'"{site.address}') for url in asked)
    assert phone.errors == []
    context.close()
    canary.close()
    assert canary.calls == 0


def test_a_stranger_sees_the_photos_that_were_chosen(site: Site, phone: Phone, pictures: Path) -> None:
    account, rig, picture = site.account("Kim Pictured"), a_rig("Wren"), a_jpeg(640, 480)
    site.hand_in(account, rig, a_photo(rig["id"], picture, rig=rig["id"]))
    name = hashlib.sha256(picture).hexdigest()
    assert site.parts.photo_inbox(account).receive(name, picture, now()).status == "stored"
    sharing = Sharing(store=site.store, secret="x", new_id=new_id, now=now())
    secret = sharing.link(account.id, rig["id"], Terms(is_open=True, photos=True, pictures=True), 7)

    phone.page.goto(address_of(site.address, secret))
    phone.tap("text=Show 1 of them")
    shown = phone.find(".shared img")
    expect(shown).to_be_visible()
    assert shown.evaluate("(each) => each.decode().then(() => each.naturalWidth)") == 640
    faults = faults_in((LIGHT, Look("dark", 360)), phone, "shared-photos", pictures)
    assert faults == []
    assert phone.errors == []
