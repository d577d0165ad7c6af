"""The service record of a rig, as a page and as a PDF."""

from collections.abc import Mapping
from typing import Final

from flask import Blueprint, current_app, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from markupsafe import Markup

from fieldlog.errors import BadInput, StoreUnavailable
from fieldlog.model.problem import Problem
from fieldlog.model.rig import Rig
from fieldlog.pdf.jobs import JobStanding
from fieldlog.pdf.shelf import JobState
from fieldlog.reports.contents import Contents, contents
from fieldlog.reports.pictures import hashes_shown
from fieldlog.reports.render import PAPERS, render_body
from fieldlog.store.log import assert_log_holds
from fieldlog.store.restore import restores_noted
from fieldlog.store.rigs import rig_with_all
from fieldlog.sync.record_pictures import sources_on_screen
from fieldlog.sync.sharing import Sharing, address_of
from fieldlog.sync.taking_over import told_origins
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_name_needed, rig_needed
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.record.forms import PdfForm
from fieldlog.web.record.progress import progress_lines, wait_a_moment
from fieldlog.web.security import account_needed

PICTURES: Final = "pictures"
"""By this member of a form or an address its owner chose pictures."""

blueprint = Blueprint("record", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/record")
def record(rig_id: str) -> ResponseReturnValue:
    """Show the service record."""
    rig = rig_needed(rig_id, rig_with_all)
    # render_body escapes every text that it sets.
    has_pictures = PICTURES in request.args
    body = Markup(render_body(_contents(rig, has_pictures=has_pictures)))
    return render_template(
        "record/record.html",
        rig=rig,
        body=body,
        papers=PAPERS,
        form=PdfForm(),
        has_pictures=has_pictures,
    )


@blueprint.get("/rigs/<rig_id>/record.pdf")
def record_pdf(rig_id: str) -> ResponseReturnValue:
    """Give the service record as a PDF that is made now; one that takes longer is waited for on its page."""
    name = rig_name_needed(rig_id)
    _ask(rig_id, request.args)
    found = wait_a_moment(lambda: _looked(rig_id), parts().settings.pdf_patience_s)
    if found is not None and found.job.state is JobState.READY:
        return _made(rig_id, name)
    return _told(rig_id, name, found) if _has_failed(found) else _to_its_page(rig_id)


@blueprint.post("/rigs/<rig_id>/record.pdf/job")
def begin_pdf(rig_id: str) -> ResponseReturnValue:
    """Have the service record made as a PDF, and lead to the page that says how far it is."""
    rig_name_needed(rig_id)
    _ask(rig_id, request.form)
    return _to_its_page(rig_id)


@blueprint.get("/rigs/<rig_id>/record.pdf/job")
def pdf_job(rig_id: str) -> ResponseReturnValue:
    """Say how far the PDF is; asking for this page keeps it in the making."""
    return _told(rig_id, rig_name_needed(rig_id), _looked(rig_id))


@blueprint.get("/rigs/<rig_id>/record.pdf/made")
def made_pdf(rig_id: str) -> ResponseReturnValue:
    """Give the PDF that was made, or lead to the page that says what became of it."""
    return _made(rig_id, rig_name_needed(rig_id))


def _ask(rig_id: str, given: Mapping[str, str]) -> None:
    paper = given.get("paper", PAPERS[0])
    if paper not in PAPERS:
        sentence = f"There is no paper “{paper}” here; ask for {' or '.join(PAPERS)}."
        raise BadInput([Problem("/paper", sentence)])
    owner, address = account_needed().id, _address(rig_id)
    parts().pdfs.ask(owner, rig_id, paper, address, has_pictures=PICTURES in given)


def _looked(rig_id: str) -> JobStanding | None:
    return parts().pdfs.look(account_needed().id, rig_id)


def _has_failed(found: JobStanding | None) -> bool:
    return found is not None and found.job.state is JobState.FAILED


def _to_its_page(rig_id: str) -> ResponseReturnValue:
    return redirect(url_for("record.pdf_job", rig_id=rig_id), 303)


def _told(rig_id: str, name: str, found: JobStanding | None) -> ResponseReturnValue:
    lines = () if found is None else progress_lines(found, parts().now(), parts().pdfs.limits)
    page = render_template(
        "record/job.html", rig_id=rig_id, name=name, found=found, lines=lines, papers=PAPERS, form=PdfForm()
    )
    return page, 503 if _has_failed(found) else 200


def _made(rig_id: str, name: str) -> ResponseReturnValue:
    drawn = parts().pdfs.fetch(account_needed().id, rig_id)
    if drawn is None:
        return _to_its_page(rig_id)
    return file_answer(drawn, f"service-record-{name}", "pdf", shown="inline")


def _contents(rig: Rig, *, has_pictures: bool) -> Contents:
    account, address = account_needed(), _address(rig.id)
    there = time_there(account.id)
    with parts().store.reading() as tx:
        assert_log_holds(tx, account.id, rig.id)
        restores = restores_noted(tx, account.id, rig.id)
        origins = told_origins(tx, account.id, rig.id, there.tzinfo)
    sources = None
    if has_pictures:
        sources = sources_on_screen(parts().store, parts().blobs, account.id, hashes_shown(rig))
    return contents(
        rig,
        parts().rulebook,
        made_at=there,
        address=address,
        restores=restores,
        origins=origins,
        sources=sources,
    )


def _address(rig_id: str) -> str:
    """Give what the code on the record leads to; where none can be kept now, the record's own page."""
    sharing = Sharing(
        store=parts().store,
        secret=str(current_app.secret_key),
        new_id=parts().new_id,
        now=parts().now(),
    )
    try:
        return address_of(request.host_url, sharing.on_paper(account_needed().id, rig_id))
    except StoreUnavailable:
        return url_for("record.record", rig_id=rig_id, _external=True)
