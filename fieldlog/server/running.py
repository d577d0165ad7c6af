"""Runs the app on one request, in a thread, and gathers its answer; nothing here waits for the other side."""

from dataclasses import dataclass
from typing import Any

from gunicorn.http.message import Request
from gunicorn.http.wsgi import create

from fieldlog.server.bodies import MOST_BODY_BYTES, BodyWanted
from fieldlog.web.security import MOST_WANTED


@dataclass(frozen=True)
class WholeRequest:
    """One request, and who asks whom."""

    request: Request
    peer: Any
    server: Any
    is_last: bool


@dataclass(frozen=True)
class Answer:
    """What goes back, and whether the connection ends with it."""

    text: bytes
    is_last: bool


@dataclass(frozen=True)
class BodyRequest:
    """The app would take the body, up to a size."""

    most_bytes: int


class AnswerSocket:
    """Stands where gunicorn expects the socket."""

    def __init__(self) -> None:
        self.parts: list[bytes] = []

    def sendall(self, data: bytes) -> None:
        """Gather a part of the answer."""
        self.parts.append(bytes(data))

    def send(self, data: bytes) -> int:
        """Drop gunicorn's word that the body may come: whether it may is only being asked."""
        return len(data)

    def gettimeout(self) -> float:
        """Say that writing here never waits."""
        return 0.0


def run(worker: Any, asked: WholeRequest) -> Answer | BodyRequest:
    """Give the app's answer, or say that it wants a body that is not here yet."""
    gathered, environ = AnswerSocket(), dict[str, Any]()
    try:
        response, environ = create(asked.request, gathered, asked.peer, asked.server, worker.cfg)
        environ["wsgi.multithread"] = True
        if asked.is_last:
            response.force_close()
        _write(worker.wsgi(environ, response.start_response), response)
        return Answer(b"".join(gathered.parts), response.should_close())
    except BodyWanted:
        return BodyRequest(environ.get(MOST_WANTED, MOST_BODY_BYTES))
    except (Exception, SystemExit) as error:
        return refusal(worker, asked.request, asked.peer, error)


def refusal(worker: Any, request: Request | None, peer: Any, error: BaseException) -> Answer:
    """Give gunicorn's answer to a head that it cannot read, or to a failure of the app."""
    gathered = AnswerSocket()
    worker.handle_error(request, gathered, peer, error)
    return Answer(b"".join(gathered.parts), is_last=True)


def _write(pieces: Any, response: Any) -> None:
    try:
        for piece in pieces:
            response.write(piece)
        response.close()
    finally:
        if hasattr(pieces, "close"):
            pieces.close()
