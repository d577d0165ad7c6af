"""Bodies while they arrive: kept apart from the app until they are whole."""

import re
from tempfile import SpooledTemporaryFile
from typing import IO, Final

from gunicorn.http.unreader import Unreader

IN_MEMORY_BYTES: Final = 64 * 1024
# More than any view takes; each refuses what goes beyond its own limit. It ends only bodies of untold length.
MOST_BODY_BYTES: Final = 16 * 1024 * 1024
MOST_SIZE_LINE_BYTES: Final = 8190
_SIZE: Final = re.compile(rb"[0-9A-Fa-f]{1,8}")


class BodyWanted(BaseException):
    """The app asked for a body that has not arrived; no handler of the app's own errors catches this."""


class IncomingRequest(Unreader):  # type: ignore[misc]  # gunicorn has no types
    """What the parser reads from: a head, then its body once that is here."""

    def __init__(self, head: bytes, body: IO[bytes] | None = None) -> None:
        super().__init__()
        self.head, self.body = head, body

    def chunk(self, size_hint: int | None = None) -> bytes:
        """Give the next piece."""
        if self.head:
            head, self.head = self.head, b""
            return head
        if self.body is None:
            raise BodyWanted
        return self.body.read(size_hint or IN_MEMORY_BYTES)


class Body:
    """One body, in memory while it is small and in a nameless file beyond that."""

    def __init__(self, end: "SizedBody | ChunkedBody", folder: str | None) -> None:
        self.size_bytes = 0
        self._end = end
        self._file = SpooledTemporaryFile(IN_MEMORY_BYTES, dir=folder)  # noqa: SIM115 # it is closed by close()

    @property
    def is_whole(self) -> bool:
        """Whether nothing more belongs to it."""
        return self._end.is_whole

    def take(self, data: bytes) -> bytes:
        """Keep what belongs to it, and give back the rest."""
        used = self._end.take(data)
        self._file.write(data[:used])
        self.size_bytes += used
        return data[used:]

    def from_its_start(self) -> IO[bytes]:
        """Give it to be read."""
        self._file.seek(0)
        return self._file

    def close(self) -> None:
        """Let go of it."""
        self._file.close()


class SizedBody:
    """Finds the end of a body whose length the head tells."""

    def __init__(self, length_bytes: int) -> None:
        self._left = length_bytes

    @property
    def is_whole(self) -> bool:
        """Whether all has come."""
        return self._left == 0

    def take(self, data: bytes) -> int:
        """Say how much of the data belongs to the body."""
        used = min(self._left, len(data))
        self._left -= used
        return used


class ChunkedBody:
    """Finds the end of a body in chunks (RFC 9112, 7.1).

    Whether it is well formed the parser says later: what is not is taken as ended here.
    """

    def __init__(self) -> None:
        self.is_whole = False
        self._left = 0
        self._line = b""
        self._is_in_trailers = False

    def take(self, data: bytes) -> int:
        """Say how much of the data belongs to the body."""
        at = 0
        while at < len(data) and not self.is_whole:
            if self._left:
                step = min(self._left, len(data) - at)
                self._left -= step
            else:
                step = (data.find(b"\n", at) + 1 or len(data)) - at
                self._take_of_line(data[at : at + step])
            at += step
        return at

    def _take_of_line(self, part: bytes) -> None:
        self._line += part
        if self._line.endswith(b"\n"):
            line, self._line = self._line.strip(), b""
            self._read(line)
        elif len(self._line) > MOST_SIZE_LINE_BYTES:
            self.is_whole = True

    def _read(self, line: bytes) -> None:
        size = line.partition(b";")[0].strip()
        if self._is_in_trailers:
            self.is_whole = not line
        elif not _SIZE.fullmatch(size):
            self.is_whole = True
        elif int(size, 16) == 0:
            self._is_in_trailers = True
        else:
            self._left = int(size, 16) + 2
