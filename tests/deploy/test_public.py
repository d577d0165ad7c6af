"""What deploy/public puts on a machine with a public name."""

import re
import subprocess

import pytest

from fieldlog.config import Config
from tests.repository import ROOT

UNIT = (ROOT / "deploy/public/fieldlog.service").read_text(encoding="utf-8")
PROXY = (ROOT / "deploy/public/Caddyfile").read_text(encoding="utf-8")


def settings() -> dict[str, str]:
    """Give the environment that the unit sets."""
    lines = re.findall(r"^Environment=(.*)$", UNIT, flags=re.MULTILINE)
    return dict(each.split("=", 1) for line in lines for each in line.split())


def test_the_program_listens_where_only_the_proxy_reaches_it() -> None:
    config = Config.from_environment(settings())

    assert config.host == "127.0.0.1"
    assert f"reverse_proxy {config.host}:{config.port} {{\n" in PROXY


def test_one_proxy_is_believed_and_one_name_is_answered_beside_the_machine_itself() -> None:
    config = Config.from_environment(settings())

    assert config.proxy_hops == 1
    assert config.trusted_hosts == ("@NAME@", "localhost", "127.0.0.1", "[::1]")


def test_the_proxy_lets_go_of_a_connection_before_the_program_does() -> None:
    kept = re.search(r"^\s*keepalive (\d+)s$", PROXY, flags=re.MULTILINE)

    assert kept is not None and int(kept[1]) < Config.from_environment(settings()).idle_s


def test_it_runs_as_its_own_user_and_writes_in_its_own_folder() -> None:
    assert re.search(r"^User=fieldlog$", UNIT, flags=re.MULTILINE)
    assert str(Config.from_environment(settings()).data) == "/var/lib/fieldlog"
    for line in ("StateDirectory=fieldlog", "ProtectSystem=strict", "NoNewPrivileges=yes", "UMask=0077"):
        assert f"\n{line}\n" in UNIT


def test_it_cannot_take_the_machine() -> None:
    assert re.search(r"^MemoryMax=\d+[MG]$", UNIT, flags=re.MULTILINE)
    assert re.search(r"^TasksMax=\d+$", UNIT, flags=re.MULTILINE)


@pytest.mark.parametrize(
    "name",
    ["", "trailer.local", "trailer", "192.168.1.20", "log.example.org;id", "Log.example", "*.example.org"],
)
def test_what_is_no_public_name_is_refused_before_anything_is_done(name: str) -> None:
    done = subprocess.run(
        [ROOT / "deploy/public/set-up", name], capture_output=True, text=True, timeout=20, check=False
    )

    assert done.returncode == 1 and done.stdout == ""
    assert "is no public name" in done.stderr and "deploy/start --home" in done.stderr
