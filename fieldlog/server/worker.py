"""gunicorn's worker that waits in an event loop and runs the app in threads."""

import asyncio
import os
import resource
import signal
from asyncio import AbstractEventLoop, Future
from asyncio.sslproto import SSLProtocol
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from functools import partial
from typing import Any, Final

from gunicorn.sock import ssl_context
from gunicorn.workers.base import Worker

from fieldlog.config import Config
from fieldlog.server.connection import Connection, ConnectionState, Hall
from fieldlog.server.places import Places, counted_as
from fieldlog.server.running import Answer, BodyRequest, WholeRequest, run
from fieldlog.server.sentences import CROWDED

LOOK_S: Final = 0.25
BREATH_S: Final = 1.0
BUFFER_BYTES: Final = 64 * 1024
MOST_UNSENT_BYTES: Final = 64 * 1024 * 1024  # all answers of one process that wait for their readers
FILES_BESIDES: Final = 200  # of the app: database, static files, bodies on the disk


class WaitingWorker(Worker):  # type: ignore[misc]  # gunicorn has no types
    """One of the processes."""

    loop: AbstractEventLoop
    threads: ThreadPoolExecutor
    hall: Hall

    def init_process(self) -> None:
        """Make the loop and the threads, then begin."""
        self.loop = asyncio.new_event_loop()
        asyncio.set_event_loop(self.loop)
        self.threads = ThreadPoolExecutor(self.cfg.threads)
        self.hall = self._hall(Config.from_environment())
        super().init_process()

    def init_signals(self) -> None:
        """Hear the signals in the loop, so that none comes in the middle of something."""
        for number in self.SIGNALS:
            signal.signal(number, signal.SIG_DFL)
        self.loop.add_signal_handler(signal.SIGTERM, self._stop)
        self.loop.add_signal_handler(signal.SIGQUIT, self._quit)
        self.loop.add_signal_handler(signal.SIGINT, self._quit)
        self.loop.add_signal_handler(signal.SIGUSR1, self.log.reopen_files)
        self.loop.add_signal_handler(signal.SIGWINCH, lambda: None)
        signal.signal(signal.SIGABRT, self.handle_abort)

    def run(self) -> None:
        """Serve until told to stop."""
        try:
            self.loop.run_until_complete(self._serve())
        finally:
            self.threads.shutdown(wait=False, cancel_futures=True)
            self.loop.close()

    def _hall(self, config: Config) -> Hall:
        return Hall(
            worker=self,
            places=Places(_most_connections(config.most_connections), config.most_by_address),
            head_s=config.head_s,
            body_s=config.body_s,
            idle_s=config.idle_s,
            proxy_hops=config.proxy_hops,
            run=self._run,
            now_s=self.loop.time,
            buffer=memoryview(bytearray(BUFFER_BYTES)),
            folder=self.cfg.worker_tmp_dir,
        )

    def _run(self, asked: WholeRequest) -> "Future[Answer | BodyRequest]":
        return self.loop.run_in_executor(self.threads, run, self, asked)

    async def _serve(self) -> None:
        self._tls = ssl_context(self.cfg) if self.cfg.is_ssl else None
        SSLProtocol.max_size = BUFFER_BYTES  # it is set aside for each connection at once: four times that
        self._told = asyncio.Event()
        self._listen()
        while self.alive and self.ppid == os.getppid():
            self._look()
            with suppress(TimeoutError):
                await asyncio.wait_for(self._told.wait(), LOOK_S)
        await self._finish()

    def _listen(self) -> None:
        if self.alive:
            for listener in self.sockets:
                self.loop.add_reader(listener.fileno(), self._accept, listener)

    def _be_deaf(self) -> None:
        for listener in self.sockets:
            self.loop.remove_reader(listener.fileno())

    def _look(self) -> None:
        self.notify()
        now_s = self.loop.time()
        for connection in self.hall.places.holders():
            connection.look(now_s)
        answering = [each for each in self.hall.places.holders() if each.state is ConnectionState.ANSWERING]
        unsent = sum(each.unsent_bytes for each in answering)
        for connection in sorted(answering, key=lambda each: each.since_s):
            if unsent > MOST_UNSENT_BYTES:
                unsent -= connection.unsent_bytes
                connection.cut()

    async def _finish(self) -> None:
        """Let what has begun come to its end, for as long as gunicorn allows; hear nobody new."""
        self._be_deaf()
        for listener in self.sockets:
            listener.close()
        self.hall.is_closing = True
        end_s = self.loop.time() + self.cfg.graceful_timeout - BREATH_S
        while len(self.hall.places) and self.loop.time() < end_s and not self._is_hurried:
            self._look()
            await asyncio.sleep(LOOK_S / 5)
        for connection in self.hall.places.holders():
            connection.cut()

    _is_hurried = False

    def _stop(self) -> None:
        self.alive = False
        self._told.set()

    def _quit(self) -> None:
        self._is_hurried = True
        self._stop()

    def _accept(self, listener: Any) -> None:
        """Take one connection; others wait their turn, so that another process may take them."""
        try:
            sock, peer = listener.accept()
        except (BlockingIOError, ConnectionAbortedError):
            return
        except OSError as error:
            self.log.error("No connection can be taken for now: %s", error)
            self._be_deaf()
            self.loop.call_later(BREATH_S, self._listen)
            return
        sock.setblocking(False)
        connection = Connection(self.hall, peer)
        address = None if self.hall.proxy_hops else counted_as(peer[0])
        if self.hall.places.enter(connection, address):
            connection.opening = self.loop.create_task(self._open(connection, sock))
        else:
            self._turn_away(sock)

    def _turn_away(self, sock: Any) -> None:
        if self._tls is None:
            with suppress(OSError):
                sock.send(CROWDED.text(""))
        sock.close()

    async def _open(self, connection: Connection, sock: Any) -> None:
        connect = partial(self.loop.connect_accepted_socket, lambda: connection, sock)
        try:
            if self._tls is None:
                await connect()
            else:
                await connect(ssl=self._tls, ssl_handshake_timeout=self.hall.head_s, ssl_shutdown_timeout=2)
        except (OSError, asyncio.CancelledError):
            sock.close()
            connection.cut()


def _most_connections(wanted: int) -> int:
    """Give as many as wanted, if the system lets this process have so many files open."""
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    needed = wanted + FILES_BESIDES
    if soft < needed:
        with suppress(OSError, ValueError):  # where it may not be raised, there are fewer places
            allowed = needed if hard == resource.RLIM_INFINITY else min(needed, hard)
            resource.setrlimit(resource.RLIMIT_NOFILE, (allowed, hard))
            soft = allowed
    return max(1, min(wanted, soft - FILES_BESIDES))
