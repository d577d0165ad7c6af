"""Ports of servers under test, from below those that the system lends to outgoing connections."""

import os
import socket
from itertools import count

# Each process that runs tests has its own thousand; tests beside them on the machine begin elsewhere.
_WORKER = int(os.environ.get("PYTEST_XDIST_WORKER", "gw9").removeprefix("gw")) % 10
_PORTS = count(10_000 + 2000 * _WORKER + os.getpid() % 1000)


def free_port() -> int:
    """Give a port on which nothing listens, and which nobody was given before."""
    return next(port for port in _PORTS if _is_free(port))


def _is_free(port: int) -> bool:
    with socket.socket() as listener:
        try:
            listener.bind(("127.0.0.1", port))
        except OSError:
            return False
        return True
