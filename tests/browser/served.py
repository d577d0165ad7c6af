"""A server that a test can stop, start again, and give a newer build of what phones keep."""

import atexit
import shutil
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from tempfile import mkdtemp
from threading import Thread

from flask import Response, request
from playwright.sync_api import Browser, ViewportSize
from werkzeug.serving import BaseWSGIServer, make_server

from fieldlog.app import create_app
from fieldlog.clock import now
from fieldlog.config import ROOT, Config
from fieldlog.joining import FOLDER, join
from fieldlog.shell import with_list
from fieldlog.web.layout.modules import add_loads
from fieldlog.web.offline.contents import shell_contents
from fieldlog.web.use_cases import kept_pages
from tests.browser.conftest import Quiet, join_with_asked
from tests.browser.phone import Phone
from tests.conftest import an_account
from tests.releases.pack import Kept

CACHES = """async () => {
  const kept = {};
  for (const name of await caches.keys()) kept[name] = (await (await caches.open(name)).keys()).length;
  return kept;
}"""

READY = """() => Promise.race([
  navigator.serviceWorker.ready.then(({ active }) => new Promise((settled) => {
    const tell = () => active.state === "activated" && settled("activated");
    active.addEventListener("statechange", tell);
    tell();
  })),
  new Promise((settled) => setTimeout(settled, 60000, "not in time")),
])"""


_ready: dict[bool, Path] = {True: ROOT / "static"}
"""static/ with its scripts joined, for all servers: wholly, as it lies here, or but for those of ASKED."""


def _copy(static: Path) -> Path:
    folder = Path(mkdtemp())
    atexit.register(shutil.rmtree, folder)
    return Path(shutil.copytree(static, folder / "static"))


class Server:
    """The app on one port, with a copy of static/ of its own, joined again, its list up to date.

    A test that imports a module and wants the very one that the page runs has those of ASKED left whole, and
    takes them from static/joined/.
    """

    def __init__(self, folder: Path, *, is_wholly_joined: bool = True) -> None:
        self.folder = folder
        self.static = folder / "static"
        self.is_wholly_joined = is_wholly_joined
        ready = _ready.get(is_wholly_joined)
        shutil.copytree(ready or ROOT / "static", self.static)
        self.app = create_app(Config(data=folder, database_url=f"sqlite:///{folder / 'log.sqlite3'}"))
        self.app.static_folder = str(self.static)
        self.app.after_request(self._in_between)
        self.portal: tuple[str, ...] = ()
        self.release: Mapping[str, Kept] | None = None
        self.asked: list[str] = []
        self.sent: list[str] = []
        self.spoiled: str | None = None
        self.accounts: dict[str, str] = {}
        if ready:
            add_loads(self.app)
        else:
            self.build()
            _ready[is_wholly_joined] = _copy(self.static)
        self.port = 0
        self._running: tuple[BaseWSGIServer, Thread] | None = None
        self.start()

    @property
    def address(self) -> str:
        """Where it is."""
        return f"http://127.0.0.1:{self.port}"

    @property
    def version(self) -> str:
        """The version of what a phone keeps."""
        return (self.static / "sw.js").read_text().split('const VERSION = "', 1)[1].split('"', 1)[0]

    def build(self, **changed: str) -> None:
        """Make a newer build: files of static/ (with __ for / and _ for .) get a text at their end."""
        for name, text in changed.items():
            path = self.static / name.replace("__", "/").replace("_", ".")
            path.write_text((path.read_text() if path.exists() else "") + text)
        if self.is_wholly_joined:
            join(self.static, ROOT / "deploy")
        else:
            shutil.rmtree(self.static / FOLDER, ignore_errors=True)
            join_with_asked(self.static)
        add_loads(self.app)
        self.write_list()

    def append(self, to_script: str = "", to_sheet: str = "") -> None:
        """Make a newer build from what is joined; joining it anew takes longer than most tests."""
        for name, text in (("js/main.js", to_script), ("css/main.css", to_sheet)):
            with (self.static / FOLDER / name).open("a", encoding="utf-8") as file:
                file.write(text)
        self.write_list()

    def write_list(self) -> None:
        """Write the list of what a phone keeps."""
        worker = self.static / "sw.js"
        worker.write_text(with_list(worker.read_text(), self.contents(), kept_pages()))

    def contents(self) -> dict[str, bytes]:
        """Give what a phone keeps of this build, by address."""
        return shell_contents(self.app)

    def start(self) -> None:
        """Begin to answer, at the same address as before."""
        server = make_server("127.0.0.1", self.port, self.app, threaded=True, request_handler=Quiet)
        self.port = server.server_port
        thread = Thread(target=server.serve_forever)
        thread.start()
        self._running = (server, thread)

    def stop(self) -> None:
        """Answer nothing any more: connections are refused."""
        if self._running is None:
            return
        server, thread = self._running
        server.shutdown()
        thread.join()
        server.server_close()
        self._running = None

    def close(self) -> None:
        """Stop for good."""
        self.stop()
        self.app.extensions["fieldlog"].store.close()

    def account(self, name: str) -> None:
        """Make an account."""
        store = self.app.extensions["fieldlog"].store
        self.accounts[name] = an_account(store, now, name).id

    def switch_offline_off(self) -> None:
        """Run as with FIELDLOG_OFFLINE=off."""
        parts = self.app.extensions["fieldlog"]
        settings = replace(parts.settings, is_offline_on=False)
        self.app.extensions["fieldlog"] = replace(parts, settings=settings)

    def _in_between(self, response: Response) -> Response:
        """Note what is asked; answer as a release did, and for what a captive portal takes over."""
        self.asked.append(request.path)
        if response.status_code == 200:
            self.sent.append(request.path)
        if request.path == self.spoiled and response.status_code == 200:
            return _with_another_text(response)
        if self.release is not None and self._is_of_the_shell(request.path):
            response.close()
            return self._as_released(self.release.get(request.path))
        if not request.path.startswith(self.portal):
            return response
        response.close()
        return Response("<!doctype html><title>Welcome</title><p>Log in to the park's network.</p>")

    def _as_released(self, kept: Kept | None) -> Response:
        if kept is None:
            return Response("No such file.", 404)
        return Response(kept.content, mimetype=kept.mimetype, headers={"Cache-Control": "no-cache"})

    def _is_of_the_shell(self, path: str) -> bool:
        return path.startswith("/static/") or path in (self.release or ())


def _with_another_text(response: Response) -> Response:
    """Give what some box on the way changed: under the same tag another content."""
    other = Response(b"<!-- changed on the way -->", headers=response.headers.to_wsgi_list())
    for name in ("Content-Encoding", "Content-Length"):
        other.headers.pop(name, None)
    return other


@contextmanager
def a_phone(browser: Browser, server: Server, **look: object) -> Iterator[Phone]:
    """Hold a phone that may keep pages."""
    size: ViewportSize = {"width": 360, "height": 740}
    context = browser.new_context(viewport=size, has_touch=True, is_mobile=True, **look)  # type: ignore[arg-type]  # options by name
    yield Phone(context, server.address)
    context.close()


def visit(phone: Phone, path: str = "/") -> None:
    """Open a page and wait until the phone keeps the pages."""
    phone.open(path)
    assert phone.page.evaluate(READY) == "activated", "the phone keeps no pages"


def another_tab(phone: Phone) -> Phone:
    """Open a second tab in the same browser."""
    return Phone(phone.context, phone.site)


def kept(phone: Phone) -> dict[str, int]:
    """Count what is in each cache."""
    found: dict[str, int] = phone.page.evaluate(CACHES)
    return found
