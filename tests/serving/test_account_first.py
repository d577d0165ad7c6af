"""Whoever has no account is told so by the head alone; of a form for everybody only little is taken."""

import io
import json
from collections.abc import Iterator

import pytest
from flask import Flask

from fieldlog.web.security import MOST_OPEN_BYTES, OPEN_TO_ALL
from tests.conftest import OUR_PAGE, Person
from tests.serving.served import UNHURRIED, Served, heard, serving
from tests.web.test_access import paths

PHOTO = f"/api/photos/{'0' * 64}"


class Unread(io.RawIOBase):
    """A body that nobody may touch."""

    def readable(self) -> bool:
        """Say yes."""
        return True

    def tell(self) -> int:
        """Stand at the start."""
        return 0

    def seek(self, _offset: int, _whence: int = 0) -> int:
        """Say how long it is."""
        return 5000

    def readinto(self, _buffer: object) -> int:
        """Tell on who reads."""
        raise AssertionError("the body was read")


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program with no deadline near."""
    with serving(tmp_path_factory.mktemp("unhurried"), UNHURRIED) as served:
        yield served


def test_no_route_reads_a_body_before_it_knows_the_account(app: Flask, stranger: Person) -> None:
    app.config["PROPAGATE_EXCEPTIONS"] = True
    asked = 0
    endpoints = {rule.rule: rule.endpoint for rule in app.url_map.iter_rules()}
    taking = {
        (rule.rule, method): rule.endpoint
        for rule in app.url_map.iter_rules()
        for method in (rule.methods or set()) & {"POST", "PUT", "PATCH", "DELETE"}
    }
    addresses = dict(paths(app))
    for (rule, method), endpoint in taking.items():
        if endpoint in OPEN_TO_ALL:
            continue
        answer = stranger.client.open(
            addresses[rule],
            method=method,
            input_stream=Unread(),
            content_length=5000,
            content_type="application/x-www-form-urlencoded",
            headers=OUR_PAGE,
        )
        assert answer.status_code == 401, (rule, method, answer.status_code)
        asked += 1

    assert asked >= 15
    assert set(endpoints.values()) >= OPEN_TO_ALL


@pytest.mark.parametrize(
    ("method", "path"), [("POST", "/api/records"), ("PUT", PHOTO), ("POST", "/rigs/new")]
)
def test_half_a_body_without_an_account_is_refused_at_once_and_the_connection_ended(
    served: Served, method: str, path: str
) -> None:
    head = f"{method} {path} HTTP/1.1\r\nHost: {served.host}\r\nContent-Type: application/json\r\n"
    with served.raw() as connection:
        connection.sendall(f"{head}Sec-Fetch-Site: same-origin\r\nContent-Length: 9000\r\n\r\n{{".encode())
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 401 ") and b"\r\nConnection: close\r\n" in answer


def test_who_asks_first_whether_the_body_may_come_is_told_that_it_may_not(served: Served) -> None:
    head = f"PUT {PHOTO} HTTP/1.1\r\nHost: {served.host}\r\nContent-Type: image/jpeg\r\n"
    with served.raw() as connection:
        connection.sendall(f"{head}Expect: 100-continue\r\nContent-Length: 9000\r\n\r\n".encode())
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 401 ") and b"100 Continue" not in answer


def test_who_asks_first_with_an_account_is_told_that_it_may(served: Served) -> None:
    lines = [
        "POST /api/records HTTP/1.1",
        f"Host: {served.host}",
        f"Cookie: {served.cookie['Cookie']}",
        "Content-Type: application/json",
        "Sec-Fetch-Site: same-origin",
        "Connection: close",
        "Expect: 100-continue",
        "Content-Length: 2",
    ]
    with served.raw() as connection:
        connection.sendall("\r\n".join([*lines, "", ""]).encode())
        assert connection.recv(65536) == b"HTTP/1.1 100 Continue\r\n\r\n"
        connection.sendall(b"{}")
        assert heard(connection).startswith(b"HTTP/1.1 400 ")


def test_a_form_for_everybody_is_refused_by_a_head_that_tells_of_more_than_little(served: Served) -> None:
    head = f"POST /sign-in HTTP/1.1\r\nHost: {served.host}\r\nContent-Length: {MOST_OPEN_BYTES + 1}\r\n"
    with served.raw() as connection:
        connection.sendall(f"{head}Content-Type: application/x-www-form-urlencoded\r\n\r\nname=".encode())
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 413 ") and b"at most 64 kB" in answer


def test_a_form_for_everybody_of_untold_length_is_heard_to_no_end(served: Served) -> None:
    head = f"POST /sign-in HTTP/1.1\r\nHost: {served.host}\r\nTransfer-Encoding: chunked\r\n"
    chunk = b"800\r\n" + b"x" * 2048 + b"\r\n"
    with served.raw() as connection:
        connection.sendall(f"{head}Content-Type: application/x-www-form-urlencoded\r\n\r\n".encode())
        connection.sendall(chunk * 70)
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 400 ") and b"\r\nConnection: close\r\n" in answer


def test_records_beyond_the_limit_are_refused_by_their_head(served: Served) -> None:
    with served.raw() as connection:
        connection.sendall(
            f"POST /api/records HTTP/1.1\r\nHost: {served.host}\r\nCookie: {served.cookie['Cookie']}\r\n"
            "Content-Type: application/json\r\nSec-Fetch-Site: same-origin\r\n"
            "Content-Length: 2000000\r\n\r\n{".encode()
        )
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 413 ")
    assert "at most 1 MB" in json.loads(answer.partition(b"\r\n\r\n")[2])["problems"][0]["problem"]
