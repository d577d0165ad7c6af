"""Answers that are files."""

import re
from typing import Final, Literal

from flask import Response, make_response

MIMETYPES: Final = {"pdf": "application/pdf", "ics": "text/calendar", "json": "application/json"}


def file_answer(
    content: bytes,
    name: str,
    ending: Literal["pdf", "ics", "json"],
    *,
    shown: Literal["inline", "attachment"],
) -> Response:
    """Give a file; of its name only letters and digits are left."""
    response = make_response(content)
    response.mimetype = MIMETYPES[ending]
    plain = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-")
    response.headers["Content-Disposition"] = f'{shown}; filename="{plain}.{ending}"'
    return response
