"""The proxy of deploy/public before a served program, by its own file; only where both listen is changed."""

import json
import os
import signal
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from http.client import HTTPConnection, HTTPException
from pathlib import Path

from tests.ports import free_port
from tests.repository import ROOT
from tests.serving.served import PATIENCE_S, PAUSE, TOKEN, Served, serving

NAME = "localhost"


class Proxied(Served):
    """Asks go through the proxy; the program is the same."""

    def __init__(self, behind: Served, folder: Path) -> None:
        self.behind, self.data, self.is_at_home, self.root = behind, behind.data, False, None
        self.process = behind.process
        self.port = free_port()
        path = folder / "proxy.json"
        path.write_text(json.dumps(self._settings(folder)))
        self.proxy = subprocess.Popen(
            ["caddy", "run", "--config", path],
            env={**os.environ, "XDG_DATA_HOME": str(folder), "XDG_CONFIG_HOME": str(folder)},
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )

    def _settings(self, folder: Path) -> object:
        text = (ROOT / "deploy/public/Caddyfile").read_text(encoding="utf-8")
        file = folder / "Caddyfile"
        file.write_text(text.replace("@NAME@", f"http://{NAME}").replace(":8000", f":{self.behind.port}"))
        command = ["caddy", "adapt", "--config", str(file), "--adapter", "caddyfile"]
        done = subprocess.run(command, capture_output=True, check=True, timeout=PATIENCE_S)
        settings = json.loads(done.stdout)
        settings["admin"] = {"disabled": True}
        (server,) = settings["apps"]["http"]["servers"].values()
        server |= {"listen": [f"127.0.0.1:{self.port}"], "automatic_https": {"disable": True}}
        return settings

    def wait(self) -> None:
        """Wait until it answers."""
        for _ in range(600):
            assert self.proxy.poll() is None, "the proxy ended before it answered"
            with suppress(OSError, HTTPException):
                if self.ask(timeout_s=5)[0] == 200:
                    return
            PAUSE.wait(0.05)
        raise AssertionError("the proxy did not answer")

    @property
    def cookie(self) -> dict[str, str]:
        """The session of the account; the proxy says that the request came over http."""
        return {"Cookie": f"fieldlog={TOKEN}"}

    def connection(self, timeout_s: float = PATIENCE_S, source: str = "127.0.0.1") -> HTTPConnection:
        """Give a connection to ask on, under the name that the proxy knows."""
        return HTTPConnection(NAME, self.port, timeout=timeout_s, source_address=(source, 0))


@contextmanager
def proxied(data: Path, settings: dict[str, str] | None = None) -> Iterator[Proxied]:
    """Hold a program with the proxy before it, and leave none of their processes behind."""
    with serving(data, {"PROXY_HOPS": "1", **(settings or {})}) as behind:
        folder = data / "proxy"
        folder.mkdir()
        found = Proxied(behind, folder)
        try:
            found.wait()
            yield found
        finally:
            with suppress(ProcessLookupError):
                os.killpg(found.proxy.pid, signal.SIGKILL)
            found.proxy.wait()
