"""A served app with a database of its own, and a phone in front of it."""

import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, Any

import pytest
from flask import Response, request
from playwright.sync_api import Browser, Playwright, ViewportSize, expect, sync_playwright
from werkzeug.serving import WSGIRequestHandler, make_server

from fieldlog.app import create_app
from fieldlog.clock import now
from fieldlog.config import ROOT, Config
from fieldlog.joining import FIRST, FOLDER, PAGES, PROGRAM
from fieldlog.model.account import Account
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from fieldlog.sync.inbox import Inbox
from fieldlog.web.layout.modules import add_loads, loads
from tests.browser.phone import PATIENCE_MS, Phone
from tests.builders import NOON, make_records_at
from tests.conftest import an_account
from tests.node import node_program
from tests.sync.held import has_photo

if TYPE_CHECKING:
    from tests.browser.served import Server  # which takes the app from here

expect.set_options(timeout=PATIENCE_MS)

# The same engine, without windows and tool bars: most tests need no more, and each window takes long to open.
SHELL = "/usr/bin/chromium-headless-shell"
WHOLE = "/usr/bin/chromium"
SWITCHES = [
    "--no-sandbox",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-gpu",
    "--disable-gpu-rasterization",
    "--disable-features=InitialWebUI,WebUIReloadButton,WebUIToolbar",
]


class Quiet(WSGIRequestHandler):
    """Answers without a line for each request."""

    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        """Say nothing."""


# The modules under static/ that tests ask.
ASKED = (
    *(f"js/outbox/{name}.js" for name in ("db", "file", "mending", "queue", "rows")),
    *(f"js/sync/{name}.js" for name in ("flush", "leaving", "photos")),
    *(f"js/lib/{name}.js" for name in ("times", "uuid7")),
    "js/elements/saved.js",
)
WITH_ASKED = "js/with-asked.js"


@dataclass(frozen=True)
class Site:
    """The served app."""

    address: str
    store: Store
    parts: Any

    def account(self, name: str) -> Account:
        """Make an account."""
        return an_account(self.store, now, name)

    def hand_in(self, account: Account, *records: dict[str, Any]) -> None:
        """Keep records as if another device had sent them."""
        receipts = Inbox(self.store, self.parts.rulebook_or_damage, account).receive(list(records), now())
        assert [receipt.status for receipt in receipts] == ["stored"] * len(records), receipts

    def records(self, account: Account) -> list[dict[str, Any]]:
        """Give what the server holds, in order."""
        with self.store.reading() as tx:
            return [entry.as_json() for entry in records_after(tx, account.id, 0, 1000)]

    def has_photo(self, account: Account, name: str) -> bool:
        """Say whether the server holds an account's photo."""
        return has_photo(self.parts.photo_inbox(account), name)


@pytest.fixture(autouse=True)
def today() -> Iterator[None]:
    """Make the records of a test at its own time, as the browser's clock is the real one."""
    make_records_at(now())
    yield
    make_records_at(NOON)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator["Server"]:
    """A server that can be stopped, for all tests of a module."""
    from tests.browser.served import Server

    server = Server(tmp_path_factory.mktemp("served"))
    yield server
    server.close()


@pytest.fixture
def site(request: pytest.FixtureRequest) -> Site:
    """The app as it is run; in modules marked "sources", with the modules that tests ask."""
    name = "site_of_sources" if request.node.get_closest_marker("sources") else "joined_site"
    found: Site = request.getfixturevalue(name)
    return found


@pytest.fixture(scope="session")
def joined_site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The app, served on a free port of this machine."""
    yield from _served(tmp_path_factory.mktemp("site"))


@pytest.fixture(scope="session")
def site_of_sources(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    """The same with the modules that tests ask at their own addresses: each is the page's very own."""
    folder = tmp_path_factory.mktemp("sources")
    static = folder / "static"
    shutil.copytree(ROOT / "static", static, ignore=shutil.ignore_patterns(FOLDER, "js"))
    join_with_asked(static)
    yield from _served(folder, static)


def join_with_asked(static: Path) -> None:
    """Join the scripts into a folder so that the modules in ASKED stay whole, each also found where it lies.

    A hundred modules, each fetched by itself, cost a phone under test more than all else that it does. One
    that is not in ASKED is missing there, so that none is there twice.
    """
    program, source = ROOT / "deploy" / PROGRAM, ROOT / "static"
    pages = sorted(path.relative_to(source).as_posix() for path in (source / PAGES).glob("*.js"))
    run = [node_program(), str(program), str(source), str(static / FOLDER), *FIRST, *pages, *ASKED]
    subprocess.run(run, check=True)
    for name in ASKED:
        path = static / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f'export * from "/static/{FOLDER}/{name}";\n', encoding="utf-8")


def _served(data: Path, static: Path | None = None) -> Iterator[Site]:
    app = create_app(Config(data=data, database_url=f"sqlite:///{data / 'fieldlog.sqlite3'}"))
    if static is not None:
        app.static_folder = str(static)
        app.after_request(_kept_by_the_browser)
        add_loads(app)
        found = loads(static)
        # Each page has them from the start, so that they can be asked once the network is gone.
        brought = "".join(f'import "/static/{name}";\n' for name in (found.script, *ASKED))
        (static / WITH_ASKED).write_text(brought, encoding="utf-8")
        loaded = found._replace(script=WITH_ASKED, modules=(*found.modules, found.script, *ASKED))
        app.jinja_env.globals["loads"] = loaded
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet)
    thread = Thread(target=server.serve_forever)
    thread.start()
    parts = app.extensions["fieldlog"]
    yield Site(f"http://127.0.0.1:{server.server_port}", parts.store, parts)
    server.shutdown()
    thread.join()
    server.server_close()
    parts.store.close()


def _kept_by_the_browser(response: Response) -> Response:
    """Spare a phone to ask for each of many modules anew at every page."""
    if request.path.startswith("/static/"):
        response.headers["Cache-Control"] = "max-age=3600"
    return response


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """What drives the browser."""
    with sync_playwright() as playwright:
        yield playwright


@pytest.fixture
def browser(request: pytest.FixtureRequest) -> Browser:
    """The browser's engine; in modules marked "whole", the browser as people have it."""
    name = "whole_browser" if request.node.get_closest_marker("whole") else "shell"
    found: Browser = request.getfixturevalue(name)
    return found


@pytest.fixture(scope="session")
def shell(playwright: Playwright) -> Iterator[Browser]:
    """The engine alone."""
    with playwright.chromium.launch(executable_path=SHELL, args=SWITCHES) as browser:
        yield browser


@pytest.fixture(scope="session")
def whole_browser(playwright: Playwright) -> Iterator[Browser]:
    """The system's browser."""
    with playwright.chromium.launch(executable_path=WHOLE, args=SWITCHES) as browser:
        yield browser


@pytest.fixture
def look(request: pytest.FixtureRequest) -> dict[str, Any]:
    """How the phone looks; a test may ask for another one."""
    return dict(getattr(request, "param", {}))


@pytest.fixture
def phone(browser: Browser, site: Site, look: dict[str, Any]) -> Iterator[Phone]:
    """A phone of 360 x 740 that ends without an error or a broken policy."""
    size: ViewportSize = {"width": look.pop("width", 360), "height": 740}
    context = browser.new_context(
        viewport=size, has_touch=True, is_mobile=True, **{"service_workers": "block", **look}
    )
    phone = Phone(context, site.address)
    yield phone
    context.close()
    assert phone.errors == [], phone.errors


@pytest.fixture(scope="session")
def pictures(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where pictures of the screens go."""
    return tmp_path_factory.mktemp("pictures")
