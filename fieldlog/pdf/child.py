"""Draws one service record: `python -m fieldlog.pdf.child`, with the order on its standard input.

Notes
-----
The standard input stays open for as long as somebody watches; its end ends this process.
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

MB: Final = 1_000_000
# Mappings that are not in use: 340 MB with the libraries loaded, measured 2026-11-30; twice that and some.
MAPPED_MB: Final = 800
NICER: Final = 10
TELL_S: Final = 0.5

log = logging.getLogger("fieldlog")


def main(drawing: Callable[[Order], int] | None = None) -> None:
    """Draw what the first line of the standard input orders, and exit with a status of how it went."""
    order = Order(**json.loads(sys.stdin.readline()))
    Thread(target=_end_with_the_watcher, daemon=True).start()
    _give_way(order.most_mb)
    logging.basicConfig(level=logging.WARNING)
    try:
        status = (drawing or draw)(order)
    except MemoryError:
        status = NO_MEMORY
    logging.shutdown()
    os._exit(status)  # the thread still waits for the end of the standard input


def draw(order: Order) -> int:
    """Write the PDF, or the sentence that says why there is none; give the exit status."""
    shelf = Shelf(Path(order.folder))
    try:
        drawn = _drawn(order, _teller(shelf, order.job))
        shelf.write(f"{order.job}.pdf", drawn)
    except FieldlogError as error:
        log.error("%s", error)
        shelf.write(f"{order.job}.failure", str(error).encode())
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


def _drawn(order: Order, tell: Callable[[str], None]) -> bytes:
    # Loaded here, so that the process can be ended, and is bounded, from its first moments.
    from fieldlog import rulebook
    from fieldlog.store.session import open_store_to_read
    from fieldlog.sync.service_record import drawn_record
    from fieldlog.sync.signing_keys import signing_keys

    store = open_store_to_read(order.database)
    try:
        return drawn_record(
            store,
            rulebook.load(),
            owner=order.account,
            rig=order.rig,
            paper=order.paper,
            made_at=datetime.fromisoformat(order.made_at),
            address=order.address,
            tell=tell,
            keys=signing_keys(Path(order.signing)) if order.signing else None,
        )
    finally:
        store.close()


def _teller(shelf: Shelf, job: str) -> Callable[[str], None]:
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
