"""Testing an outlet of the rig."""

from uuid import UUID

from flask import Blueprint, Response

from fieldlog.web.layout.shell import field_page

blueprint = Blueprint("outlets", __name__, template_folder="templates")


@blueprint.get("/outlets/<uuid:outlet>")
def test_outlet(outlet: UUID) -> Response:
    """Show the check of one outlet in the rig; script takes its id from the address."""
    return field_page("outlets/test.html")
