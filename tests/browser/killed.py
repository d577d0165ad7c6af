"""A browser with a profile on disk that can be killed as a whole and opened again, and a server likewise."""

import os
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Event
from typing import Literal

from playwright.sync_api import BrowserContext, Error, Playwright

from tests.browser.conftest import SWITCHES, WHOLE
from tests.browser.phone import Phone
from tests.browser.way import SIZE

Workers = Literal["allow", "block"]

PAUSE = Event()
FIRST = "--user-data-dir="

# Settles in the page as soon as a record is said to be saved on the phone.
SAID_TO_BE_SAVED = """() => new Promise((settled, failed) => {
  const look = () => document.querySelector("fl-saved [data-saved]") && (watch.disconnect(), settled(true));
  const watch = new MutationObserver(look);
  watch.observe(document, { subtree: true, childList: true, attributes: true });
  setTimeout(failed, 8000, new Error("nothing was said to be saved"));
  look();
})"""


class KilledBrowser:
    """One browser on one profile."""

    def __init__(self, playwright: Playwright, profile: Path, site: str, workers: Workers = "block") -> None:
        self.playwright, self.profile, self.site, self.workers = playwright, profile, site, workers
        self.context: BrowserContext
        self.phone: Phone
        self.open()

    def open(self) -> None:
        """Start it on its profile, with an empty page."""
        self.context = self.playwright.chromium.launch_persistent_context(
            self.profile,
            executable_path=WHOLE,
            args=SWITCHES,
            viewport=SIZE,
            has_touch=True,
            is_mobile=True,
            service_workers=self.workers,
        )
        self.phone = Phone(self.context, self.site)

    def kill(self) -> None:
        """End every process of it at once, without a word."""
        processes = self._processes()
        assert len(processes) > 2, "the browser's processes were not found"
        for process in processes:
            with suppress(ProcessLookupError):
                os.kill(process, signal.SIGKILL)
        with suppress(Error):
            self.context.close()
        while any(Path(f"/proc/{process}/stat").exists() and not _is_over(process) for process in processes):
            PAUSE.wait(0.01)

    def close(self) -> None:
        """Close it as a person does."""
        with suppress(Error):
            self.context.close()

    def _processes(self) -> list[int]:
        """List the browser and all that it began."""
        parents = {process: _parent(process) for process in _all_processes()}
        found = [process for process in parents if _is_first(process, self.profile)]
        for process in found:  # it grows while it is walked
            found += [child for child, parent in parents.items() if parent == process and child not in found]
        return found


@contextmanager
def killed_browser(
    playwright: Playwright, profile: Path, site: str, workers: Workers = "block"
) -> Iterator[KilledBrowser]:
    """Hold a browser that may be killed."""
    browser = KilledBrowser(playwright, profile, site, workers)
    try:
        yield browser
    finally:
        browser.close()


def _all_processes() -> list[int]:
    return [int(path.name) for path in Path("/proc").iterdir() if path.name.isdecimal()]


def _parent(process: int) -> int:
    with suppress(OSError):
        return int(Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[1])
    return 0


def _is_over(process: int) -> bool:
    with suppress(OSError):
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0] == "Z"
    return True


def _is_first(process: int, profile: Path) -> bool:
    with suppress(OSError):
        words = Path(f"/proc/{process}/cmdline").read_bytes().decode(errors="replace").split("\0")
        return f"{FIRST}{profile}" in words and not any(word.startswith("--type=") for word in words)
    return False
