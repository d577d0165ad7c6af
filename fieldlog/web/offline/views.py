"""What lets the site open without the server: its worker, its manifest and the pages it keeps."""

import json
from pathlib import Path

from flask import Blueprint, Response, current_app

from fieldlog.book import flag_names
from fieldlog.web.layout.for_everybody import for_everybody, static_file
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.shell import field_page
from fieldlog.web.offline.manifest import MANIFEST

blueprint = Blueprint("offline", __name__, template_folder="templates")
KEPT = {
    "^/phone$": "/phone",
    "^/phone/try$": "/phone/try",
    "^/checks/[0-9a-fA-F-]{36}$": "/checks/shell",
    "^/outlets/[0-9a-fA-F-]{36}$": "/outlets/shell",
}


@blueprint.get("/sw.js")
def worker() -> Response:
    """Give the worker; where offline is switched off, the one that takes everything away again."""
    name = "sw.js" if parts().settings.is_offline_on else "sw-off.js"
    return static_file(Path(str(current_app.static_folder)), name)


@blueprint.get("/manifest.webmanifest")
def manifest() -> Response:
    """Say how the app stands on a home screen."""
    return for_everybody(json.dumps(MANIFEST), "application/manifest+json")


@blueprint.get("/offline")
def unreached() -> Response:
    """Show what the phone shows in place of a page that needs the server."""
    return field_page("offline/unreached.html")


@blueprint.get("/phone")
def phone() -> Response:
    """Show the page about what is on this phone: what waits, what was refused, files, room."""
    return field_page("offline/phone.html", flags=flag_names())


@blueprint.get("/phone/try")
def trial() -> Response:
    """Show the page on which a phone is tried: what this site needs of it, told as it was seen."""
    return field_page("offline/trial.html")


@blueprint.get("/checks/shell")
def check_shell() -> Response:
    """Show the page that the phone keeps for every check."""
    return field_page("arrival/check.html")


@blueprint.get("/outlets/shell")
def outlet_shell() -> Response:
    """Show the page that the phone keeps for every outlet."""
    return field_page("outlets/test.html")
