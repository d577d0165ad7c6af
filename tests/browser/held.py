"""A phone's store without a page in front of it: the modules of the pages, asked directly."""

import json
from datetime import timedelta
from typing import Any, Final

from playwright.sync_api import BrowserContext, Page

from fieldlog.clock import new_id, now
from fieldlog.model.account import Account
from fieldlog.store.accounts import open_session
from tests.asked_phone import AskedPhone
from tests.browser.conftest import Site
from tests.repository import ROOT

BARE: Final = "/healthz"  # an answer of this site in which none of our script runs by itself
MODULES: Final = {
    "db": "outbox/db.js",
    "queue": "outbox/queue.js",
    "mending": "outbox/mending.js",
    "leaving": "sync/leaving.js",
    "file": "outbox/file.js",
    "flush": "sync/flush.js",
}
ASK: Final = "async (given) => { const [%s] = await Promise.all([%s]); %s }"
FIRST_VERSION: Final = """({ rows, makesWay }) => new Promise((done, failed) => {
  const request = indexedDB.open("fieldlog", 1);
  request.onerror = () => failed(request.error);
  request.onupgradeneeded = () => {
    request.result.createObjectStore("records", { keyPath: "id" });
    for (const name of ["drafts", "remembered", "kept"]) request.result.createObjectStore(name);
  };
  request.onsuccess = () => {
    const db = request.result;
    if (makesWay) db.onversionchange = () => db.close();
    const transaction = db.transaction(["records", "drafts", "remembered", "kept"], "readwrite");
    for (const row of rows.records) transaction.objectStore("records").put(row);
    for (const name of ["drafts", "remembered", "kept"])
      for (const [key, value] of Object.entries(rows[name])) transaction.objectStore(name).put(value, key);
    transaction.oncomplete = () => done(db.version);
  };
})"""

HELD_ROWS: Final = """() => new Promise((done, failed) => {
  const request = indexedDB.open("fieldlog");
  request.onerror = () => failed(request.error);
  request.onsuccess = () => {
    const names = [...request.result.objectStoreNames];
    const rows = request.result.transaction("records").objectStore("records").getAll();
    rows.onsuccess = () => done({ version: request.result.version, names, rows: rows.result });
  };
})"""
FIRST: Final[dict[str, Any]] = json.loads(
    (ROOT / "tests/cases/phone-store-1.json").read_text(encoding="utf-8")
)
IDS: Final = {row["id"] for row in FIRST["records"]}


class Held(AskedPhone):
    """One page of a phone that is asked what its store does."""

    def __init__(self, page: Page, site: Site) -> None:
        self.page = page
        self.site = site
        page.goto(site.address + BARE)

    @property
    def context(self) -> BrowserContext:
        """The browser around the page."""
        return self.page.context

    def ask(self, body: str, given: Any = None) -> Any:
        """Run a text of script that knows the modules by name, and give what it returns."""
        imports = ", ".join(f'import("/static/js/{path}")' for path in MODULES.values())
        return self.page.evaluate(ASK % (", ".join(MODULES), imports, body), given)

    def sign_in(self, account: Account) -> None:
        """Sign in, as the page for it does: with a new session in a cookie."""
        token = new_id()
        with self.site.store.writing() as tx:
            open_session(tx, account, token, created_at=now(), expires_at=now() + timedelta(days=1))
        self.context.add_cookies([{"name": "fieldlog", "value": token, "url": self.site.address}])
