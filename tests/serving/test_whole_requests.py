"""What arrives whole and in time is answered as ever, however it is sent."""

import hashlib
import json
import signal
import socket
from collections.abc import Iterator
from pathlib import Path

import pytest

from fieldlog.clock import new_id
from tests.builders import a_photo, an_arrival_check
from tests.pictures import a_jpeg
from tests.serving.served import PATIENCE_S, PAUSE, UNHURRIED, Served, heard, serving


@pytest.fixture(scope="module", params=["http", "https"])
def served(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program as it is served."""
    with serving(tmp_path_factory.mktemp("served"), is_at_home=request.param == "https") as served:
        yield served


def asked(served: Served, text: bytes) -> bytes:
    """Send a text and give all that comes back."""
    with served.raw() as connection:
        connection.sendall(text)
        return heard(connection)


def head(served: Served, line: str, *headers: str) -> bytes:
    """Give a head with the account's cookie, after which the connection ends."""
    named = [f"Host: {served.host}", f"Cookie: {served.cookie['Cookie']}", "Sec-Fetch-Site: same-origin"]
    return "\r\n".join([f"{line} HTTP/1.1", *named, *headers, "", ""]).encode()


def a_batch() -> tuple[str, bytes]:
    """Give a record to hand in, with its id."""
    record = an_arrival_check(id=new_id())
    return record["id"], json.dumps({"records": [record]}).encode()


def test_a_request_line_that_is_too_long_is_refused_before_it_ends(served: Served) -> None:
    assert asked(served, b"GET /" + b"x" * 5000).startswith(b"HTTP/1.1 414 ")


@pytest.mark.parametrize("size", [9000, 70_000])
def test_a_head_that_is_too_long_is_refused(served: Served, size: int) -> None:
    text = head(served, "GET /healthz", "Connection: close", f"X-Long: {'x' * size}")

    assert asked(served, text).startswith(b"HTTP/1.1 431 ")


@pytest.mark.parametrize(
    ("text", "status"),
    [
        (b"GET /healthz\r\n\r\n", b"400"),
        (b"GET /healthz HTTP/3.0\r\n\r\n", b"400"),
        (b"\r\n\r\n", b"400"),
        (b"POST / HTTP/1.1\r\nContent-Length: -1\r\n\r\n", b"400"),
        (b"POST / HTTP/1.1\r\nContent-Length: 1\r\nTransfer-Encoding: chunked\r\n\r\n", b"400"),
        (b"POST / HTTP/1.1\r\nTransfer-Encoding: zip\r\n\r\n", b"501"),
    ],
)
def test_what_is_no_request_is_refused(served: Served, text: bytes, status: bytes) -> None:
    assert asked(served, text).startswith(b"HTTP/1.1 " + status)


def test_several_requests_sent_at_once_are_answered_in_order(served: Served) -> None:
    name, body = a_batch()
    batch = head(
        served, "POST /api/records", "Content-Type: application/json", f"Content-Length: {len(body)}"
    )
    text = head(served, "GET /healthz") + batch + body + head(served, "HEAD /arrive", "Connection: close")

    answer = asked(served, text)
    assert answer.count(b"HTTP/1.1 200 OK\r\n") == 3
    assert answer.index(b'"ready"') < answer.index(name.encode()) < answer.rindex(b"HTTP/1.1 200 OK\r\n")
    assert answer.endswith(b"\r\n\r\n")


@pytest.mark.parametrize("is_in_pieces", [True, False])
def test_records_in_chunks_are_taken_in(served: Served, *, is_in_pieces: bool) -> None:
    name, body = a_batch()
    with served.raw() as connection:
        headers = ("Content-Type: application/json", "Transfer-Encoding: chunked")
        connection.sendall(head(served, "POST /api/records", *headers))
        for at in range(0, len(body), 100):
            part = body[at : at + 100]
            connection.sendall(b"%x\r\n" % len(part) + part + b"\r\n")
            if is_in_pieces:
                PAUSE.wait(0.02)
        connection.sendall(b"0\r\n\r\n")
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 200 ") and name.encode() in answer


def test_a_large_photo_is_taken_in_and_leaves_no_file_behind(served: Served) -> None:
    picture = a_jpeg() + b"\0" * 3_000_000
    name = hashlib.sha256(picture).hexdigest()
    check = an_arrival_check(id=new_id())
    batch = json.dumps({"records": [check, a_photo(check["id"], picture)]}).encode()
    assert served.ask("/api/records", "POST", batch, Content_Type="application/json")[0] == 200
    before = {path.name for path in served.data.iterdir()}

    status, said = served.ask(f"/api/photos/{name}", "PUT", picture, Content_Type="image/jpeg")
    assert status in (200, 422) and json.loads(said)["status"] in ("stored", "refused"), said
    assert {path.name for path in served.data.iterdir()} - {"photos"} == before - {"photos"}


def test_who_ends_sending_is_answered_still(served: Served) -> None:
    if served.root is not None:
        return  # over TLS one cannot end only one way
    with served.raw() as connection:
        connection.sendall(head(served, "GET /healthz"))
        connection.shutdown(socket.SHUT_WR)

        assert heard(connection).startswith(b"HTTP/1.1 200 ")


def test_a_stop_lets_what_has_begun_come_to_its_end(tmp_path: Path) -> None:
    with serving(tmp_path, UNHURRIED) as served:
        name, body = a_batch()
        headers = ("Content-Type: application/json", f"Content-Length: {len(body)}")
        with served.raw() as connection:
            connection.sendall(head(served, "POST /api/records", *headers) + body[:20])
            assert served.ask()[0] == 200
            served.process.send_signal(signal.SIGTERM)
            while _is_listening(served.port):
                PAUSE.wait(0.05)
            connection.sendall(body[20:])
            answer = heard(connection)

        assert answer.startswith(b"HTTP/1.1 200 ") and name.encode() in answer
        assert served.process.wait(timeout=PATIENCE_S) == 0


def test_a_crowd_that_sends_slowly_does_not_hold_up_a_stop(tmp_path: Path) -> None:
    with serving(tmp_path, UNHURRIED) as served, served.raw() as connection:
        connection.sendall(b"GET /healthz HTTP/1.1\r\nX-Slow: ")
        assert served.ask()[0] == 200
        served.process.send_signal(signal.SIGTERM)

        assert served.process.wait(timeout=PATIENCE_S) == 0


def _is_listening(port: int) -> bool:
    with socket.socket() as caller:
        return caller.connect_ex(("127.0.0.1", port)) == 0
