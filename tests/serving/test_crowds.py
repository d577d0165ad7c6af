"""Slow connections by the dozen: others are answered meanwhile, and nobody takes more than their places."""

import os
import select
import signal
import socket
from collections.abc import Iterator
from http.client import HTTPException
from pathlib import Path
from typing import Any

import pytest

from tests.serving.crowd import BODIES, HEADS, KINDS, SILENT, WITHOUT_ACCOUNT, Crowd, Slow, spread
from tests.serving.proxied import Proxied, proxied
from tests.serving.served import BY_THREADS, PAUSE, UNHURRIED, Served, heard, serving

SLOW = 60
WAYS = ("http", "https", "proxy")
NAMES = [kind.name for kind in KINDS]
FEW = {**UNHURRIED, "MOST_BY_ADDRESS": "4"}


@pytest.fixture(scope="module")
def served(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program as it is reached in one way, with no deadline near and a place for everybody."""
    data, settings = tmp_path_factory.mktemp("served"), {**UNHURRIED, "MOST_BY_ADDRESS": "500"}
    if request.param == "proxy":
        with proxied(data, settings) as through:
            yield through
    else:
        with serving(data, settings, is_at_home=request.param == "https") as direct:
            yield direct


@pytest.fixture(scope="module")
def few(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The program with four places for an address in each of its two processes."""
    with serving(tmp_path_factory.mktemp("few"), FEW) as served:
        yield served


def crowd(served: Served, kind: Slow, count: int = SLOW, sources: tuple[str, ...] = ("127.0.0.1",)) -> Crowd:
    """Give a crowd at a served program."""
    return Crowd(served.port, kind, count, host=served.host, sources=sources, root=served.root)


def is_answered(served: Served) -> bool:
    """Ask until there is an answer; places may all be held for a moment by those for whom the app works."""
    return any(served.ask(timeout_s=20)[0] == 200 or PAUSE.wait(0.1) for _ in range(100))


def is_soon(held: Crowd, count: int) -> bool:
    """Wait until no more than so many are still connected."""
    for _ in range(300):
        if held.open <= count:
            return True
        PAUSE.wait(0.1)
    return False


def ways() -> Iterator[Any]:
    """Give each way to the program with each kind of crowd; in the small size one kind but over http."""
    for way in WAYS:
        for kind in KINDS:
            is_small = way == "http" or kind is BODIES
            yield pytest.param(
                way, kind, id=f"{way}-{kind.name}", marks=() if is_small else pytest.mark.faults
            )


@pytest.mark.parametrize(("served", "kind"), tuple(ways()), indirect=["served"])
def test_others_are_answered_while_many_send_slowly(served: Served, kind: Slow) -> None:
    print(f"a crowd of {SLOW}, no seed")
    with crowd(served, kind) as held:
        answered = [served.ask(path, timeout_s=20)[0] for path in ("/healthz", "/arrive", "/api/session")]

        assert answered == [200, 200, 200]
        assert held.open == SLOW, held.ended


def test_the_same_slow_bodies_stop_a_program_whose_threads_wait(tmp_path: Path) -> None:
    with serving(tmp_path, command=BY_THREADS) as before, crowd(before, BODIES) as held:
        with pytest.raises((OSError, HTTPException)):
            for _ in range(40):  # those that come first may be answered before all threads wait
                before.ask(timeout_s=3)

        assert held.open == SLOW, held.ended


def test_unfinished_handshakes_keep_nobody_waiting(tmp_path: Path) -> None:
    with serving(tmp_path, UNHURRIED, is_at_home=True) as served:
        held = crowd(served, SILENT)
        held.is_shaking = False
        with held:
            assert served.ask(timeout_s=20)[0] == 200


@pytest.mark.parametrize("served", WAYS, indirect=True)
def test_whoever_has_no_account_keeps_no_place(served: Served) -> None:
    before = served.sockets()
    with crowd(served, WITHOUT_ACCOUNT) as held:
        assert served.ask(timeout_s=20)[0] == 200
        for _ in range(300):
            # The proxy keeps some open for next requests, and waits for a small body before it hands the
            # answer on; that is no place of the program.
            is_told = isinstance(served, Proxied) or held.told == {"401": SLOW}
            if is_told and served.sockets() <= before + 8:
                break
            PAUSE.wait(0.1)

        assert served.sockets() <= before + 8
        assert is_told, held.told


@pytest.mark.parametrize("kind", KINDS, ids=NAMES)
def test_an_address_takes_only_its_places_and_is_answered_on_them_still(few: Served, kind: Slow) -> None:
    with crowd(few, kind) as held:
        assert is_soon(held, 8), held.open
        assert is_answered(few)
        assert held.open <= 8


def test_who_is_turned_out_in_the_middle_is_told_when_to_come_again(few: Served) -> None:
    begun = []
    for _ in range(9):
        connection = few.raw("127.0.0.9")
        connection.sendall(b"GET /healthz HTTP/1.1\r\nX-Slow: ")
        begun.append(connection)
        PAUSE.wait(0.2)  # so that its bytes are heard before the next one comes

    answers = [heard(connection) for connection in begun if _has_ended(connection)]
    for connection in begun:
        connection.close()
    assert answers and all(answer.startswith(b"HTTP/1.1 503 ") for answer in answers)
    assert all(b"\r\nRetry-After: 5\r\n" in answer for answer in answers)


def test_another_address_keeps_its_slow_connections(few: Served) -> None:
    with crowd(few, HEADS, 3, ("127.0.0.7",)) as patient, crowd(few, HEADS, sources=("127.0.0.8",)) as greedy:
        assert is_soon(greedy, 8)
        assert patient.open == 3, patient.ended


def test_all_together_take_only_the_places_that_there_are(tmp_path: Path) -> None:
    with (
        serving(tmp_path, {**UNHURRIED, "MOST_CONNECTIONS": "10"}) as served,
        crowd(served, BODIES, sources=spread(SLOW)) as held,
    ):
        assert is_soon(held, 20), held.open
        assert is_answered(served)


@pytest.mark.parametrize(
    ("hops", "claimed", "is_apart"),
    [
        ("1", "10.0.0.{number}", True),
        ("1", "10.0.0.{number}, 10.9.9.9", False),
        ("0", "10.0.0.{number}", False),
    ],
)
def test_an_address_is_what_the_named_proxy_says(
    tmp_path: Path, hops: str, claimed: str, *, is_apart: bool
) -> None:
    with serving(tmp_path, {**FEW, "PROXY_HOPS": hops}) as served:
        held = [crowd(served, BODIES, 1) for _ in range(24)]
        for number, each in enumerate(held):
            each.more = f"X-Forwarded-For: {claimed.format(number=number)}\r\n"
            each.__enter__()
        count = 24 if is_apart else 8
        PAUSE.wait(0.5)
        is_held = any(sum(each.open for each in held) <= count or PAUSE.wait(0.1) for _ in range(300))
        left = sum(each.open for each in held)
        for each in held:
            each.__exit__()

    assert is_held and (left == 24) is is_apart


def test_a_killed_process_is_followed_by_another_in_the_middle_of_a_crowd(few: Served) -> None:
    with crowd(few, HEADS, 8):
        before = few.workers()
        os.kill(min(before), signal.SIGKILL)
        for _ in range(300):
            if len(few.workers()) == 2 and few.workers() != before:
                break
            PAUSE.wait(0.1)
        few.wait()

        assert len(few.workers() - before) == 1
        assert is_answered(few)


def _has_ended(connection: socket.socket) -> bool:

    return bool(select.select([connection], [], [], 0)[0])
