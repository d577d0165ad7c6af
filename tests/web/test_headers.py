"""What every answer carries, whatever the page."""

from dataclasses import replace
from typing import Any

import pytest
from flask import Flask

from fieldlog.app import create_app
from fieldlog.config import Config
from fieldlog.web.use_cases import kept_for
from tests.conftest import Person
from tests.web.test_access import paths

# A snapshot of our own choice, to be changed on purpose only.
EXPECTED = {
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' blob:; object-src 'none'; base-uri 'none'; "
        "frame-ancestors 'none'; form-action 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
# Documents that hold nobody's data; so are the pages that phones keep.
CACHEABLE = {"/rulebook.json", "/rig-rules.json", "/openapi.json", "/sw.js", "/manifest.webmanifest"} | {
    "/offline",
    "/plan-tables.json",
}


# What verifies a record brings its own script, named by its hash, and may fetch nothing.
OF_ONE_FILE = {"Content-Security-Policy": "default-src 'none'; ", "Referrer-Policy": "no-referrer"}
# Only there may a person let the browser tell where they are.
OF_SITES = {"Permissions-Policy": "camera=(), geolocation=(self), microphone=(), payment=(), usb=()"}
# What strangers open fetches from here alone, is in no frame, and tells nobody where it was opened from.
OF_STRANGERS = {
    "Content-Security-Policy": (
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; connect-src 'self'; "
        "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
    ),
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow",
    "Cache-Control": "no-store",
}
OF_PAGES = {
    ("/verify", "GET"): OF_ONE_FILE,
    ("/sites", "GET"): OF_SITES,
    ("/shared", "GET"): OF_STRANGERS,
}


def test_every_route_answers_with_the_headers(app: Flask, owner: Person, stranger: Person) -> None:
    for person in (owner, stranger):
        for rule, path in paths(app):
            for method in ("GET", "POST", "PUT"):
                answer = person.client.open(path, method=method, buffered=True)
                expected = EXPECTED | OF_PAGES.get((rule, method), {})
                found = {name: answer.headers.get(name) for name in expected}
                if rule == "/verify" and method == "GET":
                    found |= {"Content-Security-Policy": answer.headers["Content-Security-Policy"][:20]}
                assert found == expected, (rule, method)
                assert answer.headers["Content-Type"], rule


def test_no_page_with_a_persons_data_is_kept_by_a_cache(app: Flask, owner: Person) -> None:
    for rule, path in paths(app):
        answer = owner.client.get(path, buffered=True)
        is_for_all = rule in CACHEABLE or kept_for(path) is not None or rule.startswith("/static")
        if answer.status_code == 200 and not is_for_all:
            assert answer.headers["Cache-Control"] == "no-store", rule


def test_no_page_holds_script_or_style_of_its_own(app: Flask, owner: Person) -> None:
    for rule, path in paths(app):
        answer = owner.client.get(path, buffered=True)
        # What verifies a record is a file by itself; its policy names the hashes of script and style.
        if answer.mimetype == "text/html" and rule != "/verify":
            page = answer.text.lower()
            assert "<style" not in page and " style=" not in page and " onclick=" not in page, rule
            assert "<script>" not in page and "javascript:" not in page, rule


def test_a_page_that_is_not_there_carries_them_too(client: Any) -> None:
    answer = client.get("/no-such-page")

    assert answer.status_code == 404
    assert "There is no such page" in answer.text
    assert {name: answer.headers.get(name) for name in EXPECTED} == EXPECTED


def test_over_https_the_browser_is_told_to_stay_there(client: Any) -> None:
    assert (
        client.get("/healthz", base_url="https://localhost").headers["Strict-Transport-Security"]
        == "max-age=31536000"
    )
    assert "Strict-Transport-Security" not in client.get("/healthz").headers


def test_only_the_named_hosts_are_answered(config: Config, clock: Any) -> None:
    app = create_app(replace(config, trusted_hosts=("log.example", "127.0.0.1", "[::1]")), now=clock)
    client = app.test_client()
    foreign = ("evil.example", "[::2]", "[::1].evil.example", "[::1]x", "[::1]@evil.example", "[")
    answers = {
        host: client.get("/api/session", headers={"Host": host}).status_code
        for host in ("log.example", "127.0.0.1:8000", "[::1]:8000", "[::1]", *foreign)
    }
    app.extensions["fieldlog"].store.close()

    assert [host for host, status in answers.items() if status == 200] == [
        "log.example",
        "127.0.0.1:8000",
        "[::1]:8000",
        "[::1]",
    ]
    assert [answers[host] for host in foreign] == [400] * len(foreign)


def test_an_unforeseen_failure_shows_a_sentence_and_no_verdict(
    app: Flask, owner: Person, caplog: pytest.LogCaptureFixture
) -> None:
    def fail() -> str:
        raise ZeroDivisionError("secret detail")

    app.view_functions["history.history"] = fail
    answer = owner.client.get("/history")

    assert answer.status_code == 500
    assert "Nothing was judged" in answer.text
    assert "data-verdict" not in answer.text and "secret detail" not in answer.text
    assert "secret detail" in caplog.text
    caplog.clear()
