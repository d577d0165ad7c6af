"""Proving a change to the wiring before use, and showing the grounds without one."""

from uuid import UUID

from flask import Blueprint, Response

from fieldlog.web.layout.shell import field_page

blueprint = Blueprint("proving", __name__, template_folder="templates")
KEPT = {
    "^/changes/new$": "/changes/new",
    "^/changes/[0-9a-fA-F-]{36}$": "/changes/shell",
    "^/grounds$": "/changes/shell",
}


@blueprint.get("/changes/new")
def new_change() -> Response:
    """Show the form for a change; script lists the parts of the rig that the address names."""
    return field_page("proving/new.html")


@blueprint.get("/changes/shell")
def change_shell() -> Response:
    """Show the page that the phone keeps for every change and for grounds."""
    return field_page("proving/proofs.html")


@blueprint.get("/changes/<uuid:change>")
def change(change: UUID) -> Response:
    """Show the proofs of one change; script takes its id from the address."""
    return field_page("proving/proofs.html")


@blueprint.get("/grounds")
def grounds() -> Response:
    """Show the page on which the grounds of a rig are shown; script takes the rig from the address."""
    return field_page("proving/proofs.html")
