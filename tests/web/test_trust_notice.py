"""The notice over every page that came over plain http from a network address."""

import re
from dataclasses import replace
from typing import Any

import pytest
from flask import Flask

from fieldlog.app import create_app
from fieldlog.config import Config
from tests.conftest import Person

KEPT = [
    "https://log.example",
    "http://localhost:8000",
    "http://log.localhost",
    "http://127.0.0.1:8000",
    "http://127.3.2.1",
    "http://[::1]:8000",
]
NOT_KEPT = [
    "http://192.168.1.20:8000",
    "http://trailer.local:8000",
    "http://[fd00::20]:8000",
    "http://log.example",
    "http://localhost.example",
    "http://127.0.0.1.example",
]


def is_shown(page: str) -> bool:
    element = re.search(r"<fl-reach [^>]*?( hidden)?>", page)
    assert element, "the notice is on every page, shown or not"
    return element[1] is None


@pytest.mark.parametrize("path", ["/", "/arrive", "/arrive/plain", "/sign-in"])
@pytest.mark.parametrize("site", NOT_KEPT)
def test_from_a_network_address_each_page_says_that_it_is_not_kept(
    stranger: Person, site: str, path: str
) -> None:
    page = stranger.client.get(path, base_url=site).text

    assert is_shown(page)
    assert 'href="/trust"><span>Plain http: without the server no page opens.' in page


@pytest.mark.parametrize("site", KEPT)
def test_where_a_browser_keeps_pages_nothing_is_said(stranger: Person, site: str) -> None:
    assert not is_shown(stranger.client.get("/", base_url=site).text)


def test_behind_a_proxy_its_word_counts_and_only_then(config: Config, clock: Any, app: Flask) -> None:
    proxied = create_app(replace(config, proxy_hops=1), now=clock)
    over_https = {"X-Forwarded-Proto": "https"}

    pages = [
        each.test_client().get("/", base_url="http://log.example", headers=over_https).text
        for each in (proxied, app)
    ]
    proxied.extensions["fieldlog"].store.close()
    assert [is_shown(page) for page in pages] == [False, True]


@pytest.mark.parametrize("host", ["", "[", "[::1", "a b", "evil.example"])
def test_a_host_that_is_not_answered_gets_its_sentence_all_the_same(
    config: Config, clock: Any, host: str
) -> None:
    app = create_app(replace(config, trusted_hosts=("log.example",)), now=clock)
    answer = app.test_client().get("/", headers={"Host": host})
    app.extensions["fieldlog"].store.close()

    assert answer.status_code == 400
    assert "The program does not answer under this name or address." in answer.text
