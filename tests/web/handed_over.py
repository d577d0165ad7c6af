"""A rig that somebody hands over, and the ways to offer and to take it."""

import hashlib
import re
from typing import Any

from flask import Flask
from werkzeug.test import TestResponse

from fieldlog.store.ends import LogEnd, LogKey, all_ends
from fieldlog.store.rigs import rig_with_all
from fieldlog.store.session import Store
from tests.builders import a_photo, a_trip_test, an_arrival_check
from tests.conftest import OUR_PAGE, Person, token_of
from tests.pictures import a_jpeg
from tests.web.rigs import Noted, note_a_rig
from tests.web.test_access import ARGUMENTS, is_public

PICTURE = a_jpeg()
PHOTO = hashlib.sha256(PICTURE).hexdigest()
GONE = "This link offers nothing"


def note_all(owner: Person) -> Noted:
    """Note a rig with a trip test, a corrected check, a photo that has arrived, and something of no rig."""
    noted = note_a_rig(owner)
    check = an_arrival_check(rig=noted.rig, park="Owners Rest")
    better = an_arrival_check(rig=noted.rig, park="Owners Rest", corrects=check["id"], reason="Misread")
    owner.send(
        a_trip_test(noted.rig, noted.device), check, better, a_photo(check["id"], PICTURE, rig=noted.rig)
    )
    put_photo(owner)
    owner.send(an_arrival_check(park="At home"))
    return noted


def put_photo(person: Person) -> TestResponse:
    path = f"/api/photos/{PHOTO}"
    return person.client.put(path, data=PICTURE, content_type="image/jpeg", headers=OUR_PAGE)


def offer_page(noted: Noted) -> str:
    return f"{noted.page}/hand-over"


def name_of(person: Person, noted: Noted) -> str:
    return str(
        re.findall(r"<h1>Hand (.*) over to its next owner</h1>", person.client.get(offer_page(noted)).text)[0]
    )


def offer(owner: Person, noted: Noted, days: int = 7) -> str:
    """Offer a rig and give the secret, off the page that shows it."""
    page = owner.submit(offer_page(noted), days=str(days), name=name_of(owner, noted)).text
    (secret,) = re.findall(r"data-address>http://localhost/take-over#([A-Za-z0-9_-]{43})<", page)
    return str(secret)


def look_at(person: Person, secret: str) -> TestResponse:
    return person.submit("/take-over", code=f"http://localhost/take-over#{secret}")


def take(person: Person, secret: str, **fields: str) -> TestResponse:
    """Say on the page of the offer that it was read, and take it."""
    token = token_of(person.client.get("/take-over").text)
    given = {"csrf_token": token, "code": secret, "is_read": "y"} | fields
    return person.client.post("/take-over/taken", data=given)


def hand_over(owner: Person, colleague: Person, noted: Noted) -> None:
    taken = take(colleague, offer(owner, noted))
    assert (taken.status_code, taken.location) == (303, noted.page), taken.text


def receipt_of(owner: Person) -> bytes:
    (path,) = re.findall(r'href="(/hand-overs/[^"]*/receipt.json)"', owner.client.get("/hand-overs").text)
    return bytes(owner.client.get(path).data)


def end_of(store: Store, person: Person, rig: str) -> LogEnd:
    assert person.account is not None
    with store.reading() as tx:
        return all_ends(tx)[LogKey(person.account.id, rig)]


def entries_of(store: Store, person: Person, rig: str) -> list[tuple[Any, ...]]:
    """Give of each entry what was kept of it, but for its number."""
    assert person.account is not None
    with store.reading() as tx:
        found = rig_with_all(tx, person.account.id, rig)
    assert found is not None
    return [(e.position, e.hash, e.head, e.received_at, e.root, e.flags, e.record) for e in found.log]


def given_away(owner: Person, rig: str) -> list[str]:
    """Give what the owner's phone is told is forgotten of a rig, of which it has seen some."""
    seen = {rig: {"after": 2, "position": 2, "head": "1" * 64}}
    assert owner.account is not None
    body = {"account": owner.account.name, "logs": seen}
    return list(owner.client.post("/api/log", json=body, headers=OUR_PAGE).get_json()["forgot"])


def pages_of(app: Flask, noted: Noted) -> list[str]:
    """Give every address that is of a rig, of an outlet or of a device, as this one fills it."""
    filled = ARGUMENTS | {"rig_id": noted.rig, "device_id": noted.device, "outlet_id": noted.galley}
    found = []
    for rule in app.url_map.iter_rules():
        if "rig_id" not in rule.arguments or "GET" not in (rule.methods or ()):
            continue
        if rule.arguments <= {"rig_id", "device_id", "outlet_id"}:
            with app.test_request_context():
                built = {name: filled[name] for name in rule.arguments}
                path = app.url_map.bind("localhost").build(rule.endpoint, built)
            if not is_public(rule.rule, path):
                found.append(path)
    assert len(found) > 20
    return found
