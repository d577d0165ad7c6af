"""Where a body ends, and how fast it has to come."""

from io import BytesIO
from pathlib import Path

from gunicorn.config import Config
from gunicorn.http.message import Request
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.server.bodies import (
    IN_MEMORY_BYTES,
    MOST_BODY_BYTES,
    Body,
    ChunkedBody,
    IncomingRequest,
    SizedBody,
)
from fieldlog.server.pace import FLOOR_BYTES_S, Pace
from fieldlog.sync import photos

HEAD = b"POST / HTTP/1.1\r\nHost: a\r\nTransfer-Encoding: chunked\r\n\r\n"
AFTER = b"GET /next HTTP/1.1\r\n"


@st.composite
def chunked_bodies(draw: st.DrawFn) -> tuple[bytes, bytes]:
    """Draw what a body says, and how it is sent in chunks."""
    parts = draw(st.lists(st.binary(min_size=1, max_size=40), max_size=5))
    ends = draw(st.sampled_from([b"\r\n", b"X-Sum: 1\r\n\r\n", b"A: b\r\nC: d\r\n\r\n"]))
    extra = draw(st.sampled_from([b"", b";a", b' ; a="b"', b";a=b"]))
    sizes = [draw(st.sampled_from([b"%x", b"%X", b"00%x"])) % len(part) for part in parts]
    sent = [size + extra + b"\r\n" + part + b"\r\n" for size, part in zip(sizes, parts, strict=True)]
    return b"".join(parts), b"".join(sent) + b"0\r\n" + ends


@given(chunked_bodies(), st.integers(1, 50))
def test_a_body_in_chunks_ends_where_the_parser_ends_it(body: tuple[bytes, bytes], step: int) -> None:
    said, sent = body
    end, text, used = ChunkedBody(), sent + AFTER, 0
    while used < len(text) and not end.is_whole:
        used += end.take(text[used : used + step])

    request = Request(Config(), IncomingRequest(HEAD, BytesIO(sent)), ("127.0.0.1", 1))
    assert request.body.read() == said
    assert (end.is_whole, text[used:]) == (True, AFTER)


def test_what_is_no_chunk_is_not_waited_for() -> None:
    for text in (b"no size\r\n", b"-5\r\n", b"\r\n", b"5" * 9000, b"fffffffff\r\n"):
        end = ChunkedBody()
        end.take(text)
        assert end.is_whole, text


def test_a_body_is_kept_whole_and_what_follows_it_is_given_back(tmp_path: Path) -> None:
    body = Body(SizedBody(IN_MEMORY_BYTES * 3), str(tmp_path))
    for _ in range(3):
        assert not body.is_whole
        rest = body.take(b"x" * IN_MEMORY_BYTES + b"next")

    # The first two surpluses belonged to the body, so the last part was not needed whole.
    assert body.is_whole and rest == b"x" * 8 + b"next"
    assert body.from_its_start().read() == (b"x" * IN_MEMORY_BYTES + b"next") * 2 + b"x" * (
        IN_MEMORY_BYTES - 8
    )
    assert list(tmp_path.iterdir()) == []  # its file has no name, so none is left behind
    body.close()


def test_the_largest_photo_fits_into_a_body_of_untold_length() -> None:
    assert MOST_BODY_BYTES > photos.MOST_BYTES


def test_a_body_has_to_bring_the_floor_in_every_window() -> None:
    pace = Pace(10, now_s=100)

    assert not pace.is_too_slow(0, 109.9)
    assert not pace.is_too_slow(FLOOR_BYTES_S * 10, 110)
    assert not pace.is_too_slow(FLOOR_BYTES_S * 10, 119.9)
    assert pace.is_too_slow(FLOOR_BYTES_S * 20 - 1, 120)


def test_haste_at_first_pays_for_no_silence_later() -> None:
    pace = Pace(10, now_s=0)

    assert not pace.is_too_slow(10_000_000, 10)
    assert pace.is_too_slow(10_000_000, 20)
