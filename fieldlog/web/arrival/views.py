"""The arrival check, the past checks, and one check's page."""

from collections.abc import Mapping
from typing import Any
from uuid import UUID

from flask import Blueprint, Response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound, RulebookDamaged
from fieldlog.store.records import record_with_id
from fieldlog.sync.judging import Assessment, judge
from fieldlog.web.arrival.forms import CATEGORIES, PlainArrivalForm, PlainForm
from fieldlog.web.arrival.plain import handed_in, judged_record, not_handed_in
from fieldlog.web.layout.judgement import words_at
from fieldlog.web.layout.looks import look_labels
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.shell import field_page
from fieldlog.web.security import account_needed, signed_in

blueprint = Blueprint("arrival", __name__, template_folder="templates")
KEPT = {"^/$": "/", "^/arrive$": "/arrive"}


@blueprint.get("/")
def index() -> Response:
    """Show the past checks and what is due."""
    return field_page("arrival/index.html")


@blueprint.get("/arrive")
def arrive() -> Response:
    """Show the arrival check."""
    return field_page("arrival/arrive.html")


@blueprint.get("/checks/<uuid:check>")
def check(check: UUID) -> Response:
    """Show the page of one check; script fills it by the id in its address."""
    return field_page("arrival/check.html")


@blueprint.get("/arrive/plain")
def plain() -> ResponseReturnValue:
    """Show the whole check as one form."""
    return _form_page(PlainArrivalForm(formdata=None, data={"id": parts().new_id()}))


@blueprint.post("/arrive/plain")
def receive_plain() -> ResponseReturnValue:
    """Judge the form; signed in, keep it as well."""
    form = PlainArrivalForm()
    if not form.validate_on_submit():
        return _form_page(form), 400
    account = signed_in()
    record, judged = judged_record(form, account)
    keeper = account if judged.answer else None
    problems = handed_in(record, keeper) if keeper else not_handed_in(record)
    if problems:
        form.show(problems)
        return _form_page(form), 400
    if keeper is None:
        return _form_page(form, judged, record.body)
    return redirect(url_for("arrival.plain_verdict", check=record.id), 303)


@blueprint.get("/arrive/plain/<uuid:check>")
def plain_verdict(check: UUID) -> ResponseReturnValue:
    """Show the verdict on a check that was kept."""
    account = account_needed()
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account.id, str(check))
    if stored is None or stored.record.kind != "arrival-check":
        raise NotFound("check")
    judged = judge(stored.record, parts().rulebook_or_damage)
    return render_template(
        "arrival/plain_verdict.html",
        record=stored.record,
        judged=judged,
        words=_words(str(stored.record.body["check"]["outlet"])),
        look=look_labels(),
    )


def _form_page(
    form: PlainForm, judged: Assessment | None = None, body: Mapping[str, Any] | None = None
) -> str:
    return render_template(
        "arrival/plain.html",
        form=form,
        judged=judged,
        body=body,
        words=_words(form.outlet.data or ""),
        look=look_labels(),
        outlets=_outlets(),
        categories=[("", "None, or not known"), *((each, each) for each in CATEGORIES)],
        account=signed_in(),
    )


def _outlets() -> list[str]:
    """Give the outlets that are judged."""
    found = parts().rulebook_or_damage
    return [] if isinstance(found, RulebookDamaged) else list(found.raw["outlets"])


def _words(outlet: str) -> dict[str, object] | None:
    """Give the words as they hold for an outlet; before one is chosen, the general ones."""
    found = parts().rulebook_or_damage
    if isinstance(found, RulebookDamaged):
        return None
    return words_at(outlet, found) if outlet in found.raw["outlets"] else found.raw["words"]
