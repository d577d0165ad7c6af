"""Noting what went wrong: a shock, a burned plug, water, a surge, a pulled cord, a breaker that trips."""

from flask import Blueprint, Response

from fieldlog.tables import entries
from fieldlog.web.layout.shell import field_page

blueprint = Blueprint("incidents", __name__, template_folder="templates")
KEPT = {"^/incidents/new$": "/incidents/new"}


@blueprint.get("/incidents/new")
def new_incident() -> Response:
    """Show the page on which an incident is noted; script lists where, by what is on the phone."""
    kinds = [rule for rule in entries("facts/incidents.json") if rule["of"] == "incident" and rule["now"]]
    taps = [(rule["id"], rule["tap"]) for rule in kinds]
    return field_page("incidents/new.html", kinds=kinds, taps=taps)
