"""What stands between a phone and the server on a bad day: it loses, cuts, doubles or makes up answers."""

import socket
import struct
from collections import Counter
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from enum import Enum
from random import Random
from socketserver import BaseRequestHandler, ThreadingTCPServer
from threading import Event, Lock, Thread

LATE_S = 0.15
PATIENCE_S = 20
RESET = struct.pack("ii", 1, 0)  # an abrupt end, which the other side sees as a reset


class Spoil(Enum):
    """What may become of an exchange."""

    NONE = "passed on"
    RESET = "reset before the server saw it"
    CUT_REQUEST = "request cut in half"
    LOST_ANSWER = "answer lost after the server was done"
    CUT_ANSWER = "answer cut in half"
    TWICE = "sent to the server twice"
    LATE = "answered late"
    HANG = "never answered; the server did not see it"
    HANG_AFTER = "never answered; the server was done"
    PORTAL = "answered 200 by a page of some network"
    OTHER_JSON = "answered 200 by JSON of something else"
    BROKEN = "answered 500"
    GATEWAY = "answered 502 by a page"
    BUSY = "answered 429"


ON_THE_WAY_IN = (Spoil.RESET, Spoil.CUT_REQUEST, Spoil.TWICE, Spoil.PORTAL, Spoil.OTHER_JSON, Spoil.BUSY)
ON_THE_WAY_OUT = (Spoil.LOST_ANSWER, Spoil.CUT_ANSWER, Spoil.LATE, Spoil.BROKEN, Spoil.GATEWAY)
SEEN_BY_THE_SERVER = {*ON_THE_WAY_OUT, Spoil.NONE, Spoil.TWICE, Spoil.HANG_AFTER}

PORTAL = "<!doctype html><title>Welcome</title><p>Log in to the park's network.</p>"
MADE_UP = {
    Spoil.PORTAL: ("200 OK", "text/html", PORTAL),
    Spoil.OTHER_JSON: ("200 OK", "application/json", '{"status": "ok", "receipts": [{}]}'),
    Spoil.BROKEN: ("500 Internal Server Error", "application/json", '{"problems": []}'),
    Spoil.GATEWAY: ("502 Bad Gateway", "text/html", "<!doctype html><title>502</title><h1>Bad Gateway</h1>"),
    Spoil.BUSY: ("429 Too Many Requests", "application/json", '{"problems": []}'),
}


@dataclass(frozen=True)
class Request:
    """What the phone asked."""

    method: str
    path: str
    text: bytes

    @property
    def is_batch(self) -> bool:
        """Whether it hands records in."""
        return self.method == "POST" and self.path == "/api/records"

    @property
    def is_of_the_app(self) -> bool:
        """Whether a page's script asked for it, and not the browser for a page."""
        return self.path.startswith("/api/")


Rule = Callable[[Request], Spoil]


def pass_on(_: Request) -> Spoil:
    """Spoil nothing."""
    return Spoil.NONE


def all_of_the_app(spoil: Spoil) -> Rule:
    """Spoil whatever a page's script asks for."""
    return lambda request: spoil if request.is_of_the_app else Spoil.NONE


def batches(spoil: Spoil) -> Rule:
    """Spoil it only when records are handed in; who is signed in is still answered."""
    return lambda request: spoil if request.is_batch else Spoil.NONE


def every_third_batch(spoil: Spoil) -> Rule:
    """Spoil each third time that records are handed in."""
    counted = Counter[str]()

    def rule(request: Request) -> Spoil:
        counted["batches"] += request.is_batch
        return spoil if request.is_batch and counted["batches"] % 3 == 0 else Spoil.NONE

    return rule


def a_share(share: float, rng: Random) -> Rule:
    """Spoil a share of what a page's script asks for on the way in, and a share of the answers."""

    def rule(request: Request) -> Spoil:
        if not request.is_of_the_app:
            return Spoil.NONE
        if rng.random() < share:
            return rng.choice(ON_THE_WAY_IN)
        return rng.choice(ON_THE_WAY_OUT) if rng.random() < share else Spoil.NONE

    return rule


class Proxy:
    """Listens on a port of this machine and passes on to another one, as its rule lets it."""

    def __init__(self, server_port: int) -> None:
        self.server_port = server_port
        self.rule: Rule = pass_on
        self.spoiled: Counter[Spoil] = Counter()
        self.hanging = 0
        self.batches = 0
        self._lock, self._released = Lock(), Event()
        self._listener = _Listener(self)
        self.port: int = self._listener.server_address[1]
        self._thread = Thread(target=self._listener.serve_forever, args=(0.02,))
        self._thread.start()

    @property
    def address(self) -> str:
        """Where phones find it."""
        return f"http://127.0.0.1:{self.port}"

    def use(self, rule: Rule) -> None:
        """Go by another rule from now on; what hung under the one before is cut off."""
        with self._lock:
            self.rule = rule
            self._released.set()
            self._released = Event()

    def close(self) -> None:
        """Stop for good."""
        self.use(all_of_the_app(Spoil.RESET))
        self._listener.shutdown()
        self._listener.server_close()
        self._thread.join()

    def serve(self, phone: socket.socket) -> None:
        """Carry one exchange."""
        request = _read_request(phone)
        if request is None:
            return
        with self._lock:
            spoil, released = self.rule(request), self._released
            self.spoiled[spoil] += 1
            self.batches += request.is_batch
        answer = self._carry(request.text, spoil)
        if spoil in (Spoil.HANG, Spoil.HANG_AFTER):
            self._hang(released)
        if spoil is Spoil.LATE:
            released.wait(LATE_S)
        if answer:
            phone.sendall(answer)
        else:
            phone.setsockopt(socket.SOL_SOCKET, socket.SO_LINGER, RESET)

    def _carry(self, text: bytes, spoil: Spoil) -> bytes:
        """Give what the phone is answered; nothing where it is answered nothing."""
        answer = b""
        if spoil is Spoil.CUT_REQUEST:
            self._ask_server(text[: len(text) * 2 // 3], is_whole=False)
        if spoil is Spoil.TWICE:
            self._ask_server(text)
        if spoil in SEEN_BY_THE_SERVER:
            answer = self._ask_server(text)
        if spoil in MADE_UP:
            return _made_up(*MADE_UP[spoil])
        if spoil is Spoil.CUT_ANSWER:
            return answer[: len(answer) // 2]
        return b"" if spoil in (Spoil.LOST_ANSWER, Spoil.HANG_AFTER) else answer

    def _hang(self, released: Event) -> None:
        with self._lock:
            self.hanging += 1
        released.wait(PATIENCE_S)
        with self._lock:
            self.hanging -= 1

    def _ask_server(self, text: bytes, *, is_whole: bool = True) -> bytes:
        with suppress(OSError), _connected(self.server_port) as server:
            server.sendall(text)
            if is_whole:
                return _closing(_read_all(server))
        return b""


class _Listener(ThreadingTCPServer):
    daemon_threads = True
    block_on_close = False
    request_queue_size = 64

    def __init__(self, proxy: Proxy) -> None:
        self.proxy = proxy
        super().__init__(("127.0.0.1", 0), _Exchange)


class _Exchange(BaseRequestHandler):
    server: _Listener

    def handle(self) -> None:
        """Carry one exchange; the connection ends after it."""
        with suppress(OSError):
            self.request.settimeout(PATIENCE_S)
            self.server.proxy.serve(self.request)


def _read_request(phone: socket.socket) -> Request | None:
    text = b""
    while b"\r\n\r\n" not in text:
        got = phone.recv(65536)
        if not got:
            return None
        text += got
    head, _, body = text.partition(b"\r\n\r\n")
    names = {line.split(b":", 1)[0].lower(): line for line in head.split(b"\r\n")[1:]}
    length = int(names.get(b"content-length", b":0").split(b":", 1)[1])
    while len(body) < length:
        got = phone.recv(65536)
        if not got:
            return None
        body += got
    method, path = head.split(b" ", 2)[:2]
    return Request(method.decode(), path.decode(), _closing(head + b"\r\n\r\n" + body))


def _connected(port: int) -> socket.socket:
    return socket.create_connection(("127.0.0.1", port), PATIENCE_S)


def _read_all(server: socket.socket) -> bytes:
    parts = []
    while got := server.recv(65536):
        parts.append(got)
    return b"".join(parts)


def _closing(text: bytes) -> bytes:
    """Make a message say that its connection ends with it."""
    head, gap, body = text.partition(b"\r\n\r\n")
    lines = [line for line in head.split(b"\r\n") if not line.lower().startswith(b"connection:")]
    return b"\r\n".join([*lines, b"Connection: close"]) + gap + body if text else b""


def _made_up(status: str, kind: str, body: str) -> bytes:
    return (
        f"HTTP/1.1 {status}\r\nContent-Type: {kind}\r\nContent-Length: {len(body)}\r\n"
        f"Retry-After: 1\r\nConnection: close\r\n\r\n{body}"
    ).encode()
