"""Draws one service record: `python -m fieldlog.pdf.child`, with the order on its standard input.

Notes
-----
The standard input stays open for as long as somebody watches; its end ends this process. Reading and judging
the log and drawing its pages are done one after the other by two programs in this one process, so that the
pages need not share their room with what the first has loaded: some 75 MB of a busy rig's ten years.
"""

import json
import logging
import os
import resource
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from datetime import datetime
from pathlib import Path
from threading import Thread
from time import monotonic
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.pdf.process import NO_MEMORY, TOLD, Order
from fieldlog.pdf.shelf import Shelf
from fieldlog.reports.paper import Draft, draw_draft

MB: Final = 1_000_000
# Mappings that are not in use: 340 MB with the libraries loaded, measured 2026-11-30; twice that and some.
MAPPED_MB: Final = 800
NICER: Final = 10
TELL_S: Final = 0.5

log = logging.getLogger("fieldlog")


def main(drawing: Callable[[Order], int] | None = None) -> None:
    """Draw what the first line of the standard input orders, and exit with a status of how it went."""
    order = Order(**json.loads(sys.stdin.readline()))
    _give_way(order.most_mb)
    end_as_told(lambda: (drawing or draw_by_another)(order))


def end_as_told(work: Callable[[], int]) -> None:
    """Do some work, and exit with the status that it gives; end with the watcher, whatever it is at."""
    Thread(target=_end_with_the_watcher, daemon=True).start()
    logging.basicConfig(level=logging.WARNING)
    try:
        status = work()
    except MemoryError:
        status = NO_MEMORY
    logging.shutdown()
    os._exit(status)  # the thread still waits for the end of the standard input


def draw_by_another(order: Order) -> int:
    """Write the record ready to be drawn, and let the program that draws take this one's place."""
    shelf = Shelf(Path(order.folder))

    def draft() -> None:
        shelf.write(f"{order.job}.draft", _drafted(order, teller(shelf, order.job)).as_text())

    status = told(shelf, order.job, draft)
    if status == 0:
        logging.shutdown()
        os.execv(sys.executable, [sys.executable, "-m", "fieldlog.pdf.pages", order.folder, order.job])
    return status


def draw(order: Order) -> int:
    """Write the PDF, or the sentence that says why there is none; give the exit status."""
    shelf = Shelf(Path(order.folder))
    tell = teller(shelf, order.job)
    return told(shelf, order.job, lambda: draw_pages(shelf, order.job, _drafted(order, tell), tell))


def draw_pages(shelf: Shelf, job: str, draft: Draft, tell: Callable[[str], None]) -> None:
    """Write the PDF of what is ready to be drawn."""
    shelf.write(f"{job}.pdf", draw_draft(draft, tell))


def told(shelf: Shelf, job: str, work: Callable[[], None]) -> int:
    """Do some work, or write the sentence that says why it was not done; give the exit status."""
    try:
        work()
    except FieldlogError as error:
        log.error("%s", error)
        shelf.write(f"{job}.failure", str(error).encode())
        return TOLD
    return 0


def _give_way(most_mb: int) -> None:
    """Let pages go first, be the first to end where memory is short, and take no more than allowed [MB]."""
    most = (most_mb + MAPPED_MB) * MB
    with suppress(OSError):
        os.nice(NICER)
    with suppress(OSError):
        Path("/proc/self/oom_score_adj").write_text("1000")
    with suppress(ValueError, OSError):  # where the system bounds it lower, that holds
        resource.setrlimit(resource.RLIMIT_AS, (most, most))


def _drafted(order: Order, tell: Callable[[str], None]) -> Draft:
    # Loaded here, so that the process can be ended, and is bounded, from its first moments.
    from fieldlog import rulebook
    from fieldlog.store.blobs import open_blobs
    from fieldlog.store.session import open_store_to_read
    from fieldlog.sync.service_record import drafted_record
    from fieldlog.sync.signing_keys import signing_keys

    store = open_store_to_read(order.database)
    try:
        return drafted_record(
            store,
            rulebook.load(),
            owner=order.account,
            rig=order.rig,
            paper=order.paper,
            made_at=datetime.fromisoformat(order.made_at),
            address=order.address,
            tell=tell,
            keys=signing_keys(Path(order.signing)) if order.signing else None,
            blobs=open_blobs(order.photos) if order.photos else None,
        )
    finally:
        store.close()


def teller(shelf: Shelf, job: str) -> Callable[[str], None]:
    """Give what writes down the stage: each that is new in kind, and pages at most every half second."""
    told, told_s = "", 0.0

    def tell(stage: str) -> None:
        nonlocal told, told_s
        if stage.partition(" ")[0] == told and monotonic() - told_s < TELL_S:
            return
        told, told_s = stage.partition(" ")[0], monotonic()
        shelf.write(f"{job}.stage", stage.encode())

    return tell


def _end_with_the_watcher() -> None:
    sys.stdin.buffer.read()
    os.killpg(0, signal.SIGKILL)


if __name__ == "__main__":
    main()
