"""Serving at home: the program over https, and a door over plain http behind which the root lies."""

import os
import signal
import socket
import ssl
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from email.message import Message
from http.client import HTTPConnection, HTTPResponse, HTTPSConnection
from pathlib import Path
from typing import Self

import pytest

from tests.deploy.home import run_authority
from tests.ports import free_port
from tests.repository import ROOT

PAUSE = threading.Event()
PATIENCE_S = 60  # only a failing test waits so long


@dataclass(frozen=True)
class Answer:
    """What came back, read to its end."""

    status: int
    headers: Message
    body: bytes

    @classmethod
    def of(cls, response: HTTPResponse) -> Self:
        """Read an answer."""
        return cls(response.status, response.headers, response.read())


class AtHome:
    """Both listeners, as deploy/home/serve starts them."""

    def __init__(self, data: Path) -> None:
        run_authority(data, "--name", "shed.local")
        self.root = data / "home/root.crt"
        self.port, self.trust_port = free_port(), free_port()
        environment = {**os.environ, "FIELDLOG_DATA": str(data), "HOST": "127.0.0.1"}
        environment |= {"PORT": str(self.port), "TRUST_PORT": str(self.trust_port)}
        for name in ("DATABASE_URL", "TRUSTED_HOSTS", "PROXY_HOPS"):
            environment.pop(name, None)
        subprocess.run(
            [sys.executable, "-c", "from fieldlog.cli import main; main(['migrate'])"],
            env=environment,
            stdout=subprocess.DEVNULL,
            check=True,
        )
        # As from a terminal: what runs in the background of a shell would never hear Ctrl+C.
        self.process = subprocess.Popen(
            ["env", "--default-signal=INT", ROOT / "deploy/home/serve"],
            env=environment,
            start_new_session=True,
        )

    def wait(self) -> None:
        """Wait until both answer."""
        for _ in range(600):
            if _listens(self.port) and _listens(self.trust_port):
                break
            assert self.process.poll() is None, "it ended before it listened"
            PAUSE.wait(0.05)
        assert self.at_the_door("/trust").status == 200
        assert self.trusting("/healthz").status == 200

    def at_the_door(self, path: str, method: str = "GET") -> Answer:
        """Ask over plain http."""
        with closing(HTTPConnection("127.0.0.1", self.trust_port, timeout=60)) as connection:
            connection.request(method, path, headers={"Host": f"shed.local:{self.trust_port}"})
            return Answer.of(connection.getresponse())

    def trusting(self, path: str, name: str = "shed.local", asked: str = "") -> Answer:
        """Ask over https as who trusts the root, opened it under a name, and asks for that or another."""
        context = ssl.create_default_context(cafile=self.root)
        with (
            closing(HTTPSConnection("127.0.0.1", self.port, timeout=60)) as connection,
            socket.create_connection(("127.0.0.1", self.port), timeout=60) as raw,
        ):
            connection.sock = context.wrap_socket(raw, server_hostname=name)
            connection.request("GET", path, headers={"Host": f"{asked or name}:{self.port}"})
            return Answer.of(connection.getresponse())


def _listens(port: int) -> bool:
    with socket.socket() as caller:
        return caller.connect_ex(("127.0.0.1", port)) == 0


@contextmanager
def serving(data: Path) -> Iterator[AtHome]:
    """Hold both listeners, and leave none behind."""
    at_home = AtHome(data)
    try:
        at_home.wait()
        yield at_home
    finally:
        at_home.process.terminate()
        at_home.process.wait(timeout=PATIENCE_S)


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[AtHome]:
    """The program as a home serves it."""
    with serving(tmp_path_factory.mktemp("served")) as at_home:
        yield at_home


def test_who_trusts_the_root_reaches_the_program_over_https(served: AtHome) -> None:
    answer = served.trusting("/healthz")

    assert answer.status == 200
    assert b'"ready":true' in answer.body.replace(b" ", b"")


def test_only_names_that_the_root_holds_for_and_the_machine_itself_are_answered(served: AtHome) -> None:
    hosts = ("shed.local", "localhost", "127.0.0.1", "evil.example")

    assert [served.trusting("/api/session", asked=host).status for host in hosts] == [200, 200, 200, 400]


def test_who_does_not_trust_the_root_gets_no_answer(served: AtHome) -> None:
    connection = HTTPSConnection("127.0.0.1", served.port, timeout=60)

    with closing(connection), pytest.raises(ssl.SSLCertVerificationError):
        connection.request("GET", "/healthz")


def test_under_another_name_there_is_no_answer(served: AtHome) -> None:
    with pytest.raises(ssl.SSLCertVerificationError):
        served.trusting("/healthz", name="bank.example")


def test_no_browser_is_bound_to_https_because_the_next_root_comes_over_http(served: AtHome) -> None:
    assert served.trusting("/trust").headers["Strict-Transport-Security"] == "max-age=0"


def test_the_door_hands_out_the_page_and_the_root(served: AtHome) -> None:
    page, root = served.at_the_door("/trust"), served.at_the_door("/trust/root.crt")

    assert page.status == 200
    assert f"https://shed.local:{served.port}/" in page.body.decode()
    assert (root.status, root.headers["Content-Type"]) == (200, "application/x-x509-ca-cert")
    assert root.body == served.root.read_bytes()


def test_the_door_hands_out_what_the_page_looks_like(served: AtHome) -> None:
    assert served.at_the_door("/static/css/components/trust.css").status == 200


@pytest.mark.parametrize(
    "path", ["/", "/sign-in", "/arrive", "/api/records", "/healthz", "/trust/server.key"]
)
@pytest.mark.parametrize("method", ["GET", "HEAD"])
def test_the_door_leads_everything_else_to_the_page(served: AtHome, path: str, method: str) -> None:
    answer = served.at_the_door(path, method)

    assert (answer.status, answer.headers["Location"]) == (303, "/trust")
    assert answer.headers["Set-Cookie"] is None


@pytest.mark.parametrize("path", ["/sign-in", "/api/records", "/trust"])
def test_nothing_can_be_handed_in_at_the_door(served: AtHome, path: str) -> None:
    assert served.at_the_door(path, "POST").status in (303, 400, 405)


@pytest.mark.parametrize("sent", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_ends_both(tmp_path: Path, sent: signal.Signals) -> None:
    with serving(tmp_path) as at_home:
        at_home.process.send_signal(sent)

        assert at_home.process.wait(timeout=PATIENCE_S) == 0
        assert not _listens(at_home.port) and not _listens(at_home.trust_port)


def test_when_one_cannot_listen_the_other_ends_as_well(served: AtHome, tmp_path: Path) -> None:
    run_authority(tmp_path, "--name", "shed.local")
    free = free_port()
    environment = {**os.environ, "FIELDLOG_DATA": str(tmp_path), "HOST": "127.0.0.1"}
    environment |= {"PORT": str(free), "TRUST_PORT": str(served.trust_port)}
    done = subprocess.run(
        [ROOT / "deploy/home/serve"], env=environment, capture_output=True, timeout=60, check=False
    )

    assert done.returncode != 0
    assert not _listens(free)


@pytest.mark.parametrize("script", ["deploy/home/serve", "deploy/public/set-up"])
def test_the_scripts_are_well_formed(script: str) -> None:
    assert subprocess.run(["bash", "-n", ROOT / script], check=False).returncode == 0
