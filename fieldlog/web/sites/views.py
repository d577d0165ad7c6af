"""The site book: pedestals met before."""

from flask import Blueprint, Response

from fieldlog.web.layout.shell import field_page

# On this page alone a person may let the browser tell where they are; it stays on the phone.
POSITION_ALLOWED = "camera=(), geolocation=(self), microphone=(), payment=(), usb=()"

blueprint = Blueprint("sites", __name__, template_folder="templates")
KEPT = {"^/sites$": "/sites"}


@blueprint.get("/sites")
def sites() -> Response:
    """Show the site book; script fills it by what is on the phone."""
    page = field_page("sites/sites.html")
    page.headers["Permissions-Policy"] = POSITION_ALLOWED
    return page
