"""Each deadline by itself, shortened, over http and as it is served at home."""

import json
import select
import socket
import ssl
from collections.abc import Iterator

import pytest

from fieldlog.clock import new_id
from tests.builders import an_arrival_check
from tests.serving.served import PAUSE, Served, heard, serving

HASTY = {"HEAD_SECONDS": "1", "BODY_SECONDS": "1", "IDLE_SECONDS": "1"}
FORM = "Content-Type: application/x-www-form-urlencoded"
RECORDS = "Content-Type: application/json\r\nSec-Fetch-Site: same-origin"


@pytest.fixture(scope="module", params=["http", "https"])
def hasty(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program with deadlines of a second."""
    with serving(tmp_path_factory.mktemp("hasty"), HASTY, is_at_home=request.param == "https") as served:
        yield served


def begun(served: Served, line: str, *headers: str, body: bytes = b"", length: int = 60_000) -> socket.socket:
    """Send a head with the account's cookie, and a part of its body."""
    connection = served.raw()
    cookie = f"Cookie: {served.cookie['Cookie']}"
    lines = [
        f"{line} HTTP/1.1",
        f"Host: {served.host}",
        cookie,
        *headers,
        f"Content-Length: {length}",
        "",
        "",
    ]
    connection.sendall("\r\n".join(lines).encode() + body)
    return connection


def trickled(connection: socket.socket, part: bytes = b"x", each_s: float = 0.2) -> bytes:
    """Send a part every so often until the other side ends, and give what it said."""
    connection.settimeout(each_s)
    answer = b""
    for _ in range(300):
        try:
            got = connection.recv(65536)
        except TimeoutError:
            connection.settimeout(60)
            connection.sendall(part)
            connection.settimeout(each_s)
        except OSError:
            return answer
        else:
            answer += got
            if not got:
                return answer
    raise AssertionError("it was let go on for a minute")


def test_a_head_that_trickles_in_is_not_waited_for(hasty: Served) -> None:
    with hasty.raw() as connection:
        connection.sendall(b"GET /healthz HTTP/1.1\r\nX-Slow: ")
        answer = trickled(connection)

    assert answer.startswith(b"HTTP/1.1 408 ") and b"Send it again." in answer


def test_a_connection_that_says_nothing_is_ended_without_a_word(hasty: Served) -> None:
    with hasty.raw() as connection:
        assert heard(connection) == b""


def test_a_handshake_that_is_never_finished_counts_as_a_head(hasty: Served) -> None:
    if hasty.root is None:
        return
    with hasty.raw(is_shaking=False) as connection:
        hello = ssl.MemoryBIO()
        shaking = ssl.create_default_context().wrap_bio(ssl.MemoryBIO(), hello, server_hostname="a")
        with pytest.raises(ssl.SSLWantReadError):
            shaking.do_handshake()
        connection.sendall(hello.read()[:40])

        assert heard(connection) == b""


def test_a_form_that_trickles_in_is_not_waited_for(hasty: Served) -> None:
    with begun(hasty, "POST /sign-in", FORM, body=b"csrf_token=") as connection:
        answer = trickled(connection)

    assert answer.startswith(b"HTTP/1.1 408 ")


def test_half_a_form_and_then_silence_is_not_waited_for(hasty: Served) -> None:
    with begun(hasty, "POST /sign-in", FORM, body=b"x" * 30_000) as connection:
        assert heard(connection).startswith(b"HTTP/1.1 408 ")


def test_records_that_trickle_in_are_not_waited_for(hasty: Served) -> None:
    with begun(hasty, "POST /api/records", RECORDS, body=b'{"records": [') as connection:
        answer = trickled(connection, b" ")

    assert answer.startswith(b"HTTP/1.1 408 ")
    problems = json.loads(answer.partition(b"\r\n\r\n")[2])["problems"]
    assert problems[0]["problem"].endswith("Send it again.")


def test_a_photo_that_stops_in_the_middle_is_not_waited_for(hasty: Served) -> None:
    path = f"PUT /api/photos/{'0' * 64}"
    photo = ("Content-Type: image/jpeg", "Sec-Fetch-Site: same-origin")
    with begun(hasty, path, *photo, body=b"x" * 400_000, length=800_000) as connection:
        assert heard(connection).startswith(b"HTTP/1.1 408 ")


def test_a_slow_body_that_keeps_to_the_floor_is_taken_in(hasty: Served) -> None:
    record = an_arrival_check(id=new_id())
    text = json.dumps({"records": [record]}).encode()
    text += b" " * (4000 - len(text))
    with begun(hasty, "POST /api/records", RECORDS, "Connection: close", length=4000) as connection:
        for at in range(0, 4000, 400):
            connection.sendall(text[at : at + 400])
            PAUSE.wait(0.25)
        answer = heard(connection)

    assert answer.startswith(b"HTTP/1.1 200 ") and record["id"].encode() in answer


def test_a_kept_connection_is_ended_when_nobody_uses_it(hasty: Served) -> None:
    with hasty.raw() as connection:
        for _ in range(2):
            connection.sendall(f"GET /healthz HTTP/1.1\r\nHost: {hasty.host}\r\n\r\n".encode())
            assert connection.recv(15) == b"HTTP/1.1 200 OK"
            while b'"wrong":[]}' not in connection.recv(65536):
                pass

        assert heard(connection) == b""


def test_an_answer_that_nobody_reads_is_not_kept_for_ever(hasty: Served) -> None:
    ask = f"GET /rulebook.json HTTP/1.1\r\nHost: {hasty.host}\r\nCookie: a={'x' * 3000}\r\n\r\n".encode()
    with hasty.raw() as connection:
        connection.settimeout(0.5)
        with pytest.raises(OSError):
            for _ in range(100_000):  # each is answered by some 300 kB
                connection.sendall(ask)
        end = select.poll()
        end.register(connection, select.POLLRDHUP)

        assert end.poll(60_000)
