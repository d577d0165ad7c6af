"""Photos of a check: taken without a signal, kept beside it, sent after it."""

import hashlib
from collections.abc import Iterator
from pathlib import Path
from time import monotonic
from typing import Any

import pytest
from PIL import Image
from playwright.sync_api import Browser, expect

from tests.browser.phone import Phone, arrive_by_meter
from tests.browser.served import Server, a_phone, visit
from tests.conftest import PASSWORD
from tests.pictures import GPS_MARK, a_picture, exif, written

pytestmark = [pytest.mark.browser, pytest.mark.sources]

KEPT = """async () => {
  const { together } = await import("/static/joined/js/outbox/db.js");
  const photos = await together(["photos"], "readonly", ({ photos }) => photos.getAll());
  return photos.map(({ data, ...photo }) => ({ ...photo, bytesHere: [...new Uint8Array(data)] }));
}"""
DAMAGE = """async () => {
  const { together } = await import("/static/joined/js/outbox/db.js");
  await together(["photos"], "readwrite", ({ photos }) => {
    photos.getAll().onsuccess = ({ target }) => target.result.forEach((photo) => {
      new Uint8Array(photo.data)[200] ^= 255;
      photos.put(photo);
    });
  });
}"""

# What the browser says of a server that is away, or that went just as it was asked.
AWAY = ("ERR_CONNECTION_REFUSED", "ERR_CONNECTION_RESET")
# Chromium's switch for a small quota let single writes through when tried; a full store ends one like this.
FULL = """() => {
  const put = IDBObjectStore.prototype.put;
  IDBObjectStore.prototype.put = function (...given) {
    const request = put.apply(this, given);
    if (this.name !== "photos") return request;
    const { transaction } = this;
    Object.defineProperty(transaction, "error", { value: new DOMException("full", "QuotaExceededError") });
    request.addEventListener("success", () => transaction.abort());
    return request;
  };
}"""
KINDS = """async () => {
  const { allRows } = await import("/static/joined/js/outbox/queue.js");
  return (await allRows()).map(({ record }) => record.kind);
}"""


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server that can be stopped."""
    server = Server(tmp_path_factory.mktemp("photos"), is_wholly_joined=False)
    yield server
    server.close()


@pytest.fixture
def phone(browser: Browser, server: Server) -> Iterator[Phone]:
    """A phone that keeps pages; what it prints about a server that is away is no error."""
    server.stop()
    server.start()
    server.asked.clear()
    with a_phone(browser, server) as phone:
        yield phone
        assert [error for error in phone.errors if not any(away in error for away in AWAY)] == []


@pytest.fixture
def taken(tmp_path: Path) -> Path:
    """What a phone's camera gives: held upright, so the file lies on its side, and full of notes."""
    path = tmp_path / "DCIM0001.jpg"
    path.write_bytes(written(a_picture(2400, 1800), exif=exif(6), quality=90))
    return path


def kept(phone: Phone) -> list[dict[str, Any]]:
    """Give the photos on the phone."""
    found: list[dict[str, Any]] = phone.page.evaluate(KEPT)
    return found


def judge_and_take(phone: Phone, photo: Path, words: str = "") -> None:
    """Make a whole check, and take a photo once it is kept."""
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    take(phone, photo, words)


def take(phone: Phone, photo: Path, words: str = "") -> None:
    """Take a photo where one is offered."""
    shown = phone.find("fl-photos")
    shown.locator("[data-part=what]").fill(words)
    shown.locator("[data-photo=camera]").set_input_files(photo)


def test_a_photo_taken_without_a_server_follows_its_check_to_it(
    phone: Phone, server: Server, taken: Path
) -> None:
    server.account("Dipper")
    visit(phone)
    phone.enter("Dipper", PASSWORD)
    server.stop()
    judge_and_take(phone, taken, "The slot, burned")

    figure = phone.find("fl-photos figure")
    expect(figure.locator('[data-saved="phone"]')).to_be_visible()
    expect(figure).to_contain_text("The slot, burned")
    expect(figure.locator("img")).to_have_js_property("naturalWidth", 1200)
    [photo] = kept(phone)
    content = bytes(photo["bytesHere"])
    assert photo["hash"] == hashlib.sha256(content).hexdigest() and photo["bytes"] == len(content)
    assert (photo["width"], photo["height"]) == (1200, 1600)
    assert b"Exif" not in content and GPS_MARK.encode() not in content

    server.asked.clear()
    server.start()
    phone.open("/")
    phone.tap(".check-card")
    expect(phone.find('fl-photos figure [data-saved="server"]')).to_be_visible()
    asked = [path for path in server.asked if path.startswith("/api/") and path != "/api/session"]
    assert asked.index("/api/records") < asked.index(f"/api/photos/{photo['hash']}")
    answer = phone.context.request.get(f"{server.address}/api/photos/{photo['hash']}")
    assert answer.status == 200 and b"Exif" not in answer.body()
    phone.open("/history")
    phone.tap(".log-list a")
    expect(phone.find("img.photo__picture")).to_have_js_property("naturalHeight", 1600)


@pytest.mark.faults
def test_over_a_line_of_two_kilobytes_a_second_a_photo_arrives_in_parts(
    phone: Phone, server: Server, tmp_path: Path
) -> None:
    """A weak signal behind trees, common practice: the whole photo at once would be cut off."""
    rough = tmp_path / "rough.jpg"
    Image.effect_noise((700, 525), 90).convert("RGB").save(rough, quality=90)
    server.account("Wren")
    visit(phone)
    phone.enter("Wren", PASSWORD)
    server.stop()
    judge_and_take(phone, rough)
    expect(phone.find('fl-photos figure [data-saved="phone"]')).to_be_visible()
    [photo] = kept(phone)
    server.start()
    server.asked.clear()

    began = monotonic()
    slow = {"offline": False, "latency": 300, "uploadThroughput": 2000, "downloadThroughput": 20_000}
    phone.context.new_cdp_session(phone.page).send("Network.emulateNetworkConditions", slow)
    phone.open("/")
    phone.tap(".check-card")
    on_the_server = phone.find('fl-photos figure [data-saved="server"]')
    expect(on_the_server).to_be_visible(timeout=1000 * (60 + photo["bytes"] / 500))

    sent = [path for path in server.asked if path.startswith(f"/api/photos/{photo['hash']}")]
    print(f"no seed: {photo['bytes']} bytes in {monotonic() - began:.0f} s, asked {len(sent)} times")
    assert photo["bytes"] > 80_000 and len(sent) > 3
    assert phone.context.request.get(f"{server.address}/api/photos/{photo['hash']}").status == 200


def test_a_photo_that_does_not_fit_is_refused_and_the_check_is_kept(phone: Phone, taken: Path) -> None:
    visit(phone)
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.page.evaluate(FULL)
    take(phone, taken)

    told = phone.find("fl-photos [data-part=photo-told]")
    expect(told).to_have_text("The photo does not fit on this phone; all that was noted is kept.")
    phone.expect_saved("phone")
    assert kept(phone) == []
    assert [kind for kind in phone.page.evaluate(KINDS) if kind == "photo"] == []
    phone.page.reload()
    phone.expect_saved("phone")
    take(phone, taken)
    expect(told).to_have_text("The photo is kept.")


def test_a_damaged_photo_is_said_to_be_and_holds_up_nothing(
    phone: Phone, server: Server, taken: Path
) -> None:
    server.account("Wheatear")
    visit(phone)
    phone.enter("Wheatear", PASSWORD)
    server.stop()
    judge_and_take(phone, taken)
    expect(phone.find('fl-photos figure [data-saved="phone"]')).to_be_visible()
    phone.page.evaluate(DAMAGE)
    server.asked.clear()
    server.start()
    phone.open("/")

    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    phone.tap(".check-card")
    expect(phone.find('fl-photos [data-photo="damaged"]')).to_contain_text("not sent")
    assert not [path for path in server.asked if path.startswith("/api/photos/")]


def test_what_is_no_picture_is_not_kept(phone: Phone, tmp_path: Path) -> None:
    page = tmp_path / "page.jpg"
    page.write_text("<!doctype html><script>alert(1)</script>")
    visit(phone)
    judge_and_take(phone, page)

    expect(phone.find("fl-photos [data-part=photo-told]")).to_contain_text("cannot be opened as a picture")
    assert kept(phone) == []
