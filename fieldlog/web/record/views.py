"""The service record of a rig, as a page and as a PDF."""

import re

from flask import Blueprint, Response, make_response, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from fieldlog.errors import BadInput
from fieldlog.model.problem import Problem
from fieldlog.model.rig import Rig
from fieldlog.reports.contents import Contents, contents
from fieldlog.reports.render import PAPERS, render_body, render_pdf
from fieldlog.store.log import assert_log_holds
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import rig_with_all
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_needed
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.security import account_needed

blueprint = Blueprint("record", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/record")
def record(rig_id: str) -> ResponseReturnValue:
    """Show the service record."""
    rig = rig_needed(rig_id, rig_with_all)
    # render_body escapes every text that it sets.
    body = Markup(render_body(_contents(rig)))
    return render_template("record/record.html", rig=rig, body=body)


@blueprint.get("/rigs/<rig_id>/record.pdf")
def record_pdf(rig_id: str) -> ResponseReturnValue:
    """Give the service record as a PDF."""
    rig = rig_needed(rig_id, rig_with_all)
    paper = request.args.get("paper", PAPERS[0])
    if paper not in PAPERS:
        sentence = f"There is no paper “{paper}” here; ask for {' or '.join(PAPERS)}."
        raise BadInput([Problem("/paper", sentence)])
    return _pdf(render_pdf(_contents(rig), paper), rig.name)


def _contents(rig: Rig) -> Contents:
    address = url_for("record.record", rig_id=rig.id, _external=True)
    account = account_needed()
    with parts().store.reading() as tx:
        assert_log_holds(tx, account.id, rig.id)
        restores = restores_noted(tx, account.id, rig.id)
    there = time_there(account.id)
    return contents(rig, parts().rulebook, made_at=there, address=address, restores=restores)


def _pdf(drawn: bytes, name: str) -> Response:
    response = make_response(drawn)
    response.mimetype = "application/pdf"
    plain = re.sub(r"[^A-Za-z0-9]+", "-", name).strip("-") or "rig"
    response.headers["Content-Disposition"] = f'inline; filename="service-record-{plain}.pdf"'
    return response
