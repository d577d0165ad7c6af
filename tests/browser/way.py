"""Between a phone and its account: a server behind a proxy, and what each of the two holds."""

import secrets
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, ViewportSize

from fieldlog.clock import now
from fieldlog.model.account import Account
from fieldlog.store.accounts import open_session
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.proxy import Proxy
from tests.builders import an_arrival_check
from tests.conftest import an_account

SIZE: ViewportSize = {"width": 360, "height": 740}


@dataclass(frozen=True)
class Sizes:
    """How much a test does."""

    readings: int
    kills_while_sending: int
    kills_after_saving: int
    kills_of_both: int
    history: int
    tab_runs: int
    tab_records: int
    over_a_bad_line: int


SMALL = Sizes(40, 1, 2, 1, history=500, tab_runs=1, tab_records=25, over_a_bad_line=100)
FULL = Sizes(500, 50, 100, 30, history=2000, tab_runs=20, tab_records=100, over_a_bad_line=2000)

in_both_sizes = pytest.mark.parametrize(
    "sizes",
    [pytest.param(SMALL, id="small"), pytest.param(FULL, id="full", marks=pytest.mark.faults)],
)

# Scripts for a page of the site. They use the modules that the page itself runs.
_QUEUE = 'const queue = await import("/static/js/outbox/queue.js");'
_MENDING = 'const mending = await import("/static/js/outbox/mending.js");'
_SYNC = 'const { sync, standing } = await import("/static/js/sync/flush.js");'
_PAUSE = "const pause = () => new Promise((settled) => setTimeout(settled, 40));"
_KEEP_ONE = """
  const { uuid7 } = await import("/static/js/lib/uuid7.js");
  const { localIso } = await import("/static/js/lib/times.js");
  const keepOne = () => queue.keep({ ...record, id: uuid7(), observed_at: localIso(new Date()) });
"""
KEEP = f"""async ({{ record, count }}) => {{
  {_QUEUE} {_KEEP_ONE}
  const kept = {{}};
  for (let i = 0; i < count; i += 1) {{
    const row = await keepOne();
    kept[row.id] = row.hash;
  }}
  return kept;
}}"""
# All in one transaction: a queue as it stands after weeks, made quickly.
FILL = f"""async ({{ record, count }}) => {{
  const {{ newRow }} = await import("/static/js/outbox/rows.js");
  const {{ get, together }} = await import("/static/js/outbox/db.js");
  const queue = {{ keep: (record) => newRow(record, account) }};
  const account = (await get("kept", "account")) ?? null;
  {_KEEP_ONE}
  const made = Array.from({{ length: count }}, keepOne);
  await together(["records"], "readwrite", ({{ records }}) => made.forEach((row) => void records.put(row)));
  return Object.fromEntries(made.map(({{ id, hash }}) => [id, hash]));
}}"""
KEEP_AND_SEND = f"""async ({{ record, count, every }}) => {{
  {_QUEUE} {_SYNC} {_KEEP_ONE}
  const kept = {{}};
  for (let i = 0; i < count; i += 1) {{
    const row = await keepOne();
    kept[row.id] = row.hash;
    if ((i + 1) % every === 0) await sync();
  }}
  return kept;
}}"""
BEGIN_TO_SEND = f"async () => {{ {_SYNC} sync(); }}"
SEND = f"async () => {{ {_SYNC} await sync(); return {{ ...standing }}; }}"
# What a person does who looks again and again, and taps "Send again" where something failed each time.
SEND_ALL = f"""async (patience_ms) => {{
  {_QUEUE} {_MENDING} {_SYNC} {_PAUSE}
  const until = performance.now() + patience_ms;
  const left = async () => (await queue.unsentRows()).filter(({{ saved }}) => saved === "phone");
  while ((await left()).length && performance.now() < until) {{
    for (const row of await left()) if (row.tries) await mending.resend(row.id);
    await sync();
    await pause();
  }}
  return (await queue.unsentRows()).length;
}}"""
WAIT_UNTIL_SENT = f"""async (patience_ms) => {{
  {_QUEUE} {_PAUSE}
  const until = performance.now() + patience_ms;
  while ((await queue.unsentRows()).length && performance.now() < until) await pause();
  return (await queue.unsentRows()).length;
}}"""
ROWS = f"""async () => {{
  {_QUEUE}
  const told = ({{ id, hash, saved, seq, record }}) => ({{ id, hash, saved, seq, kind: record.kind }});
  return (await queue.allRows()).map(told);
}}"""
PLAIN_PAGE = "/sign-in"


class Way:
    """A server, and the proxy in front of it."""

    def __init__(self, server_port: int, store: Store) -> None:
        self.proxy = Proxy(server_port)
        self.store = store

    @property
    def address(self) -> str:
        """Where phones find it."""
        return self.proxy.address

    def account(self, name: str) -> Account:
        """Make an account."""
        return an_account(self.store, now, name)

    def enter(self, context: BrowserContext, account: Account) -> None:
        """Sign a browser in, as the form does."""
        token = secrets.token_urlsafe(32)
        with self.store.writing() as tx:
            open_session(tx, account, token, created_at=now(), expires_at=now() + timedelta(days=90))
        context.add_cookies([{"name": "fieldlog", "value": token, "url": self.address}])

    def entries(self, account: Account) -> list[dict[str, Any]]:
        """Give all that the server holds of an account, in its order."""
        with self.store.reading() as tx:
            return [entry.as_json() for entry in records_after(tx, account.id, 0, 100_000)]

    def hashes(self, account: Account) -> dict[str, str]:
        """Give the hash of each record that the server holds, by id."""
        entries = self.entries(account)
        found = {entry["record"]["id"]: entry["hash"] for entry in entries}
        assert len(found) == len(entries), "the server holds a record twice"
        return found

    @contextmanager
    def phone(
        self, browser: Browser, account: Account | None = None, *scripts: str, **look: Any
    ) -> Iterator[Phone]:
        """Hold a phone, signed in where an account is given; scripts run before those of each page."""
        context = browser.new_context(
            viewport=SIZE, has_touch=True, is_mobile=True, **{"service_workers": "block", **look}
        )
        for script in scripts:
            context.add_init_script(script)
        if account:
            self.enter(context, account)
        yield Phone(context, self.address)
        context.close()

    def close(self) -> None:
        """Stop for good."""
        self.proxy.close()


@contextmanager
def to_the(site: Site) -> Iterator[Way]:
    """Hold a proxy in front of the served app."""
    way = Way(int(site.address.rpartition(":")[2]), site.store)
    yield way
    way.close()


def keep(page: Page, count: int) -> dict[str, str]:
    """Keep so many checks on the phone, and give the hash of each by id."""
    found: dict[str, str] = page.evaluate(KEEP, {"record": an_arrival_check(), "count": count})
    return found


def fill(page: Page, count: int) -> dict[str, str]:
    """Put a long queue on the phone, and give the hash of each record by id."""
    found: dict[str, str] = page.evaluate(FILL, {"record": an_arrival_check(), "count": count})
    return found


def keep_and_send(page: Page, count: int, every: int = 1) -> dict[str, str]:
    """Keep checks one after the other, and try to send after every so many."""
    asked = {"record": an_arrival_check(), "count": count, "every": every}
    found: dict[str, str] = page.evaluate(KEEP_AND_SEND, asked)
    return found


def send(page: Page) -> dict[str, Any]:
    """Try to send, once, and give how the page stands to the server then."""
    found: dict[str, Any] = page.evaluate(SEND)
    return found


def send_all(page: Page, patience_s: float = 60) -> int:
    """Try to send until nothing is left that can go, and give how many records are on the phone only."""
    left: int = page.evaluate(SEND_ALL, patience_s * 1000)
    return left


def wait_until_sent(page: Page, patience_s: float = 30) -> int:
    """Wait while the page sends by itself, and give how many records are on the phone only."""
    left: int = page.evaluate(WAIT_UNTIL_SENT, patience_s * 1000)
    return left


def rows(page: Page) -> list[dict[str, Any]]:
    """Give the rows on the phone that its person may see, in the phone's order."""
    found: list[dict[str, Any]] = page.evaluate(ROWS)
    return found


def hashes_on(page: Page) -> dict[str, str]:
    """Give the hash of each record on the phone, by id."""
    return {row["id"]: row["hash"] for row in rows(page)}


def places(page: Page) -> set[str]:
    """Give where the records on the phone are said to be saved."""
    return {row["saved"] for row in rows(page)}
