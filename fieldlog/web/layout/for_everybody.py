"""Answers that are the same for everybody: browsers keep them, ask if they are right, and get them packed.

A page that holds somebody's data is never packed: its length would tell about what stands beside a secret.
"""

import gzip
import mimetypes
from collections.abc import Callable, Mapping
from functools import lru_cache, partial
from pathlib import Path
from typing import Final

import brotli
from flask import Flask, Response, make_response, request
from werkzeug.exceptions import NotFound
from werkzeug.security import safe_join

# Pictures are packed already; below a network packet packing saves nothing.
PACKED_TYPES: Final = (
    "text/",
    "application/javascript",
    "application/json",
    "application/manifest+json",
    "image/svg+xml",
)
SMALLEST_BYTES: Final = 1400
# The smallest first; a browser takes it over https and from its own machine. Its last quality would take four
# times as long for 2 % less.
WAYS: Final[Mapping[str, Callable[[bytes], bytes]]] = {
    "br": partial(brotli.compress, quality=10),
    "gzip": partial(gzip.compress, compresslevel=9, mtime=0),
}


def serve_static(app: Flask) -> None:
    """Serve the files under static/ like all that is the same for everybody."""
    app.view_functions["static"] = lambda filename: static_file(Path(str(app.static_folder)), filename)


def static_file(folder: Path, name: str) -> Response:
    """Give a file of a folder; what is not in it is not found."""
    path = safe_join(str(folder), name)
    if path is None or not Path(path).is_file():
        raise NotFound
    return for_everybody(Path(path).read_bytes(), mimetypes.guess_type(name)[0] or "application/octet-stream")


def for_everybody(content: bytes | str, mimetype: str = "text/html") -> Response:
    """Give what is the same for everybody: packed where the browser takes it, 304 where it has it already."""
    data = content.encode() if isinstance(content, str) else content
    response = make_response(data)
    response.mimetype = mimetype
    response.headers["Cache-Control"] = "no-cache"
    # Weak: the same content, packed or not.
    response.add_etag(weak=True)
    if mimetype.startswith(PACKED_TYPES):
        response.vary.add("Accept-Encoding")
        way = next((way for way in WAYS if request.accept_encodings[way]), None)
        if way and len(data) >= SMALLEST_BYTES:
            response.set_data(_packed(data, way))
            response.content_encoding = way
    response.make_conditional(request)
    return response


@lru_cache(maxsize=256)
def _packed(content: bytes, way: str) -> bytes:
    """Pack once what is asked for again and again; without a time, so that it is the same each time."""
    return WAYS[way](content)
