"""Trying a phone: each thing is told as it was seen, and the result is the person's to hand on."""

import json
from pathlib import Path
from typing import Any

import pytest
from jsonschema import Draft202012Validator
from playwright.sync_api import Browser, Playwright, expect

from tests.browser.conftest import Site
from tests.browser.killed import killed_browser
from tests.browser.looks import LIGHT, Look, faults_in, faults_in_large_letters, in_each_look
from tests.browser.phone import Phone
from tests.browser.served import READY, Server, a_phone, visit
from tests.conftest import PASSWORD
from tests.pictures import a_picture, written
from tests.repository import ROOT

pytestmark = [pytest.mark.browser, pytest.mark.whole]

DARK = Look("dark", 360)
STEPS = ("store", "strict-save", "kill", "stay", "camera", "notification", "reach", "keypad")
AWAY = ("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET")
DATABASES = "async () => (await indexedDB.databases()).map(({ name }) => name).sort()"
MARKS = "() => [localStorage, sessionStorage].map((each) => each.getItem('fieldlog-trial'))"
# A store that says nothing, one that is not strict, and one that loses what it was given.
NO_STORE = "() => { IDBFactory.prototype.open = () => { throw new DOMException('none', 'SecurityError'); }; }"
RELAXED = "() => Object.defineProperty(IDBTransaction.prototype, 'durability', { get: () => 'relaxed' })"
LOST = """() => new Promise((settled) => {
  indexedDB.deleteDatabase("fieldlog-trial").onsuccess = settled;
})"""


@pytest.fixture
def taken(tmp_path: Path) -> Path:
    """What a phone's camera gives."""
    path = tmp_path / "IMG0001.jpg"
    path.write_bytes(written(a_picture(2400, 1800), quality=90))
    return path


def go_to(phone: Phone, screen: str) -> None:
    """Open a screen of the trial, from whichever is open."""
    if screen != "all" and not phone.find(f'[data-open="{screen}"]').count():
        phone.tap('[data-open="all"]')
    phone.tap(f'[data-open="{screen}"]')
    expect(phone.find(f'[data-screen="{screen}"]')).to_be_visible()


def attempt(phone: Phone, step: str) -> None:
    """Open a step and try it."""
    go_to(phone, step)
    phone.tap(f'[data-try="{step}"]')
    expect(phone.find(f'[data-screen="{step}"] [data-told]')).to_be_visible()


def expect_state(phone: Phone, step: str, state: str) -> None:
    """Wait for what a step is told to be."""
    expect(phone.find(f'[data-screen="{step}"] [data-told="{state}"]')).to_be_visible()


def result(phone: Phone) -> dict[str, Any]:
    """Read the result, which has to be as its schema says."""
    go_to(phone, "all")
    found: dict[str, Any] = json.loads(phone.page.locator("[data-part=result]").input_value())
    schema = json.loads((ROOT / "schemas/phone-trial.schema.json").read_text(encoding="utf-8"))
    assert [error.message for error in Draft202012Validator(schema).iter_errors(found)] == []
    return found


def steps_of(found: dict[str, Any]) -> dict[str, Any]:
    return {step["step"]: step for step in found["steps"]}


# long: a trial from its first step to its last
def test_a_trial_goes_through_every_step_past_a_kill_and_without_the_server(
    playwright: Playwright, server: Server, tmp_path: Path, taken: Path
) -> None:
    with killed_browser(playwright, tmp_path / "profile", server.address, "allow") as browser:
        phone = browser.phone
        visit(phone)
        phone.open("/phone")
        phone.tap("text=Try this phone")
        phone.tap("text=Begin")
        for step in ("store", "strict-save"):
            attempt(phone, step)
            expect_state(phone, step, "seen-to-work")
        attempt(phone, "kill")
        expect_state(phone, "kill", "begun")
        browser.kill()
        server.stop()
        browser.open()
        phone = browser.phone
        phone.open("/phone/try")
        expect_state(phone, "kill", "begun")
        phone.tap("text=I closed it altogether")
        expect_state(phone, "kill", "seen-to-work")
        expect(phone.find('[data-screen="kill"]')).to_contain_text("seems to have come from this phone")
        attempt(phone, "stay")
        go_to(phone, "camera")
        phone.page.locator("input[type=file]").set_input_files(taken)
        expect_state(phone, "camera", "seen-to-work")
        browser.context.grant_permissions(["notifications"])
        attempt(phone, "notification")
        phone.tap('[data-answer="notification.noticed.yes"]')
        expect_state(phone, "notification", "seen-to-work")
        attempt(phone, "reach")
        expect_state(phone, "reach", "seen-to-work")
        go_to(phone, "keypad")
        phone.type("volts", "1,5")
        phone.tap('[data-try="keypad"]')
        phone.tap('[data-answer="keypad.decimal_key.comma"]')
        expect_state(phone, "keypad", "seen-to-work")
        found = result(phone)
        with phone.page.expect_download() as download:
            phone.tap("[data-save]")
        saved = json.loads(Path(download.value.path()).read_text(encoding="utf-8"))
    server.start()

    steps = steps_of(found)
    assert saved == found
    assert all(step["told_by"] == "page" for step in found["steps"])
    assert found["shell_version"] == server.version
    assert steps["strict-save"]["seen"]["saved"] == len(steps["strict-save"]["seen"]["milliseconds"]) == 5
    assert steps["kill"]["seen"]["rows_there"] == 10
    assert (steps["kill"]["seen"]["worker_in_charge"], steps["kill"]["seen"]["server_answered"]) == (
        True,
        False,
    )
    camera = steps["camera"]["seen"]
    assert (camera["type"], camera["bytes"]) == ("image/jpeg", taken.stat().st_size)
    assert (camera["width"], camera["height"]) == (2400, 1800)
    assert (camera["kept"]["width"], camera["kept"]["height"]) == (1600, 1200)
    assert steps["keypad"]["seen"] == {"typed": "1,5", "read_as": "1.5", "decimal_key": "comma"}
    assert steps["stay"]["state"] in ("seen-to-work", "seen-not-to-work")


def test_what_does_not_work_is_not_told_to_work(phone: Phone) -> None:
    phone.open("/phone/try")
    phone.page.evaluate(RELAXED)
    attempt(phone, "strict-save")
    expect_state(phone, "strict-save", "seen-not-to-work")
    phone.page.evaluate(NO_STORE)
    attempt(phone, "store")
    expect_state(phone, "store", "seen-not-to-work")
    expect(phone.find('[data-screen="store"]')).to_contain_text("SecurityError: none")
    expect(phone.find("[data-part=said]")).to_contain_text("on this page only")
    attempt(phone, "reach")
    expect_state(phone, "reach", "seen-not-to-work")  # workers are barred on this phone
    go_to(phone, "camera")
    phone.page.locator("input[type=file]").set_input_files(
        {"name": "a.jpg", "mimeType": "image/jpeg", "buffer": b"no picture"}
    )
    expect_state(phone, "camera", "seen-not-to-work")
    go_to(phone, "keypad")
    phone.type("volts", "15")
    phone.tap('[data-try="keypad"]')
    phone.tap("text=Neither")
    expect_state(phone, "keypad", "seen-not-to-work")

    steps = steps_of(result(phone))
    assert steps["keypad"]["seen"] == {"typed": "15", "read_as": "15", "decimal_key": "none"}
    assert {steps[step]["state"] for step in ("kill", "stay", "notification")} == {"not-tried"}


def test_loading_the_page_again_is_not_taken_for_closing_it(phone: Phone) -> None:
    phone.open("/phone/try")
    attempt(phone, "kill")
    phone.page.reload()
    expect(phone.find('[data-screen="kill"]')).to_contain_text("only loaded again")
    phone.tap("text=I only loaded it again")

    expect_state(phone, "kill", "begun")
    assert steps_of(result(phone))["kill"]["seen"]["tab_memory"] is True


def test_a_store_that_was_emptied_is_found_out_by_the_mark_beside_it(phone: Phone) -> None:
    phone.open("/phone/try")
    attempt(phone, "kill")
    phone.page.evaluate(LOST)
    phone.page.reload()

    expect_state(phone, "kill", "seen-not-to-work")
    expect(phone.find('[data-screen="kill"]')).to_contain_text("0 of 10 rows were there again")


def test_a_person_may_say_that_a_step_did_not_work(phone: Phone) -> None:
    phone.open("/phone/try")
    go_to(phone, "camera")
    phone.tap("text=It did not work")
    phone.page.locator('[data-screen="camera"] textarea').fill("The camera stayed black")
    phone.tap('[data-failed="camera"]')
    expect_state(phone, "camera", "seen-not-to-work")
    phone.page.reload()

    camera = steps_of(result(phone))["camera"]
    assert (camera["told_by"], camera["note"], camera["seen"]) == ("person", "The camera stayed black", {})


def test_a_trial_goes_when_it_is_removed_and_when_somebody_signs_out(phone: Phone, site: Site) -> None:
    account = site.account("Wren Trial")
    phone.open("/phone/try")
    attempt(phone, "kill")
    assert "fieldlog-trial" in phone.page.evaluate(DATABASES)
    go_to(phone, "all")
    phone.tap("[data-remove]")
    expect(phone.find("[data-part=said]")).to_contain_text("is taken off this phone")
    assert phone.page.evaluate(DATABASES) == ["fieldlog"]
    assert phone.page.evaluate(MARKS) == [None, None]
    attempt(phone, "kill")
    phone.enter(account.name, PASSWORD, "/sign-out")
    phone.tap('[data-do="go"]')
    expect(phone.find("text=Signed out on this phone").first).to_be_visible()

    assert phone.page.evaluate(DATABASES) == ["fieldlog"]
    assert phone.page.evaluate(MARKS) == [None, None]
    phone.excuse("401 (UNAUTHORIZED)")


def test_a_trial_touches_nothing_of_the_log_and_sends_nothing(browser: Browser, server: Server) -> None:
    with a_phone(browser, server) as phone:
        visit(phone)
        assert phone.page.evaluate(READY) == "activated"
        sent: list[tuple[str, str]] = []
        phone.page.on("request", lambda request: sent.append((request.method, request.url)))
        phone.open("/phone/try")
        for step in ("store", "strict-save", "stay", "reach"):
            attempt(phone, step)
        result(phone)

    assert sent
    assert {method for method, _ in sent} == {"GET"}
    assert [url for _, url in sent if not url.startswith(server.address)] == []


@in_each_look
def test_every_screen_of_a_trial_is_fit_for_rain_and_gloves(
    phone: Phone, pictures: Path, looks: tuple[Look, ...], taken: Path
) -> None:
    looks = tuple(dict.fromkeys((*looks, LIGHT, DARK)))
    phone.open("/phone/try")
    faults = []
    for number, step in enumerate(STEPS):
        go_to(phone, step)
        if step == "camera":
            phone.page.locator("input[type=file]").set_input_files(taken)
        else:
            if step == "keypad":
                phone.type("volts", "1,5")
            phone.tap(f'[data-try="{step}"]')
        expect(phone.find(f'[data-screen="{step}"] [data-told]')).to_be_visible()
        phone.tap("text=It did not work")
        faults += faults_in(looks, phone, f"trial-{number}-{step}", pictures)
        faults += faults_in_large_letters(phone, f"trial-{number}-{step}", pictures)
    go_to(phone, "all")
    faults += faults_in(looks, phone, "trial-all", pictures)
    faults += faults_in_large_letters(phone, "trial-all", pictures)

    assert faults == []
