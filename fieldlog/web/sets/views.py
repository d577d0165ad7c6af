"""Noting a cord, extension or adapter as a set with a number, so that its tests come round."""

from flask import Blueprint, Response

from fieldlog.web.layout.shell import field_page
from fieldlog.words.kinds import SETS
from fieldlog.words.wording import begun

blueprint = Blueprint("sets", __name__, template_folder="templates")
KEPT = {"^/sets/new$": "/sets/new"}


@blueprint.get("/sets/new")
def new_set() -> Response:
    """Show the page on which a set is noted; script keeps it on the phone first."""
    return field_page("sets/new.html", kinds=[(kind, begun(name)) for kind, name in SETS.items()])
