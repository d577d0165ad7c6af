"""The file that verifies, opened from a disk in a real browser: nothing is fetched, no text runs."""

import json
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

from fieldlog.bundle.integrity import fingerprint, signed
from fieldlog.web.verify.views import FILE
from tests.bundle.records import KEY, MADE_AT, document, logged, noted, text_of

pytestmark = [pytest.mark.browser, pytest.mark.whole]

HOSTILE = "<img src=x onerror=\"document.title='ran'\"></script><script>document.title='ran'</script>"


@pytest.fixture
def page(browser: Browser, tmp_path: Path) -> Any:
    """The file on a page of 360 x 740 without a network."""
    kept = tmp_path / "verify.html"
    kept.write_bytes(FILE.read_bytes())
    context = browser.new_context(viewport={"width": 360, "height": 740}, offline=True)
    page = context.new_page()
    page.goto(kept.as_uri())
    yield page
    context.close()


def verify(page: Page, file: Path, checkpoint: str = "") -> None:
    """Choose a record and have it verified, as a buyer does."""
    page.get_by_label("The record (JSON)").set_input_files(file)
    page.get_by_label("Checkpoints that you or others kept, one a line").fill(checkpoint)
    page.get_by_role("button", name="Verify").click()


def test_a_record_that_holds_is_shown_and_one_that_was_changed_is_refused(page: Page, tmp_path: Path) -> None:
    entries = logged([noted()[0] | {"made_by": HOSTILE}])
    whole = document(entries)
    good, bad = tmp_path / "good.json", tmp_path / "bad.json"
    good.write_bytes(text_of(whole))
    bad.write_bytes(text_of(json.loads(good.read_text().replace("onerror", "onError"))))
    asked = list[str]()
    page.on("request", lambda request: asked.append(request.url))
    kept = f"fieldlog-checkpoint-1 {entries[0].record.id} 1 {entries[0].head} 2026-11-20"

    verify(page, good, kept)
    expect(page.locator("#answer[data-state=holds]")).to_contain_text(fingerprint(whole["issuer"]))
    expect(page.locator("#answer")).to_contain_text("since the checkpoint of 2026-11-20")
    page.locator("summary").first.click()
    expect(page.locator("dd").filter(has_text="onerror").first).to_be_visible()

    verify(page, bad)
    expect(page.locator("#answer[data-state=refused]")).to_contain_text("the document is not what was signed")
    expect(page.locator("#answer")).not_to_contain_text("onError")

    verify(page, good, "x")
    expect(page.locator("#answer[data-state=refused]")).to_contain_text("This is no checkpoint")
    assert page.title() == "Verify a signed record"
    assert asked == []


def test_what_another_key_signed_again_is_refused_where_the_reader_knows_the_first(
    page: Page, tmp_path: Path
) -> None:
    whole = document()
    bare = {name: value for name, value in whole.items() if name != "proof"}
    file = tmp_path / "record.json"
    file.write_bytes(text_of(signed(bare, KEY, MADE_AT)))
    page.get_by_label("Fingerprints of keys that you know, one a line").fill("0000 0000 0000 0000 0000")

    verify(page, file)

    expect(page.locator("#answer[data-state=refused]")).to_contain_text("none of those that you know")
