"""The program as it is served, in processes of its own, with limits that a test can shorten."""

import os
import signal
import socket
import ssl
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import timedelta
from http.client import HTTPConnection, HTTPException, HTTPSConnection
from pathlib import Path

from fieldlog.clock import new_id, now
from fieldlog.store import migrations
from fieldlog.store.accounts import open_session
from fieldlog.store.session import open_store
from fieldlog.web.people.accounts import create_account
from tests.deploy.home import run_authority
from tests.ports import free_port

PAUSE = threading.Event()
PATIENCE_S = 60
TOKEN = "a-token-of-the-test"
NAME = "shed.local"
OURS = {"Sec-Fetch-Site": "same-origin"}
# A long time: a test that shows something else than a deadline must not be helped by one.
UNHURRIED = {"HEAD_SECONDS": "600", "BODY_SECONDS": "600"}


class Served:
    """One served program, with an account that is signed in."""

    def __init__(self, data: Path, settings: dict[str, str], *, is_at_home: bool, command: list[str]) -> None:
        self.data, self.is_at_home = data, is_at_home
        self.port = free_port()
        self.root = str(data / "home/root.crt") if is_at_home else None
        environment = {**os.environ, "FIELDLOG_DATA": str(data), "PORT": str(self.port)}
        for name in ("DATABASE_URL", "TRUSTED_HOSTS", "PROXY_HOPS", "TRUST_PORT", "HOST"):
            environment.pop(name, None)
        environment |= {"TRUST_PORT": "1"} if is_at_home else {}
        self.process = subprocess.Popen(
            [part.format(port=self.port) for part in command],
            env=environment | settings,
            start_new_session=True,
        )

    @property
    def host(self) -> str:
        """What stands in Host."""
        return f"{NAME if self.is_at_home else 'localhost'}:{self.port}"

    def connection(self, timeout_s: float = PATIENCE_S, source: str = "127.0.0.1") -> HTTPConnection:
        """Give a connection to ask on."""
        if self.root is None:
            return HTTPConnection("127.0.0.1", self.port, timeout=timeout_s, source_address=(source, 0))
        context = ssl.create_default_context(cafile=self.root)
        context.check_hostname = False  # it is called by its address; the root alone is trusted
        return HTTPSConnection(
            "127.0.0.1", self.port, timeout=timeout_s, context=context, source_address=(source, 0)
        )

    def ask(
        self,
        path: str = "/healthz",
        method: str = "GET",
        body: bytes | None = None,
        timeout_s: float = PATIENCE_S,
        **headers: str,
    ) -> tuple[int, bytes]:
        """Ask once, on a connection of its own."""
        connection = self.connection(timeout_s)
        named = {name.replace("_", "-"): value for name, value in headers.items()}
        try:
            connection.request(method, path, body, {**OURS, **self.cookie, **named})
            answer = connection.getresponse()
            return answer.status, answer.read()
        finally:
            connection.close()

    @property
    def cookie(self) -> dict[str, str]:
        """The session of the account."""
        return {"Cookie": f"{'__Host-' if self.is_at_home else ''}fieldlog={TOKEN}"}

    def raw(self, source: str = "127.0.0.1", *, is_shaking: bool = True) -> socket.socket:
        """Give a bare connection, over TLS where the program speaks it."""
        plain = socket.create_connection(("127.0.0.1", self.port), PATIENCE_S, source_address=(source, 0))
        if self.root is None or not is_shaking:
            return plain
        context = ssl.create_default_context(cafile=self.root)
        return context.wrap_socket(plain, server_hostname=NAME)

    def workers(self) -> set[int]:
        """Name the processes that serve."""
        path = Path(f"/proc/{self.process.pid}/task/{self.process.pid}/children")
        return {int(number) for number in path.read_text().split()}

    def sockets(self) -> int:
        """Count the connections that its processes hold, those besides included."""
        names = [
            str(link.readlink())
            for each in self.workers()
            for link in Path(f"/proc/{each}/fd").iterdir()
            if link.is_symlink()
        ]
        return sum(name.startswith("socket:") for name in names)

    def resident_mb(self) -> int:
        """Give the memory of all its processes."""
        pages = [
            int(Path(f"/proc/{each}/statm").read_text().split()[1])
            for each in (*self.workers(), self.process.pid)
        ]
        return sum(pages) * os.sysconf("SC_PAGE_SIZE") // 2**20

    def wait(self) -> None:
        """Wait until it answers, with both processes."""
        for _ in range(600):
            assert self.process.poll() is None, "it ended before it answered"
            with suppress(OSError, HTTPException):
                if self.ask(timeout_s=5)[0] == 200 and len(self.workers()) == 2:
                    return
            PAUSE.wait(0.05)
        raise AssertionError("it did not answer")


SERVE = [sys.executable, "-c", "from fieldlog.cli import main; main(['serve'])"]
# As it was served before: threads that wait for heads and bodies themselves.
BY_THREADS = [sys.executable, "-m", "gunicorn", "fieldlog.app:create_app()", "--bind", "127.0.0.1:{port}"]
BY_THREADS += ["--workers", "2", "--threads", "4", "--log-level", "error", "--graceful-timeout", "1"]


@contextmanager
def serving(
    data: Path,
    settings: dict[str, str] | None = None,
    *,
    is_at_home: bool = False,
    command: list[str] = SERVE,
) -> Iterator[Served]:
    """Hold a served program, and leave none of its processes behind."""
    _prepare(data)
    if is_at_home:
        run_authority(data, "--name", NAME)
    served = Served(data, settings or {}, is_at_home=is_at_home, command=command)
    try:
        served.wait()
        yield served
    finally:
        with suppress(ProcessLookupError):
            os.killpg(served.process.pid, signal.SIGKILL)
        served.process.wait()


def heard(connection: socket.socket) -> bytes:
    """Give all that comes until the other side ends."""
    parts = []
    with suppress(ConnectionResetError):
        while part := connection.recv(65536):
            parts.append(part)
    return b"".join(parts)


def _prepare(data: Path) -> None:
    store = open_store(f"sqlite:///{data / 'fieldlog.sqlite3'}")
    migrations.upgrade(store)
    account = create_account(store, "Kim", "rain on the awning", now=now, new_id=new_id)
    with store.writing() as tx:
        open_session(tx, account, TOKEN, created_at=now(), expires_at=now() + timedelta(days=1))
    store.close()
