"""One connection: it waits for a head, asks the app, waits for the body if the app wants it, and answers.

    HEAD -> RUNNING -> ANSWERING -> IDLE -> HEAD …     the request is whole with its head
    HEAD -> ASKED -> BODY -> RUNNING -> …              the app, asked by the head alone, wants the body
    HEAD -> ASKED -> ANSWERING -> LINGERING            it does not: who still sends is heard out for a moment

Only ASKED and RUNNING have a thread. All others wait for the other side, each with its own deadline.
"""

import asyncio
from asyncio import Future, Task, Transport
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto
from typing import Any, Final

from gunicorn.http.body import ChunkedReader
from gunicorn.http.errors import InvalidRequestLine, LimitRequestHeaders
from gunicorn.http.message import Request

from fieldlog.server.bodies import IN_MEMORY_BYTES, Body, BodyWanted, ChunkedBody, IncomingRequest, SizedBody
from fieldlog.server.pace import Pace
from fieldlog.server.places import Places, counted_as, forwarded_for
from fieldlog.server.running import Answer, BodyRequest, WholeRequest, refusal
from fieldlog.server.sentences import CROWDED, TOO_SLOW, Refusal

MOST_HEAD_BYTES: Final = 64 * 1024
MOST_HELD_BYTES: Final = 128 * 1024 * 1024  # all bodies of one process together, most of it in files
LINGER_S: Final = 2.0
LAST_WORDS_S: Final = 5.0
CONTINUE: Final = b"HTTP/1.1 100 Continue\r\n\r\n"


class ConnectionState(Enum):
    """What a connection waits for."""

    HEAD = auto()
    ASKED = auto()
    BODY = auto()
    RUNNING = auto()
    ANSWERING = auto()
    IDLE = auto()
    LINGERING = auto()
    GONE = auto()


@dataclass
class Hall:
    """What the connections of one process share."""

    worker: Any
    places: "Places[Connection]"
    head_s: float
    body_s: float
    idle_s: float
    proxy_hops: int
    run: "Callable[[WholeRequest], Future[Answer | BodyRequest]]"
    now_s: Callable[[], float]
    buffer: memoryview
    folder: str | None
    held_bytes: int = 0
    is_closing: bool = False


class Connection(asyncio.BufferedProtocol):
    """One connection."""

    def __init__(self, hall: Hall, peer: Any) -> None:
        self.hall, self.peer = hall, peer
        self.state = ConnectionState.HEAD
        self.since_s = hall.now_s()
        self.opening: Task[None] | None = None
        self._transport: Transport | None = None
        self._server: Any = None
        self._heard = bytearray()
        self._request: Request | None = None
        self._head = b""
        self._body: Body | None = None
        self._most_bytes = 0
        self._pace = Pace(hall.body_s, self.since_s)
        self._is_blocked = False
        self._is_last = False
        self._has_heard_all = False

    # What the places ask of it

    @property
    def waits_since_s(self) -> float | None:
        """When it began to wait for the other side; None while the app works for it."""
        return (
            None
            if self.state in (ConnectionState.ASKED, ConnectionState.RUNNING, ConnectionState.GONE)
            else self.since_s
        )

    @property
    def is_spare(self) -> bool:
        """Whether nothing is lost with it."""
        is_silent = self.state is ConnectionState.HEAD and not self._heard and self.hall.is_closing
        return is_silent or self.state in (ConnectionState.IDLE, ConnectionState.LINGERING)

    def give_way(self) -> None:
        """Give its place up now."""
        self._refuse(CROWDED)

    # What the loop tells it

    def connection_made(self, transport: asyncio.BaseTransport) -> None:
        """Begin to hear."""
        assert isinstance(transport, Transport)
        self._transport = transport
        self._server = transport.get_extra_info("sockname")
        transport.set_write_buffer_limits(high=1, low=0)
        if self.state is ConnectionState.GONE:
            transport.abort()

    def connection_lost(self, exc: Exception | None) -> None:
        """Leave its place."""
        self._leave()

    def get_buffer(self, sizehint: int) -> memoryview:
        """Give room for what comes: all share one buffer, which each empties at once."""
        return self.hall.buffer

    def buffer_updated(self, nbytes: int) -> None:
        """Hear what came."""
        data = bytes(self.hall.buffer[:nbytes])
        if self.state is ConnectionState.BODY:
            self._take_body(data)
        elif self.state not in (ConnectionState.LINGERING, ConnectionState.GONE):
            self._heard += data
            self._look_for_head()

    def eof_received(self) -> bool:
        """Go on answering who will send no more; end with who left in the middle."""
        self._is_last = self._has_heard_all = True
        is_owed = self.state in (ConnectionState.ASKED, ConnectionState.RUNNING, ConnectionState.ANSWERING)
        return is_owed and self._transport is not None and self._transport.can_write_eof()

    def pause_writing(self) -> None:
        """Note that the other side has not taken all of the answer yet."""
        self._is_blocked = True

    def resume_writing(self) -> None:
        """Note that it has."""
        self._is_blocked = False
        if self.state is ConnectionState.ANSWERING:
            self._answered()

    def look(self, now_s: float) -> None:
        """End it when it has kept everybody waiting; asked several times a second."""
        waited_s = now_s - self.since_s
        if self.is_spare:
            if waited_s > self._patience_s:
                self._close()
        elif self.state is ConnectionState.HEAD:
            if waited_s > self.hall.head_s:
                self._refuse(TOO_SLOW)
        elif self.state is ConnectionState.BODY and self._body is not None:
            if self._pace.is_too_slow(self._body.size_bytes, now_s):
                self._refuse(TOO_SLOW)
        elif self.state is ConnectionState.ANSWERING and self._pace.is_too_slow(-self.unsent_bytes, now_s):
            self.cut()

    @property
    def _patience_s(self) -> float:
        return (
            self.hall.idle_s if self.state is ConnectionState.IDLE and not self.hall.is_closing else LINGER_S
        )

    @property
    def unsent_bytes(self) -> int:
        """How much of the answer the other side has not taken yet."""
        return self._transport.get_write_buffer_size() if self._transport else 0

    # From a head to an answer

    def _look_for_head(self) -> None:
        if self.state is ConnectionState.IDLE and self._heard:
            self._enter(ConnectionState.HEAD)
        if self.state is not ConnectionState.HEAD:
            return
        end = self._heard.find(b"\r\n\r\n") + 4
        if end >= 4 or self._is_overlong():
            self._take_head(end if end >= 4 else len(self._heard), is_whole=end >= 4)

    def _is_overlong(self) -> bool:
        most_line = self.hall.worker.cfg.limit_request_line + 4
        is_in_line = len(self._heard) > most_line and self._heard.find(b"\r\n", 2, most_line) < 0
        return is_in_line or len(self._heard) > MOST_HEAD_BYTES

    def _take_head(self, end: int, *, is_whole: bool) -> None:
        self._head, rest = bytes(self._heard[:end]), bytes(self._heard[end:])
        self._heard.clear()
        unfinished = InvalidRequestLine("") if is_whole else LimitRequestHeaders("the head is too long")
        try:
            self._request = self._parsed(IncomingRequest(self._head))
        except BodyWanted:
            return self._answer(refusal(self.hall.worker, None, self.peer, unfinished))
        except Exception as error:  # whatever gunicorn's parser raises, gunicorn answers
            return self._answer(refusal(self.hall.worker, None, self.peer, error))
        if self._has_place():
            self._take_request(rest)
        else:
            self._refuse(CROWDED)

    def _has_place(self) -> bool:
        """Say whether the address for which a proxy asks has a place left."""
        hops = self.hall.proxy_hops
        if not hops or self._request is None:
            return True
        values = [value for name, value in self._request.headers if name == "X-FORWARDED-FOR"]
        address = forwarded_for(values, hops)
        return self.hall.places.name(self, address and counted_as(address))

    def _take_request(self, rest: bytes) -> None:
        assert self._request is not None
        reader = self._request.body.reader
        is_chunked = isinstance(reader, ChunkedReader)
        if not is_chunked and reader.length == 0:
            self._heard += rest
            return self._ask(ConnectionState.RUNNING)
        # Where a body in chunks ends is found twice, here and by the parser: no second request hangs on that.
        self._is_last = self._is_last or is_chunked
        self._body = Body(ChunkedBody() if is_chunked else SizedBody(reader.length), self.hall.folder)
        self._keep(rest)
        if self._body.is_whole:
            self._run_with_body()
        else:
            self._ask(ConnectionState.ASKED)

    def _take_body(self, data: bytes) -> None:
        assert self._body is not None
        self._keep(data)
        if self._body.is_whole or self._body.size_bytes > self._most_bytes:
            self._run_with_body()
        elif self.hall.held_bytes > MOST_HELD_BYTES:
            self._refuse(CROWDED)

    def _keep(self, data: bytes) -> None:
        assert self._body is not None
        before = self._body.size_bytes
        self._heard += self._body.take(data)
        self.hall.held_bytes += self._body.size_bytes - before

    def _run_with_body(self) -> None:
        assert self._body is not None
        self._request = self._parsed(IncomingRequest(self._head, self._body.from_its_start()))
        self._ask(ConnectionState.RUNNING)

    def _parsed(self, arriving: IncomingRequest) -> Request:
        return Request(self.hall.worker.cfg, arriving, self.peer)

    def _ask(self, state: ConnectionState) -> None:
        assert self._transport is not None
        self._enter(state)
        self._transport.pause_reading()
        is_last = self._is_last or self._is_sending or self.hall.is_closing
        asked = WholeRequest(self._request, self.peer, self._server, is_last)
        self.hall.run(asked).add_done_callback(self._take_answer)

    @property
    def _is_sending(self) -> bool:
        """Whether the other side has a body that has not arrived."""
        return self._body is not None and not self._body.is_whole

    def _take_answer(self, done: "Future[Answer | BodyRequest]") -> None:
        if self.state is ConnectionState.GONE or done.cancelled():
            return
        answer = done.result()
        if isinstance(answer, Answer):
            self._answer(answer)
        else:
            self._wait_for_body(answer)

    def _wait_for_body(self, wanted: BodyRequest) -> None:
        assert self._transport is not None and self._request is not None
        self._most_bytes = wanted.most_bytes + IN_MEMORY_BYTES  # beside what they hold, chunks have sizes
        self._enter(ConnectionState.BODY)
        if any(name == "EXPECT" for name, _ in self._request.headers):
            self._transport.write(CONTINUE)
        self._transport.resume_reading()
        heard = bytes(self._heard)
        self._heard.clear()
        self._take_body(heard)

    def _answer(self, answer: Answer) -> None:
        assert self._transport is not None
        self._is_last = self._is_last or answer.is_last
        self._enter(ConnectionState.ANSWERING)
        self._pace = Pace(self.hall.body_s, self.since_s, -len(answer.text))
        self._transport.write(answer.text)
        if not self._is_blocked:
            self._answered()

    def _answered(self) -> None:
        assert self._transport is not None
        is_sending = self._is_sending
        self._drop_body()
        if self._is_last:
            return self._end(is_sending=is_sending)
        if self.hall.proxy_hops:
            self.hall.places.name(self, None)
        self._enter(ConnectionState.IDLE)
        self._transport.resume_reading()
        self._look_for_head()

    # Its end

    def _end(self, *, is_sending: bool) -> None:
        """End it in such a way that the answer is not lost to a reset, should the other side still send."""
        assert self._transport is not None
        if self._has_heard_all or not (is_sending or self._transport.can_write_eof()):
            return self._close()
        if self._transport.can_write_eof():
            self._transport.write_eof()
        self._enter(ConnectionState.LINGERING)
        self._transport.resume_reading()

    def _refuse(self, refusal: Refusal) -> None:
        if self._transport is None or self.state is ConnectionState.ANSWERING:
            return self.cut()
        if self.state is ConnectionState.BODY or (
            self.state is ConnectionState.HEAD and (self._request or self._heard)
        ):
            self._transport.write(refusal.text(self._request.path if self._request else ""))
        self._close()

    def _close(self) -> None:
        if self._transport is None:
            return self.cut()
        self._leave()
        self._transport.close()
        asyncio.get_running_loop().call_later(LAST_WORDS_S, self._transport.abort)

    def cut(self) -> None:
        """End it without a word."""
        self._leave()
        if self._transport:
            self._transport.abort()
        elif self.opening:
            self.opening.cancel()

    def _enter(self, state: ConnectionState) -> None:
        self.state, self.since_s = state, self.hall.now_s()
        self._pace = Pace(self.hall.body_s, self.since_s)
        if state is ConnectionState.IDLE:
            self._request = None

    def _leave(self) -> None:
        self.state = ConnectionState.GONE
        self.hall.places.leave(self)
        self._drop_body()

    def _drop_body(self) -> None:
        if self._body is not None:
            self.hall.held_bytes -= self._body.size_bytes
            self._body.close()
            self._body = None
