"""The page of a rig's map that a phone keeps."""

from uuid import UUID

from flask import Blueprint, Response

from fieldlog.web.layout.shell import field_page

blueprint = Blueprint("rig_field", __name__, template_folder="templates")
KEPT = {"^/rigs/[0-9a-fA-F-]{36}/map$": "/rigs/map-shell"}


@blueprint.get("/rigs/<uuid:rig_id>/map")
def rig_map(rig_id: UUID) -> Response:
    """Show the map of a rig; script takes the rig's id from the address."""
    return field_page("rig_field/map.html")


@blueprint.get("/rigs/map-shell")
def map_shell() -> Response:
    """Show the page that the phone keeps for every rig's map."""
    return field_page("rig_field/map.html")
