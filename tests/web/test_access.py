"""Who may reach what, walked from the map of routes: a new route cannot be forgotten."""

import hashlib
from collections.abc import Iterator
from typing import Any

import pytest
from flask import Flask

from fieldlog.model.hand_over import HandOver
from fieldlog.store.accounts import mark_of_session
from fieldlog.store.hand_overs import add_hand_over, note_taken
from fieldlog.store.session import Store
from fieldlog.web.use_cases import kept_for, kept_pages
from tests.builders import (
    NOON,
    a_device,
    a_photo,
    a_rig,
    a_rig_map,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
)
from tests.conftest import OUR_PAGE, Person
from tests.pictures import a_jpeg

RIG, OUTLET, DEVICE, RECORD, TRIP, MAP, HAND_OVER = (an_id() for _ in range(7))
PICTURE = a_jpeg()
PHOTO = hashlib.sha256(PICTURE).hexdigest()
MARK = mark_of_session("session of Owner")
# What each argument of a route is filled with; an argument that is not named here fails the tests.
ARGUMENTS: dict[str, Any] = {
    "rig_id": RIG,
    "device_id": DEVICE,
    "record_id": RECORD,
    "trip_id": TRIP,
    "outlet": OUTLET,
    "outlet_id": OUTLET,
    "check": RECORD,
    "change": RECORD,
    "photo_hash": PHOTO,
    "mark": MARK,
    "filename": "js/main.js",
    "secret": "x" * 43,
    "start": 0,
    "part_id": "r",
    "version_id": MAP,
    "share_id": MAP,
    "hand_over_id": HAND_OVER,
}
# Open to everybody, and why; so is every page that phones keep, since it is the same for everybody.
PUBLIC = {
    "/static/<path:filename>": "the app itself",
    "/arrive/plain": "judges without an account",
    "/box": "adds up without an account, and keeps nothing",
    "/calendar/<secret>.ics": "guarded by its secret address",
    "/offline": "a shell that holds nobody's data",
    "/sw.js": "the app itself",
    "/manifest.webmanifest": "the app itself",
    "/sign-in": "signing in",
    "/sign-out/plain": "signing out",
    "/first-account": "guarded by its one-time token",
    "/api/session": "says only who oneself is",
    "/rulebook.json": "the rules are nobody's secret",
    "/rig-rules.json": "the rules are nobody's secret",
    "/plan-tables.json": "the tables are nobody's secret",
    "/openapi.json": "a description",
    "/healthz": "versions in use",
    "/verify": "whoever holds a signed record verifies it; it holds nobody's data",
    "/shared": "guarded by the secret behind the # of its address; the page holds nobody's data",
    "/trust": "a phone needs it before it can sign in",
    "/trust/root.crt": "what a phone is asked to trust is for everybody to see",
}


def is_public(rule: str, path: str) -> bool:
    """Say whether everybody may open an address."""
    return rule in PUBLIC or kept_for(path) is not None


def paths(app: Flask) -> Iterator[tuple[str, str]]:
    """Give each route with an address that it answers."""
    for rule in app.url_map.iter_rules():
        missing = set(rule.arguments) - set(ARGUMENTS)
        assert not missing, f"{rule.rule}: say in ARGUMENTS what {missing} is filled with"
        with app.test_request_context():
            yield (
                rule.rule,
                app.url_map.bind("localhost").build(rule.endpoint, {a: ARGUMENTS[a] for a in rule.arguments}),
            )


@pytest.fixture
def log(owner: Person, colleague: Person, store: Store) -> None:
    """The owner's log, what they handed over before, and something in the colleague's."""
    rig = a_rig(id=RIG)
    parts = [
        an_outlet(RIG, id=OUTLET),
        a_device(RIG, id=DEVICE),
        an_arrival_check(id=RECORD, park="Owners Rest"),
    ]
    owner.send(
        rig, *parts, a_rig_map(RIG, id=MAP), a_trip_test(RIG, DEVICE, id=TRIP), a_photo(RECORD, PICTURE)
    )
    path = f"/api/photos/{PHOTO}"
    owner.client.put(path, data=PICTURE, content_type="image/jpeg", headers=OUR_PAGE)
    colleague.send(an_arrival_check())
    assert owner.account is not None
    offer = HandOver(
        id=HAND_OVER,
        account=owner.account.id,
        log=an_id(),
        name="Owners Rest",
        made_at=NOON,
        expires_at=NOON,
        taken_at=NOON,
        taken_by="Kim",
        position=2,
    )
    with store.writing() as tx:
        add_hand_over(tx, offer, "a secret")
        note_taken(tx, offer, "{}")


def everything(store: Store) -> dict[str, Any]:
    """Give all that the database holds of records, accounts and sessions."""
    tables = (
        "records",
        "flags",
        "accounts",
        "sessions",
        "photos",
        "calendar_feeds",
        "shares",
        "share_visits",
        "hand_overs",
    )
    with store.reading() as tx:
        return {t: tx.exec_driver_sql(f"SELECT * FROM {t} ORDER BY 1").all() for t in tables}


@pytest.mark.usefixtures("log")
def test_a_stranger_reaches_only_what_is_public(app: Flask, stranger: Person, store: Store) -> None:
    before = everything(store)
    for rule, path in paths(app):
        for method in ("GET", "POST", "PUT", "PATCH", "DELETE"):
            answer = stranger.client.open(path, method=method, data={"name": "x"}, buffered=True)
            if is_public(rule, path) and method == "GET":
                continue
            assert answer.status_code in (303, 400, 401, 403, 405, 415), (rule, method, answer.status_code)
            if answer.status_code == 303:
                assert (answer.location or "").startswith("/sign-in?next="), (rule, method)
            assert "Owners Rest" not in answer.text
    assert everything(store) == before


@pytest.mark.usefixtures("log")
def test_a_colleague_finds_nothing_at_the_owners_addresses(
    app: Flask, colleague: Person, store: Store
) -> None:
    token = _token(colleague)
    before = everything(store)
    for rule, path in paths(app):
        if is_public(rule, path) or "<" not in rule:
            continue
        for method in ("GET", "POST"):
            answer = colleague.client.open(
                path, method=method, data={"csrf_token": token, "name": "x", "reason": "x"}
            )
            assert answer.status_code in (404, 405), (rule, method, answer.status_code)
    assert everything(store) == before


@pytest.mark.usefixtures("log")
def test_what_is_not_there_and_what_is_somebody_elses_answer_alike(app: Flask, colleague: Person) -> None:
    for rule, path in paths(app):
        if is_public(rule, path) or "<" not in rule:
            continue
        foreign = colleague.client.get(path, buffered=True)
        missing = colleague.client.get(_elsewhere(path))
        assert (foreign.status_code, foreign.text) == (missing.status_code, missing.text), rule


@pytest.mark.usefixtures("log")
def test_the_owner_does_reach_them(app: Flask, owner: Person) -> None:
    for rule, path in paths(app):
        if not is_public(rule, path):
            status = owner.client.get(path, buffered=True).status_code
            assert status in (200, 303, 405), (rule, status)


@pytest.mark.usefixtures("log")
def test_no_page_of_a_colleague_shows_what_is_the_owners(app: Flask, colleague: Person) -> None:
    for rule, path in paths(app):
        if "<" not in rule:
            answer = colleague.client.get(path, buffered=True)
            for mark in ("Owners Rest", RIG, OUTLET, DEVICE, RECORD, TRIP):
                assert mark not in answer.text, rule


@pytest.mark.usefixtures("log")
def test_an_ended_session_reaches_nothing(app: Flask, owner: Person) -> None:
    cookie = owner.client.get_cookie("fieldlog")
    assert cookie is not None
    owner.submit("/sign-out/plain")
    owner.client.set_cookie("fieldlog", cookie.decoded_value)

    for rule, path in paths(app):
        if not is_public(rule, path):
            assert owner.client.get(path, buffered=True).status_code in (303, 401, 405), rule
    assert owner.client.post("/api/records", json={}, headers=OUR_PAGE).status_code == 401


def test_the_list_of_public_routes_names_no_route_that_is_gone(app: Flask) -> None:
    routes = {rule.rule for rule in app.url_map.iter_rules()}

    assert set(PUBLIC) <= routes


def test_every_address_that_a_page_is_kept_for_answers_with_that_page_alone(
    app: Flask, owner: Person, stranger: Person
) -> None:
    kept = {rule: (path, page) for rule, path in paths(app) if (page := kept_for(path)) is not None}

    assert {page for _, page in kept.values()} == set(kept_pages().values())
    for rule, (path, page) in kept.items():
        whole = stranger.client.get(page).data
        assert whole == stranger.client.get(path).data == owner.client.get(path).data, rule


def _token(person: Person) -> str:
    page = person.client.get("/sign-out/plain").text
    return page.split('name="csrf_token"', 1)[1].split('value="', 1)[1].split('"', 1)[0]


def _elsewhere(path: str) -> str:
    for known in (RIG, OUTLET, DEVICE, RECORD, TRIP, PHOTO, MARK):
        path = path.replace(known, an_id())
    return path
