"""The one file that verifies a signed record, as a page and to be kept."""

import re
from functools import cache
from pathlib import Path
from typing import Final

from flask import Blueprint, Response, request

FILE: Final = Path(__file__).with_name("verify.html")
NAME: Final = "verify-a-signed-record.html"
_POLICY: Final = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]*)"')

blueprint = Blueprint("verify", __name__)


@blueprint.get("/verify")
def verify() -> Response:
    """Give the file; with "?save" to be kept as one."""
    text, policy = _file()
    response = Response(text, mimetype="text/html")
    response.headers["Content-Security-Policy"] = f"{policy}; frame-ancestors 'none'"
    response.headers["Referrer-Policy"] = "no-referrer"
    if "save" in request.args:
        response.headers["Content-Disposition"] = f'attachment; filename="{NAME}"'
    return response


@cache
def _file() -> tuple[str, str]:
    """Give the file and the policy that stands in it."""
    text = FILE.read_text(encoding="utf-8")
    found = _POLICY.search(text)
    assert found is not None, "fieldlog shell writes it anew"
    return text, found[1]
