"""Photos that are on the phone only: counted, named, never taken off unsaid, each with ways to go on."""

import json
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
from playwright.sync_api import Route, expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.looks import Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.test_phone_page import said, stored
from tests.builders import a_photo, an_arrival_check
from tests.conftest import PASSWORD
from tests.pictures import a_jpeg
from tests.sync.held import a_file
from tests.sync.test_photo_sending import filed
from tests.sync.test_photo_sending import pictures as several

pytestmark = [pytest.mark.browser, pytest.mark.sources]

NAMES = (f"Waiter {number}" for number in count())
NO_PICTURE = b"\xff\xd8\xff no picture"
TAKE = """async (text) => {
  const { importFile } = await import("/static/js/outbox/file.js");
  const { sync } = await import("/static/js/sync/flush.js");
  const { problems } = await importFile(text);
  await sync();
  const { sendPhotos } = await import("/static/js/sync/photos.js");
  const { get } = await import("/static/js/outbox/db.js");
  await sendPhotos(await get("kept", "account")).catch(() => {});
  return problems;
}"""
DAMAGE = """async (hash) => {
  const { get, put } = await import("/static/js/outbox/db.js");
  const photo = await get("photos", hash);
  new Uint8Array(photo.data)[9] ^= 255;
  await put("photos", null, photo);
}"""
COUNT = """async () => {
  const { transact } = await import("/static/js/outbox/db.js");
  return transact("photos", "readonly", (store) => store.count());
}"""


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def signed_in(phone: Phone, account: Account) -> Iterator[Phone]:
    phone.enter(account.name, PASSWORD, "/sign-out")
    said(phone, f"The log on this phone is that of {account.name}")
    yield phone
    # What a route of a test answered, and what was under way when the session ended.
    phone.excuse("ERR_FAILED", "401 (UNAUTHORIZED)", "500 (Internal", "422 (UNPROCESSABLE")


def take(phone: Phone, *contents: bytes, what: str = "") -> list[str]:
    """Put a check with these photos on the phone, let all of it be sent, and give the photos' hashes."""
    check = an_arrival_check()
    records = [check, *(a_photo(check["id"], content, what=what) for content in contents)]
    photos = [filed(content) for content in contents]
    assert phone.page.evaluate(TAKE, a_file(*records, photos=photos)) == []
    return [photo["hash"] for photo in photos]


def fail_photos(phone: Phone) -> None:
    phone.context.route(
        "**/api/photos/**",
        lambda route: (
            route.fulfill(status=500, json={"problems": []}) if _is_put(route) else route.continue_()
        ),
    )


def _is_put(route: Route) -> bool:
    return route.request.method == "PUT"


def test_photos_that_are_on_this_phone_only_are_counted_and_named(signed_in: Phone) -> None:
    fail_photos(signed_in)
    take(signed_in, *several(2))
    signed_in.open("/phone")
    said(signed_in, "3 records on this phone, all of them on the server; 2 photos are on this phone only.")
    expect(signed_in.find("fl-waiting")).to_contain_text("2 photos are on this phone only")
    expect(signed_in.find("fl-install")).to_contain_text("Not yet: 2 photos wait in this browser")
    with signed_in.page.expect_download() as download:
        signed_in.tap('[data-save="unsent"]')
    said(signed_in, "2 photos handed to the browser as")

    file = json.loads(Path(download.value.path()).read_text(encoding="utf-8"))
    assert (len(file["records"]), len(file["photos"])) == (0, 2)


def test_signing_out_with_photos_that_are_on_this_phone_only_offers_the_choices(signed_in: Phone) -> None:
    fail_photos(signed_in)
    take(signed_in, *several(2))
    signed_in.open("/sign-out")
    said(signed_in, "2 photos are on this phone only. Choose what becomes of them.")
    signed_in.tap('[data-do="send"]')
    said(signed_in, "2 photos did not go.")
    signed_in.type("count", "2")
    signed_in.tap('[data-do="discard"]')

    said(signed_in, "2 photos discarded.")
    assert signed_in.page.evaluate(COUNT) == 0


def test_sending_before_signing_out_waits_for_the_photos(
    signed_in: Phone, site: Site, account: Account
) -> None:
    signed_in.context.route("**/api/**", lambda route: route.abort())
    (name,) = take(signed_in, a_jpeg())
    said(signed_in, "2 records and 1 photo are on this phone only. Choose what becomes of them.")
    signed_in.context.unroute("**/api/**")
    signed_in.tap('[data-do="send"]')

    said(signed_in, "Nothing waits here. 2 records are on the server")
    assert site.has_photo(account, name)
    signed_in.tap('[data-do="go"]')
    said(signed_in, "Signed out on this phone")


def test_a_refused_photo_and_a_damaged_one_are_not_taken_off_unsaid(signed_in: Phone) -> None:
    fail_photos(signed_in)
    (damaged,) = take(signed_in, a_jpeg())
    signed_in.page.evaluate(DAMAGE, damaged)
    signed_in.context.unroute("**/api/photos/**")
    take(signed_in, NO_PICTURE)
    signed_in.open("/sign-out")
    said(signed_in, "2 photos are on this phone only.")
    signed_in.tap('[data-do="lock"]')

    said(signed_in, "2 photos lie locked on this phone until this account signs in here again.")
    assert signed_in.page.evaluate(COUNT) == 2


def test_a_refused_photo_has_its_card_and_can_be_sent_again_saved_and_discarded(
    signed_in: Phone, site: Site, account: Account
) -> None:
    (name,) = take(signed_in, NO_PICTURE, what="The slot, burned")
    signed_in.open("/phone")
    card = signed_in.find("fl-photo-tray .tray__card")
    expect(card).to_contain_text("Photo: The slot, burned")
    expect(card).to_contain_text("Refused by the server")
    expect(card).to_contain_text("The picture cannot be drawn")
    signed_in.tap('fl-photo-tray [data-do="send"]')
    said(signed_in, "It did not go; its card says why.")
    with signed_in.page.expect_download() as download:
        signed_in.tap('fl-photo-tray [data-do="save"]')
    assert Path(download.value.path()).read_bytes() == NO_PICTURE
    assert download.value.suggested_filename == f"fieldlog-photo-{name[:12]}.jpg"
    signed_in.tap('fl-photo-tray [data-do="discard"]')
    expect(card).to_contain_text("nowhere now")
    said(signed_in, "Nothing waits here: 2 records, all on the server.")
    signed_in.tap('fl-photo-tray [data-do="undo"]')
    expect(card).to_contain_text("Refused by the server")
    signed_in.tap('fl-photo-tray [data-do="discard"]')
    signed_in.find('fl-photo-tray [data-do="undo"]').wait_for()
    signed_in.page.reload()
    said(signed_in, "Nothing waits here: 2 records, all on the server.")

    expect(card).to_have_count(0)
    assert len(stored(site, account)) == 2


def test_a_photo_on_which_the_server_fails_goes_when_a_person_sends_it_again(
    signed_in: Phone, site: Site, account: Account
) -> None:
    fail_photos(signed_in)
    (name,) = take(signed_in, a_jpeg())
    signed_in.open("/phone")
    card = signed_in.find("fl-photo-tray .tray__card")
    expect(card).to_contain_text("Tried 1 time. Next try")
    expect(card.locator("img")).to_have_js_property("naturalWidth", 64)
    signed_in.context.unroute("**/api/photos/**")
    signed_in.tap('fl-photo-tray [data-do="send"]')

    said(signed_in, "It is on the server.")
    expect(card).to_have_count(0)
    assert site.has_photo(account, name)


def test_a_locked_photo_of_another_account_is_counted_with_its_records(signed_in: Phone, site: Site) -> None:
    fail_photos(signed_in)
    take(signed_in, a_jpeg())
    signed_in.open("/sign-out")
    signed_in.tap('[data-do="lock"]')
    said(signed_in, "Signed out on this phone")
    signed_in.sign_in(site.account(next(NAMES)).name, PASSWORD)
    signed_in.open("/phone")

    expect(signed_in.find("[data-part=locked]")).to_have_text(
        "1 photo of another account waits here locked until it signs in; it is not encrypted."
    )


@in_each_look
def test_the_pages_are_fit_for_rain_and_gloves_with_photos_on_them(
    signed_in: Phone, pictures: Path, looks: tuple[Look, ...]
) -> None:
    take(signed_in, NO_PICTURE, what="The slot, burned")
    fail_photos(signed_in)
    take(signed_in, a_jpeg(640, 480))
    faults = []
    for path in ("/phone", "/sign-out"):
        signed_in.open(path)
        said(signed_in, "2 photos are on this phone only")
        faults += faults_in(looks, signed_in, f"photos-on-{path[1:]}", pictures)
    print(f"pictures: {pictures}")

    assert faults == []
