"""What has been noted so far, one record with its corrections, and making a correction."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput, NotFound
from fieldlog.model.problem import Problem
from fieldlog.model.record import StoredRecord
from fieldlog.store.records import chain_of_corrections, current_records, record_with_id
from fieldlog.sync.judging import judge
from fieldlog.web.history.corrections import correction_of
from fieldlog.web.history.forms import CorrectionForm, correction_form
from fieldlog.web.history.readings import in_order
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed

PAGE = 50
SHOWN = ("arrival-check", "outlet-test", "plug-in", "trip-test")

blueprint = Blueprint("history", __name__, template_folder="templates")


@blueprint.get("/history")
def history() -> ResponseReturnValue:
    """Show what was noted, newest first."""
    account = account_needed()
    before = request.args.get("before", "")
    with parts().store.reading() as tx:
        found = current_records(
            tx, account.id, kinds=SHOWN, before=int(before) if _is_number(before) else None, limit=PAGE + 1
        )
    older = found[PAGE - 1].seq if len(found) > PAGE else None
    return render_template("history/history.html", entries=found[:PAGE], older=older, words=_words())


@blueprint.get("/history/<record_id>")
def entry(record_id: str) -> ResponseReturnValue:
    """Show one record, judged again now, with all that corrects it."""
    stored, chain = _chain_needed(record_id)
    judged = judge(stored.record, parts().found) if stored.record.is_check else None
    noted = in_order(stored.record.body)
    return render_template(
        "history/entry.html", entry=stored, chain=chain, judged=judged, noted=noted, words=_words()
    )


@blueprint.get("/history/<record_id>/corrections/new")
def new_correction(record_id: str) -> ResponseReturnValue:
    """Show the form for a correction, filled with what the record says."""
    stored, chain = _chain_needed(record_id)
    if stored != chain[-1]:
        return redirect(url_for("history.new_correction", record_id=chain[-1].record.id), 303)
    form = correction_form(stored.record, parts().new_id())
    return render_template("history/new_correction.html", entry=stored, form=form)


@blueprint.post("/history/<record_id>/corrections/new")
def receive_correction(record_id: str) -> ResponseReturnValue:
    """Keep a correction; the record that it corrects stays as it is."""
    stored, chain = _chain_needed(record_id)
    form = correction_form(stored.record)
    if form.validate_on_submit():
        try:
            return redirect(url_for("history.entry", record_id=_keep(form, stored, chain)), 303)
        except BadInput as error:
            form.show(error.problems)
    return render_template("history/new_correction.html", entry=stored, form=form), 400


def _keep(form: CorrectionForm, stored: StoredRecord, chain: list[StoredRecord]) -> str:
    """Hand the correction in, once however often the form is sent, and give its id."""
    account = account_needed()
    if any(form.id.data == sent.record.id for sent in chain):
        return str(form.id.data)
    if stored != chain[-1]:
        raise BadInput(
            [Problem("/reason", "The record was corrected meanwhile. Open it again and correct the newest.")]
        )
    made = correction_of(stored.record, form, made_by=account.name, rulebook=parts().found)
    receipt = parts().inbox(account).receive([made.as_json()], parts().now())[0]
    if receipt.status == "refused":
        raise BadInput(receipt.problems)
    return made.id


def _chain_needed(record_id: str) -> tuple[StoredRecord, list[StoredRecord]]:
    account = account_needed()
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account.id, record_id)
        chain = [] if stored is None else chain_of_corrections(tx, account.id, stored.root)
    if stored is None:
        raise NotFound("record")
    return stored, chain


def _words() -> object:
    """Give the rulebook's words, or nothing: then pages show records and no verdict."""
    return getattr(parts().found, "raw", {}).get("words")


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 15
