"""The page about what is on this phone, and the alarm that leads to it."""

import json
import re
from itertools import count
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Download, Route, expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.looks import OVERHANG, Look, faults_in, in_each_look, in_large_letters
from tests.browser.phone import Phone
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

KEEP = """async (records) => {
  const { keep } = await import("/static/js/outbox/queue.js");
  for (const record of records) await keep(record);
  await (await import("/static/js/sync/flush.js")).sync();
}"""
DAY_S = 24 * 3600
NAMES = (f"Keeper {number}" for number in count())


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


# As when the page is closed before its first look into the store is answered.
STORE_OUT_OF_REACH = """() => {
  IDBDatabase.prototype.transaction = () => { throw new DOMException("out of reach", "UnknownError"); };
}"""


@pytest.fixture
def signed_in(phone: Phone, account: Account) -> Phone:
    phone.enter(account.name, PASSWORD)
    return phone


def misread(volts: str = "1213", **members: Any) -> dict[str, Any]:
    """Make a check that the server refuses, for one reading without its unit."""
    check = an_arrival_check(**members)
    check["body"]["check"]["volts"]["h-n"] = volts
    return check


def keep(phone: Phone, *records: dict[str, Any]) -> None:
    """Keep records as a page does, and let them be sent."""
    phone.page.evaluate(KEEP, list(records))


def later(phone: Phone, days: float) -> None:
    """Open the first page some days from now."""
    phone.page.clock.set_fixed_time(seconds(phone) + days * DAY_S)
    phone.page.reload()


def seconds(phone: Phone) -> float:
    """Read the phone's clock."""
    return float(phone.page.evaluate("() => Date.now() / 1000"))


def said(phone: Phone, sentence: str) -> None:
    """Wait for a sentence on the page."""
    expect(phone.find(f"text={sentence}").first).to_be_visible()


def lose_the_network(phone: Phone) -> None:
    phone.context.set_offline(True)


def find_the_network(phone: Phone) -> None:
    phone.context.set_offline(False)
    phone.excuse("ERR_INTERNET_DISCONNECTED")


def stored(site: Site, account: Account) -> list[dict[str, Any]]:
    return [entry["record"] for entry in site.records(account)]


def text_of(download: Download) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(Path(download.path()).read_text(encoding="utf-8"))
    return found


# The alarm


@pytest.mark.parametrize(
    ("days", "level", "word"), [(1.1, "amber", "more than a day"), (5.1, "red", "more than 5 days")]
)
def test_what_waits_too_long_is_an_alarm_on_every_field_page(
    phone: Phone, days: float, level: str, word: str
) -> None:
    phone.open("/")
    keep(phone, an_arrival_check())
    expect(phone.find("fl-waiting")).to_contain_text("1 record is on this phone only")
    expect(phone.find("fl-waiting svg")).to_have_count(0)
    later(phone, days)
    for path in ("/", "/arrive", "/checks/01920000-0000-7000-8000-000000000000", "/phone"):
        phone.open(path)

        expect(phone.find("fl-waiting")).to_have_attribute("data-level", level)
        expect(phone.find("fl-waiting .alarm__word")).to_contain_text(word)
        expect(phone.find("fl-waiting svg use")).to_have_attribute("href", re.compile(f"waits-{level}"))


def test_one_tap_on_the_alarm_saves_what_waits_to_a_file(phone: Phone) -> None:
    check = an_arrival_check()
    phone.open("/")
    keep(phone, check)
    later(phone, 6)
    phone.open("/arrive")
    with phone.page.expect_download() as download:
        phone.tap("fl-waiting [data-save]")

    assert text_of(download.value)["records"] == [check]
    expect(phone.find("fl-waiting")).to_contain_text("The records stay here as well")


def test_a_check_is_not_disturbed_by_what_waits_for_an_hour(phone: Phone) -> None:
    phone.open("/arrive")
    keep(phone, an_arrival_check())

    expect(phone.find("fl-waiting")).to_have_count(0)


# What the server does not take


def test_a_refused_record_is_mended_and_arrives(signed_in: Phone, site: Site, account: Account) -> None:
    check = misread(park="Alder Bend")
    keep(signed_in, check)
    signed_in.open("/phone")
    card = signed_in.find(".tray__card")
    expect(card).to_contain_text("Arrival check: Alder Bend, site 12")
    expect(card).to_contain_text("Refused by the server")
    expect(card).to_contain_text('"1213" is not a number')
    signed_in.tap('[data-do="mend"]')
    expect(signed_in.find('[name="/body/check/volts/h-n"]')).to_have_value("1213")
    signed_in.type("/body/check/volts/h-n", "121,3")
    signed_in.tap("text=Save and queue again")

    said(signed_in, "It is on the server.")
    expect(signed_in.find(".tray__card")).to_have_count(0)
    (arrived,) = stored(site, account)
    assert arrived["id"] == check["id"]
    assert arrived["body"]["check"]["volts"]["h-n"] == "121.3 V"
    assert re.fullmatch(r"sha256:[0-9a-f]{64}", arrived["body"]["judgement"]["rulebook"])
    assert arrived["body"]["judgement"]["rulebook"] != check["body"]["judgement"]["rulebook"]


def test_what_is_typed_while_mending_is_there_again_when_the_page_was_closed(signed_in: Phone) -> None:
    keep(signed_in, misread())
    signed_in.open("/phone")
    signed_in.tap('[data-do="mend"]')
    signed_in.type("/body/check/volts/h-n", "11")
    signed_in.page.reload()

    expect(signed_in.find('[name="/body/check/volts/h-n"]')).to_have_value("11")
    signed_in.tap("text=Leave it as it was")
    expect(signed_in.find(".mend")).to_have_count(0)
    signed_in.page.reload()
    expect(signed_in.find(".tray__card")).to_be_visible()
    expect(signed_in.find(".mend")).to_have_count(0)


def test_the_first_key_is_there_again_though_the_store_had_not_got_it_yet(signed_in: Phone) -> None:
    keep(signed_in, misread())
    signed_in.open("/phone")
    signed_in.tap('[data-do="mend"]')
    expect(signed_in.find('[name="/body/check/volts/h-n"]')).to_be_visible()
    signed_in.page.evaluate(STORE_OUT_OF_REACH)
    signed_in.type("/body/check/volts/h-n", "1")
    signed_in.page.reload()

    expect(signed_in.find('[name="/body/check/volts/h-n"]')).to_have_value("1")


def test_what_no_field_reaches_is_mended_as_text(signed_in: Phone, site: Site, account: Account) -> None:
    check = an_arrival_check()
    check["body"]["check"]["volts"] = "none"
    keep(signed_in, check)
    signed_in.open("/phone")
    signed_in.tap('[data-do="mend"]')
    signed_in.tap("text=Open it as text")
    text = signed_in.find("textarea[name=text]")
    whole = text.input_value()
    text.fill(whole[:-3])
    signed_in.tap("text=Save and queue again")
    signed_in.expect_problem("text", "This text cannot be read")
    whole = json.loads(whole)
    whole["body"]["check"]["volts"] = {"h-n": "120 V"}
    text.fill(json.dumps(whole))
    signed_in.tap("text=Save and queue again")

    said(signed_in, "It is on the server.")
    assert stored(site, account)[0]["body"]["check"]["volts"] == {"h-n": "120 V"}


def test_a_refused_record_sent_again_is_refused_again_and_says_so(signed_in: Phone) -> None:
    keep(signed_in, misread())
    signed_in.open("/phone")
    signed_in.tap('[data-do="send"]')

    said(signed_in, "The server refused it again; its card says why.")
    expect(signed_in.find(".tray__card")).to_contain_text('"1213" is not a number')


def test_a_discarded_record_is_nowhere_and_undo_brings_it_back(
    signed_in: Phone, site: Site, account: Account
) -> None:
    check = misread()
    keep(signed_in, check)
    signed_in.open("/phone")
    signed_in.tap('[data-do="discard"]')
    expect(signed_in.find(".tray__card")).to_contain_text("nowhere now: not on this phone, not on the server")
    said(signed_in, "There is no record of yours on this phone.")
    signed_in.tap('[data-do="undo"]')
    expect(signed_in.find(".tray__card")).to_contain_text('"1213" is not a number')
    said(signed_in, "1 record on this phone, none of them on the server.")
    signed_in.tap('[data-do="discard"]')
    signed_in.find('[data-do="undo"]').wait_for()
    signed_in.page.reload()

    said(signed_in, "There is no record of yours on this phone.")
    expect(signed_in.find(".tray__card")).to_have_count(0)
    assert stored(site, account) == []


def test_a_record_on_which_the_server_fails_says_how_often_it_was_tried_and_when_again(
    signed_in: Phone, site: Site, account: Account
) -> None:
    bad, good = an_arrival_check(), an_arrival_check()

    def broken(route: Route) -> None:
        if bad["id"] not in (route.request.post_data or ""):
            return route.continue_()
        return route.fulfill(status=500, json={"problems": [{"at": "", "problem": "Something broke here."}]})

    signed_in.page.route("**/api/records", broken)
    keep(signed_in, bad, good)
    signed_in.open("/phone")

    card = signed_in.find(".tray__card")
    expect(card).to_contain_text("The server failed on it")
    expect(card).to_contain_text("Something broke here.")
    expect(card).to_contain_text(
        re.compile(r"Tried 1 time\. Next try \d\d:\d\d; the others go on without it")
    )
    assert [record["id"] for record in stored(site, account)] == [good["id"]]
    signed_in.page.unroute("**/api/records")
    signed_in.errors.clear()
    signed_in.tap('[data-do="send"]')
    said(signed_in, "It is on the server.")
    assert len(stored(site, account)) == 2


# Files, room, clock, home screen


def test_a_file_brings_records_to_another_phone_once(
    signed_in: Phone, site: Site, account: Account, tmp_path: Path
) -> None:
    check = an_arrival_check()
    signed_in.open("/phone")
    lose_the_network(signed_in)
    keep(signed_in, check)
    with signed_in.page.expect_download() as download:
        signed_in.tap('[data-save="unsent"]')
    file = tmp_path / "phone.json"
    download.value.save_as(file)
    signed_in.page.evaluate(
        "async (id) => (await import('/static/js/outbox/mending.js')).discard([id])", check["id"]
    )
    said(signed_in, "There is no record of yours on this phone.")
    find_the_network(signed_in)
    signed_in.page.locator("input[type=file]").set_input_files(file)
    expect(signed_in.find("fl-files")).to_contain_text("1 record added, 0 known already.")
    signed_in.page.locator("input[type=file]").set_input_files(file)
    expect(signed_in.find("fl-files")).to_contain_text("0 records added, 1 known already.")
    odd = tmp_path / "odd.json"
    odd.write_text("{}")
    signed_in.page.locator("input[type=file]").set_input_files(odd)
    expect(signed_in.find("fl-files .problem")).to_contain_text("nothing was written over")

    said(signed_in, "Nothing waits here: 1 record, and it is on the server.")
    assert [record["id"] for record in stored(site, account)] == [check["id"]]


def test_a_clock_that_is_wrong_by_more_than_five_minutes_is_told(signed_in: Phone) -> None:
    signed_in.page.clock.set_fixed_time(seconds(signed_in) - 12 * 60)
    check = an_arrival_check()
    keep(signed_in, check)
    signed_in.open("/phone")
    expect(signed_in.find("[data-part=clock]")).to_contain_text("12 minutes behind the server’s")
    signed_in.open(f"/checks/{check['id']}")

    said(signed_in, "The phone’s clock was 12 minutes behind the server’s when this was sent.")


def test_the_home_screen_is_not_offered_while_something_waits(phone: Phone) -> None:
    phone.open("/phone")
    expect(phone.find("fl-install")).to_contain_text("can add this site to the home screen")
    keep(phone, an_arrival_check())

    expect(phone.find("fl-install")).to_contain_text("Not yet: 1 record waits in this browser")
    expect(phone.find("fl-install button")).to_have_count(0)
    phone.tap("text=Found nothing here?")
    said(phone, "have a store of their own")


# Forms that only the server can take


def test_a_form_that_cannot_reach_the_server_keeps_what_was_typed_and_is_sent_later(
    signed_in: Phone, site: Site, account: Account
) -> None:
    keep(signed_in)  # all that the first page asks of the server is answered
    signed_in.open("/rigs/new")
    signed_in.type("name", "Wren")
    signed_in.choose("outlet", "TT-30")
    lose_the_network(signed_in)
    signed_in.tap("main button[type=submit]")
    expect(signed_in.find(".not-sent")).to_contain_text("Not sent: the server does not answer.")
    expect(signed_in.find("[name=name]")).to_have_value("Wren")
    find_the_network(signed_in)
    signed_in.tap("main button[type=submit]")

    expect(signed_in.find("h1")).to_contain_text("Wren")
    assert [record["body"]["name"] for record in stored(site, account)] == ["Wren"]


# How it looks


@in_each_look
def test_the_page_is_fit_for_rain_and_gloves_and_for_text_of_twice_the_size(
    signed_in: Phone, pictures: Path, looks: tuple[Look, ...]
) -> None:
    keep(signed_in, misread(), misread("0"))
    later(signed_in, 6)
    faults = []
    for name in ("phone", "mend", "text", "sign-out"):
        show(signed_in, name)
        faults += faults_in(looks, signed_in, name, pictures)
        with in_large_letters(signed_in):
            overhang = signed_in.page.evaluate(OVERHANG)
        faults += [f"{name} at twice the size: {overhang} px over the edge"] if overhang > 0 else []

    assert faults == []


def show(phone: Phone, name: str) -> None:
    """Bring one of the screens up."""
    if name == "phone":
        phone.open("/phone")
        expect(phone.find(".tray__card")).to_have_count(2)
    elif name == "mend":
        phone.tap('[data-do="mend"]')
        phone.find(".mend").wait_for()
    elif name == "text":
        phone.tap("text=Open it as text")
        phone.find("textarea").wait_for()
    else:
        phone.open("/sign-out")
        phone.find('[data-do="lock"]').wait_for()
