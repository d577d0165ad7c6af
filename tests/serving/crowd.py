"""Many connections that send next to nothing, each kept for as long as the server lets it."""

import asyncio
import ssl
from collections import Counter
from contextlib import suppress
from dataclasses import dataclass, field
from threading import Event, Thread
from typing import Any, Self

FORM = "POST /sign-in HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/x-www-form-urlencoded\r\n"
RECORDS = (
    "POST /api/records HTTP/1.1\r\nHost: {host}\r\nContent-Type: application/json\r\n"
    "Sec-Fetch-Site: same-origin\r\n{more}"
)


@dataclass(frozen=True)
class Slow:
    """One kind: what it sends at once, and whether a byte follows every so often."""

    name: str
    begin: str
    is_trickling: bool = True


HEADS = Slow("a head", "GET /arrive HTTP/1.1\r\nHost: {host}\r\nX-Slow: ")
BODIES = Slow("a body", FORM + "{more}Content-Length: 60000\r\n\r\ncsrf_token=")
HALF_BODIES = Slow(
    "half a body, then silence", FORM + "{more}Content-Length: 12000\r\n\r\n" + "x" * 6000, False
)
WITHOUT_ACCOUNT = Slow("a body without an account", RECORDS + "Content-Length: 60000\r\n\r\n{{")
SILENT = Slow("nothing", "", False)
KINDS = (HEADS, BODIES, HALF_BODIES)


@dataclass
class Crowd:
    """So many connections of a kind, from addresses of this machine; who is turned out comes again."""

    port: int
    kind: Slow
    count: int
    host: str = "localhost"
    sources: tuple[str, ...] = ("127.0.0.1",)
    root: str | None = None
    more: str = ""
    each_s: float = 2.0
    again_s: float | None = None
    is_shaking: bool = True
    open: int = 0
    told: Counter[str] = field(default_factory=Counter)
    ended: Counter[str] = field(default_factory=Counter)

    def __enter__(self) -> Self:
        """Begin, and wait until all have connected once."""
        self._all, self._tried = Event(), set[int]()
        self._loop = asyncio.new_event_loop()
        self._thread = Thread(target=self._run)
        self._thread.start()
        assert self._all.wait(120), f"only {self.open} connected"
        return self

    def __exit__(self, *_: object) -> None:
        """End all of them."""
        assert self._main is not None
        self._loop.call_soon_threadsafe(self._main.cancel)
        self._thread.join()

    def _run(self) -> None:
        with suppress(asyncio.CancelledError):
            self._loop.run_until_complete(self._all_of_them())
        self._loop.run_until_complete(self._pass(0.05))  # what was ended is closed in its next turns
        self._loop.close()

    async def _all_of_them(self) -> None:
        self._main = asyncio.current_task()
        await asyncio.gather(*(self._one(number) for number in range(self.count)))
        await asyncio.Event().wait()

    async def _one(self, number: int) -> None:
        source = self.sources[number % len(self.sources)]
        while True:
            try:
                await self._keep(number, source)
            except (OSError, asyncio.IncompleteReadError) as error:
                self.ended[type(error).__name__] += 1
            self._note_try(number)
            if self.again_s is None:
                return
            await self._pass(self.again_s)

    async def _keep(self, number: int, source: str) -> None:
        reader, writer = await asyncio.open_connection(
            "127.0.0.1", self.port, local_addr=(source, 0), **self._tls()
        )
        self.open += 1
        try:
            writer.write(self.kind.begin.format(host=self.host, more=self.more).encode())
            self._note_try(number)
            self.ended[_status(await self._trickle(reader, writer))] += 1
        finally:
            self.open -= 1
            writer.transport.abort()

    async def _trickle(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> bytes:
        """Send a byte every so often until the other side has said all that it says."""
        answer = asyncio.create_task(self._listen(reader))
        try:
            while not answer.done():
                await asyncio.wait([answer], timeout=self.each_s)
                if self.kind.is_trickling and not answer.done():
                    writer.write(b"x")
            return answer.result()
        finally:
            answer.cancel()

    async def _listen(self, reader: asyncio.StreamReader) -> bytes:
        first = await reader.read(4096)
        self.told[_status(first)] += 1
        return first + await reader.read()

    async def _pass(self, span_s: float) -> None:
        """Let some time go by."""
        await asyncio.wait([self._loop.create_future()], timeout=span_s)

    def _note_try(self, number: int) -> None:
        self._tried.add(number)
        if len(self._tried) == self.count:
            self._all.set()

    def _tls(self) -> dict[str, Any]:
        if self.root is None or not self.is_shaking:
            return {}
        return {"ssl": _context(self.root), "server_hostname": self.host.partition(":")[0]}


def _context(root: str, known: dict[str, ssl.SSLContext] = {}) -> ssl.SSLContext:  # noqa: B006 # one for all
    if root not in known:
        known[root] = ssl.create_default_context(cafile=root)
    return known[root]


def _status(answer: bytes) -> str:
    return answer[9:12].decode() if answer.startswith(b"HTTP/1.1 ") else "closed"


def spread(count: int) -> tuple[str, ...]:
    """Give so many addresses of this machine."""
    return tuple(f"127.0.{1 + number // 200}.{1 + number % 200}" for number in range(count))
