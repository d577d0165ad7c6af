"""The site book: pedestals met before, and what was read at one of them, for the park's office."""

from flask import Blueprint, Response
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.reports.render import PAPERS
from fieldlog.reports.site_report import render_site_report, site_report
from fieldlog.store.records import record_with_id
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.shell import field_page
from fieldlog.web.security import account_needed

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


@blueprint.get("/sites/reports/<record_id>.pdf")
def report(record_id: str) -> ResponseReturnValue:
    """Give the readings of an arrival check as one page for the park's office."""
    account = account_needed()
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account.id, record_id)
    if stored is None or stored.record.kind != "arrival-check":
        raise NotFound("record")
    return file_answer(
        render_site_report(site_report(stored.record), PAPERS[0]), "readings", "pdf", shown="inline"
    )
