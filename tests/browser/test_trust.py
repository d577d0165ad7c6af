"""A browser that trusts the root of a home: what it opens, what it refuses, and what it is told over http."""

import os
import ssl
import subprocess
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from ipaddress import ip_address
from pathlib import Path
from threading import Thread
from typing import Any

import pytest
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import ec
from flask import Flask
from playwright.sync_api import Browser, Error, Page, Playwright, ViewportSize, expect
from werkzeug.serving import make_server

from fieldlog.app import create_app, create_door
from fieldlog.clock import now
from fieldlog.config import Config
from tests.browser.conftest import SWITCHES, WHOLE, Quiet
from tests.deploy.home import authority

pytestmark = pytest.mark.browser

NAME, FOREIGN = "trailer.local", "bank.example"
SIZE: ViewportSize = {"width": 360, "height": 740}


@dataclass(frozen=True)
class Home:
    """The addresses of one home; at two of them another name, which only the wider of its roots holds for."""

    root: Path
    wider_root: Path
    https: str
    door: str
    plain: str
    foreign: str
    allowed: str


@contextmanager
def listening(app: Flask, pair: tuple[Path, Path] | None = None) -> Iterator[int]:
    """Serve an app on a free port, over https where there is a certificate with its key."""
    context = None
    if pair:
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(*pair)
    server = make_server("127.0.0.1", 0, app, threaded=True, request_handler=Quiet, ssl_context=context)
    thread = Thread(target=server.serve_forever)
    thread.start()
    try:
        yield server.server_port
    finally:
        server.shutdown()
        thread.join()
        server.server_close()


def write_root(folder: Path, *names: str) -> Path:
    """Write a root that holds for some names, and what its key signed for the home and for another name."""
    reach = authority().Reach(names, (ip_address("192.168.1.20"),))
    made = authority().make_authority(reach, now())
    folder.mkdir()
    pem = serialization.Encoding.PEM
    (folder / "root.crt").write_bytes(made.root.public_bytes(pem))
    for name in (NAME, FOREIGN):
        key = ec.generate_private_key(ec.SECP256R1())
        server = authority().make_server(made, authority().Reach((name,), ()), key.public_key(), now())
        (folder / f"{name}.crt").write_bytes(server.public_bytes(pem))
        plain = serialization.PrivateFormat.PKCS8, serialization.NoEncryption()
        (folder / f"{name}.key").write_bytes(key.private_bytes(pem, *plain))
    return folder / "root.crt"


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Home]:
    """The program as it is served at home."""
    data = tmp_path_factory.mktemp("home")
    root, wider = write_root(data / "home", NAME), write_root(data / "wider", NAME, FOREIGN)
    config = Config(data=data, database_url=f"sqlite:///{data / 'fieldlog.sqlite3'}", trust_port=8001)
    app, door = create_app(config), create_door(config)
    with (
        listening(app, _pair(root, NAME)) as https,
        listening(app, _pair(root, FOREIGN)) as foreign,
        listening(app, _pair(wider, FOREIGN)) as allowed,
        listening(door) as http,
        listening(app) as plain,
    ):
        yield Home(
            root,
            wider,
            f"https://{NAME}:{https}",
            f"http://{NAME}:{http}",
            f"http://{NAME}:{plain}",
            f"https://{FOREIGN}:{foreign}",
            f"https://{FOREIGN}:{allowed}",
        )
    for each in (app, door):
        each.extensions["fieldlog"].store.close()


def _pair(root: Path, name: str) -> tuple[Path, Path]:
    return root.with_name(f"{name}.crt"), root.with_name(f"{name}.key")


@contextmanager
def a_browser(playwright: Playwright, folder: Path, *trusted: Path) -> Iterator[Browser]:
    """Start the browser as somebody who told their machine to trust some roots, or none."""
    place = folder / ".pki/nssdb"
    place.mkdir(parents=True)
    database = ["certutil", "-d", f"sql:{place}"]
    subprocess.run([*database, "-N", "--empty-password"], check=True)
    for root in trusted:
        subprocess.run([*database, "-A", "-t", "C,,", "-n", root.parent.name, "-i", root], check=True)
    environment = {name: value for name, value in os.environ.items() if not name.startswith("XDG_")}
    browser = playwright.chromium.launch(
        executable_path=WHOLE,
        args=[*SWITCHES, f"--host-resolver-rules=MAP {NAME} 127.0.0.1, MAP {FOREIGN} 127.0.0.1"],
        env={**environment, "HOME": str(folder)},
    )
    yield browser
    browser.close()


@pytest.fixture(scope="module")
def trusting(
    playwright: Playwright, home: Home, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Browser]:
    """A browser that trusts both roots."""
    with a_browser(playwright, tmp_path_factory.mktemp("trusting"), home.root, home.wider_root) as browser:
        yield browser


@pytest.fixture
def page(trusting: Browser) -> Iterator[Page]:
    """A page in the browser that trusts the root."""
    context = trusting.new_context(viewport=SIZE, has_touch=True, is_mobile=True)
    yield context.new_page()
    context.close()


def test_who_trusts_the_root_has_all_that_a_browser_gives_over_https(page: Page, home: Home) -> None:
    page.goto(home.https + "/")

    expect(page.locator("h1")).to_have_text("Is this outlet wired right?")
    assert page.evaluate("window.isSecureContext") is True
    assert page.evaluate("'serviceWorker' in navigator && 'subtle' in crypto") is True
    expect(page.locator("fl-reach")).to_be_hidden()


def test_the_browser_refuses_what_the_root_does_not_hold_for(page: Page, home: Home) -> None:
    with pytest.raises(Error, match="ERR_CERT"):
        page.goto(home.foreign + "/")
    other = page.context.new_page()
    other.goto(home.allowed + "/")
    expect(other.locator("h1")).to_have_text("Is this outlet wired right?")


def test_who_does_not_trust_the_root_is_refused(playwright: Playwright, home: Home, tmp_path: Path) -> None:
    with a_browser(playwright, tmp_path) as browser:
        page = browser.new_page()
        with pytest.raises(Error, match="ERR_CERT_AUTHORITY_INVALID"):
            page.goto(home.https + "/")


def test_over_plain_http_each_page_says_so_and_leads_to_what_it_means(page: Page, home: Home) -> None:
    page.goto(home.plain + "/arrive")

    assert page.evaluate("window.isSecureContext") is False
    page.locator("fl-reach a").tap()
    expect(page.locator("h1")).to_have_text("Reaching it from a phone")
    expect(page.get_by_text("a browser keeps no pages for later")).to_be_visible()


def believing(app: Flask, scheme: str) -> Flask:
    """Make an app believe that its requests come over http, or https, as an undeclared proxy may do."""
    inner = app.wsgi_app

    def mistaken(environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        return inner({**environ, "wsgi.url_scheme": scheme}, start_response)

    app.wsgi_app = mistaken  # type: ignore[method-assign]  # Flask's documented way
    return app


@pytest.mark.parametrize(("is_secure", "believed"), [(True, "http"), (False, "https")])
def test_the_browser_knows_better_than_a_server_that_is_mistaken(
    page: Page, home: Home, tmp_path: Path, is_secure: bool, believed: str
) -> None:
    app = create_app(Config(data=tmp_path, database_url=f"sqlite:///{tmp_path / 'fieldlog.sqlite3'}"))
    with listening(believing(app, believed), _pair(home.root, NAME) if is_secure else None) as port:
        page.goto(f"http{'s' if is_secure else ''}://{NAME}:{port}/")

        expect(page.locator("fl-reach")).to_be_visible(visible=not is_secure)
    app.extensions["fieldlog"].store.close()


def test_without_script_the_notice_is_there_as_well(trusting: Browser, home: Home) -> None:
    context = trusting.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(home.plain + "/")

    expect(page.locator("fl-reach")).to_be_visible()
    page.goto(home.https + "/")
    expect(page.locator("fl-reach")).to_be_hidden()
    context.close()


def test_after_https_the_door_still_opens_over_plain_http(page: Page, home: Home) -> None:
    page.goto(home.https + "/")
    page.goto(home.door + "/sign-in")

    assert page.url == home.door + "/trust"
    with page.expect_download() as download:
        page.get_by_role("link", name="Get the root").tap()
    assert download.value.path().read_bytes() == home.root.read_bytes()
