"""What a request says of the way it came is believed only of proxies that the settings name."""

import urllib.request
from pathlib import Path

import pytest

from tests.faults.test_kills import KilledServer


@pytest.mark.parametrize(("hops", "is_believed"), [("0", False), ("1", True)])
def test_https_is_believed_of_a_named_proxy_alone(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, hops: str, is_believed: bool
) -> None:
    monkeypatch.setenv("PROXY_HOPS", hops)
    server = KilledServer(tmp_path)
    address = f"http://127.0.0.1:{server.port}/"
    forged = urllib.request.Request(address, headers={"X-Forwarded-Proto": "https"})
    try:
        with urllib.request.urlopen(forged, timeout=30) as answer:
            told = answer.headers["Strict-Transport-Security"]
    finally:
        server.kill()

    assert (told is not None) == is_believed
