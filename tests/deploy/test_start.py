"""deploy/start: what it prints where, and under which names it lets the program be opened."""

import os
import pty
import shutil
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import closing, contextmanager
from http.client import HTTPConnection
from pathlib import Path

import pytest

from tests.ports import free_port
from tests.repository import ROOT

PAUSE = threading.Event()
PATIENCE_S = 60  # only a failing test waits so long
TOKEN = "/first-account?token="


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of the program as after a first start, with the environment that runs these tests."""
    folder = tmp_path_factory.mktemp("program")
    (folder / "deploy").mkdir()
    for name in ("deploy/start", "deploy/prepare.sh", "deploy/requirements.txt", "pyproject.toml"):
        shutil.copy2(ROOT / name, folder / name)
    (folder / ".venv").mkdir()
    for name in ("bin", "lib", "include", "pyvenv.cfg"):
        (folder / ".venv" / name).symlink_to(Path(sys.prefix) / name)
    wanted = ". deploy/prepare.sh && wanted deploy/requirements.txt >.venv/installed"
    subprocess.run(["bash", "-c", wanted], cwd=folder, check=True)
    return folder


class Started:
    """The program as deploy/start leaves it running."""

    def __init__(self, process: "subprocess.Popen[bytes]", port: int) -> None:
        self.process = process
        self.port = port

    def status(self, host: str) -> int:
        """Ask under a name, and give the status."""
        with closing(HTTPConnection("127.0.0.1", self.port, timeout=PATIENCE_S)) as connection:
            connection.request("GET", "/api/session", headers={"Host": host})
            return connection.getresponse().status


def environment(data: Path, port: int, **settings: str) -> dict[str, str]:
    """Give the settings of a start, with a folder of its own for the data."""
    ours = ("DATABASE_URL", "TRUSTED_HOSTS", "PROXY_HOPS", "TRUST_PORT", "HOST")
    kept = {name: value for name, value in os.environ.items() if name not in ours}
    return {**kept, "FIELDLOG_DATA": str(data), "PORT": str(port), **settings}


@contextmanager
def started(folder: Path, data: Path, output: int, **settings: str) -> Iterator[Started]:
    """Start it, wait until it listens, and leave nothing behind."""
    port = free_port()
    process = subprocess.Popen(
        [folder / "deploy/start"], env=environment(data, port, **settings), stdout=output, stderr=output
    )
    try:
        while not _listens(port):
            assert process.poll() is None, "it ended before it listened"
            PAUSE.wait(0.05)
        yield Started(process, port)
    finally:
        process.terminate()
        process.wait(timeout=PATIENCE_S)


def _listens(port: int) -> bool:
    with socket.socket() as caller:
        return caller.connect_ex(("127.0.0.1", port)) == 0


@pytest.fixture(scope="module")
def by_itself(folder: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[Started, Path]]:
    """The program without any setting, and the file into which its output is redirected."""
    own = tmp_path_factory.mktemp("by itself")
    path = own / "start.log"
    with path.open("wb") as file, started(folder, own / "data", file.fileno()) as program:
        yield program, path


@pytest.fixture
def output(tmp_path: Path) -> Iterator[tuple[Path, int]]:
    """A file into which the output is redirected."""
    path = tmp_path / "start.log"
    with path.open("wb") as file:
        yield path, file.fileno()


def test_into_a_file_the_command_for_the_link_is_written_and_no_link(by_itself: tuple[Started, Path]) -> None:
    said = by_itself[1].read_text(encoding="utf-8")

    assert TOKEN not in said
    [command] = [line for line in said.splitlines() if line.endswith(".venv/bin/fieldlog link")]
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, check=True)
    assert done.stdout.startswith("http://127.0.0.1:") and TOKEN in done.stdout


def test_once_somebody_has_an_account_there_is_no_word_of_a_link(
    folder: Path, tmp_path: Path, output: tuple[Path, int]
) -> None:
    path, number = output
    subprocess.run(
        [folder / ".venv/bin/fieldlog", "user", "add", "Kim"],
        env=environment(tmp_path / "data", 8000),
        input=b"rain on the awning\n",
        check=True,
        stdout=subprocess.DEVNULL,
    )
    with started(folder, tmp_path / "data", number):
        assert "fieldlog link" not in path.read_text(encoding="utf-8")


def test_on_a_terminal_the_link_is_shown(folder: Path, tmp_path: Path) -> None:
    ours, theirs = pty.openpty()
    with started(folder, tmp_path / "data", theirs):
        said = b""
        while b"Ctrl-C stops it" not in said:
            said += os.read(ours, 4096)
    os.close(theirs)
    os.close(ours)

    assert TOKEN.encode() in said


def test_by_itself_it_answers_under_the_machine_s_own_names_only(by_itself: tuple[Started, Path]) -> None:
    program, _ = by_itself
    hosts = ("127.0.0.1", "localhost", "[::1]", "evil.example", socket.gethostname())
    statuses = [program.status(f"{host}:{program.port}") for host in hosts]

    assert statuses == [200, 200, 200, 400, 400]


@pytest.mark.parametrize(
    ("settings", "answered"),
    [({"TRUSTED_HOSTS": "log.example"}, [200, 400]), ({"PROXY_HOPS": "1"}, [200, 200])],
)
def test_what_its_owner_sets_goes_first_and_a_proxy_s_name_is_its_owner_s_to_say(
    folder: Path, tmp_path: Path, output: tuple[Path, int], settings: dict[str, str], answered: list[int]
) -> None:
    with started(folder, tmp_path / "data", output[1], **settings) as program:
        assert [program.status(host) for host in ("log.example", "127.0.0.1")] == answered


@pytest.mark.parametrize(
    ("arguments", "hosts"),
    [
        ("127.0.0.1", "localhost,127.0.0.1,[::1]"),
        ("::1", "localhost,127.0.0.1,[::1]"),
        ("192.0.2.9 Trailer.local fd00::7", "localhost,127.0.0.1,[::1],trailer.local,[fd00::7],192.0.2.9"),
        ("fe80::2%eth0", "localhost,127.0.0.1,[::1],[fe80::2]"),
    ],
)
def test_the_names_are_those_it_listens_on_and_those_that_are_given(arguments: str, hosts: str) -> None:
    assert own_hosts(arguments) == hosts


def test_on_every_network_the_names_are_all_of_the_machine_s_own() -> None:
    listed = subprocess.run(["hostname", "-I"], capture_output=True, text=True, check=True).stdout.split()
    own = {f"[{address}]" if ":" in address else address for address in listed}
    name = socket.gethostname().lower()

    assert set(own_hosts("0.0.0.0").split(",")) >= {
        *own,
        name,
        f"{name.partition('.')[0]}.local",
        "localhost",
    }


def own_hosts(arguments: str) -> str:
    """Give what the shell's function prints."""
    script = f". deploy/prepare.sh && own_hosts {arguments}"
    return subprocess.run(
        ["bash", "-c", script], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.strip()
