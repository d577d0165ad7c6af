"""/trust: how a phone comes to https, and what trusting the root means."""

import html
import re
from collections.abc import Iterator
from dataclasses import replace
from ipaddress import ip_address
from pathlib import Path
from typing import Any

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from flask.testing import FlaskClient

from fieldlog.app import create_app
from fieldlog.config import Config
from fieldlog.reports.qr import qr_path
from tests.builders import NOON
from tests.deploy.home import authority

ON_THE_NETWORK = "http://192.168.1.20:8001"


@pytest.fixture
def home(config: Config) -> Path:
    """A home whose certificate was made."""
    reach = authority().Reach(("trailer.local",), (ip_address("192.168.1.20"),))
    authority().make_home(config.home, reach, NOON)
    return config.home


@pytest.fixture
def at_home(config: Config, clock: Any, home: Path) -> Iterator[FlaskClient]:
    """A browser before a program that is served at home."""
    app = create_app(replace(config, trust_port=8001), now=clock)
    yield app.test_client()
    app.extensions["fieldlog"].store.close()


def page(client: FlaskClient, site: str) -> str:
    answer = client.get("/trust", base_url=site)
    assert answer.status_code == 200
    return re.sub(r"\s+", " ", html.unescape(answer.text))


def test_over_plain_http_it_says_what_will_not_work_and_how_to_come_to_https(client: FlaskClient) -> None:
    said = page(client, "http://192.168.1.20:8000")

    assert "Without the server none opens." in said
    assert "No page can look through the camera itself." in said
    assert "Whoever shares the network can read what is sent" in said
    assert "deploy/start --home" in said and "deploy/public" in said
    assert "Get the root" not in said


def test_over_https_nothing_is_left_to_do(client: FlaskClient) -> None:
    said = page(client, "https://log.example")

    assert "Nothing is left to do on this one." in said
    assert "Without the server none opens." not in said and "deploy/start --home" not in said


@pytest.mark.parametrize("site", ["http://127.0.0.1:8000", "http://localhost:8000", "http://[::1]:8000"])
def test_on_the_machine_itself_it_tells_how_a_phone_gets_there(client: FlaskClient, site: str) -> None:
    said = page(client, site)

    assert "You are on the machine that Fieldlog runs on" in said
    assert "deploy/start --home" in said


def test_at_home_it_leads_a_phone_through_trusting_the_root(at_home: FlaskClient) -> None:
    said = page(at_home, ON_THE_NETWORK)

    assert 'href="/trust/root.crt"' in said
    assert "It holds only for trailer.local, 192.168.1.20." in said
    assert "2028-11-" in said
    assert "What trusting means" in said and "Take it away again" in said
    for site in ("https://trailer.local:8000/", "https://192.168.1.20:8000/"):
        assert f'href="{site}"' in said
    assert "deploy/start --home" not in said


def test_at_the_door_it_says_why_there_is_nothing_else(at_home: FlaskClient) -> None:
    said = page(at_home, ON_THE_NETWORK)

    assert (
        "a browser keeps no pages for later" in said and "no page can look through the camera itself" in said
    )
    assert 'href="/sign-in"' not in said
    assert 'href="/sign-in"' in page(at_home, "https://trailer.local:8000")


def test_a_root_that_is_not_in_use_is_not_offered(client: FlaskClient, home: Path) -> None:
    assert (home / "root.crt").exists()
    assert "Get the root" not in page(client, ON_THE_NETWORK)
    assert client.get("/trust/root.crt", base_url=ON_THE_NETWORK).status_code == 404


def test_the_fingerprint_is_the_one_that_a_phone_computes(at_home: FlaskClient, home: Path) -> None:
    root = x509.load_pem_x509_certificate((home / "root.crt").read_bytes())

    said = re.findall(r"<span>([0-9A-F ]+)</span>", page(at_home, ON_THE_NETWORK))
    assert bytes.fromhex("".join(said)) == root.fingerprint(hashes.SHA256())
    assert len(said) == 4


@pytest.mark.parametrize(
    ("site", "address"),
    [
        (ON_THE_NETWORK, "http://192.168.1.20:8001/trust"),
        ("https://trailer.local:8000", "http://trailer.local:8001/trust"),
        ("http://127.0.0.1:8001", "http://192.168.1.20:8001/trust"),
    ],
)
def test_the_code_leads_another_phone_to_the_page_over_http(
    at_home: FlaskClient, site: str, address: str
) -> None:
    said = page(at_home, site)

    assert f"<code>{address}</code>" in said
    assert qr_path(address).path in said


def test_the_root_is_handed_out_as_a_certificate(at_home: FlaskClient, home: Path) -> None:
    answer = at_home.get("/trust/root.crt", base_url=ON_THE_NETWORK)

    assert answer.status_code == 200
    assert answer.headers["Content-Type"] == "application/x-x509-ca-cert"
    assert answer.data == (home / "root.crt").read_bytes()
    assert b"PRIVATE" not in answer.data


def test_without_a_root_there_is_none_to_get(client: FlaskClient) -> None:
    assert client.get("/trust/root.crt").status_code == 404


def test_a_damaged_root_is_not_handed_out(at_home: FlaskClient, home: Path) -> None:
    (home / "root.crt").write_bytes(b"-----BEGIN CERTIFICATE-----\n?\n-----END CERTIFICATE-----\n")

    assert at_home.get("/trust/root.crt").status_code == 404
    assert "Get the root" not in page(at_home, ON_THE_NETWORK)


@pytest.mark.parametrize("path", ["/trust", "/trust/root.crt"])
@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE"])
def test_nothing_can_be_sent_there(at_home: FlaskClient, path: str, method: str) -> None:
    assert at_home.open(path, method=method).status_code in (400, 405)


def test_the_servers_key_has_no_address(at_home: FlaskClient) -> None:
    for path in ("/trust/server.key", "/trust/server.crt", "/trust/../home/server.key", "/home/server.key"):
        assert at_home.get(path).status_code == 404
