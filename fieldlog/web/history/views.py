"""What has been noted so far, one record with its corrections, and making a correction."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import groupby

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput, FieldlogError, NotFound
from fieldlog.kinds import kind_of, parts_of_record
from fieldlog.kinds.kind import Glossary
from fieldlog.kinds.plug_in import plug_in_lines
from fieldlog.model.problem import Problem
from fieldlog.model.record import Record, StoredRecord
from fieldlog.model.rig import Chain
from fieldlog.reports.restores import restore_lines
from fieldlog.store.chains import current_records
from fieldlog.store.photos import photos_of_entry
from fieldlog.store.records import chain_of_corrections, record_with_id
from fieldlog.store.restore import restores_noted
from fieldlog.sync.judging import judge
from fieldlog.web.history.corrections import correction_of
from fieldlog.web.history.forms import CorrectionForm, correction_form
from fieldlog.web.history.listing import SHOWN, guard_of, listed, plug_ins_after
from fieldlog.web.layout.judgement import words_at
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.results import NO_RIG, known_for, result_of
from fieldlog.web.security import account_needed
from fieldlog.words import wording

PAGE = 50
MOST_SETTLED = 10  # as many as a record may name

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
        shown = listed(tx, account.id, found[:PAGE], parts().rulebook_or_damage)
        restores = restore_lines(restores_noted(tx, account.id, account.id))
    older = found[PAGE - 1].seq if len(found) > PAGE else None
    return render_template(
        "history/history.html",
        days=[
            (day, list(of_day))
            for day, of_day in groupby(shown, lambda each: each.entry.record.observed.date())
        ],
        older=older,
        restores=restores,
        plug_in_lines=plug_in_lines,
    )


@blueprint.get("/history/<record_id>")
def entry(record_id: str) -> ResponseReturnValue:
    """Show one record, judged again now, with all that corrects it."""
    stored, chain = _chain_needed(record_id)
    record, account = stored.record, account_needed()
    judged = judge(record, parts().rulebook_or_damage) if record.is_check else None
    with parts().store.reading() as tx:
        known = known_for(tx, account.id, record)
        checks = [stored.root] if record.kind == "arrival-check" else []
        after = plug_ins_after(tx, account.id, checks).get(stored.root, ())
        photos = photos_of_entry(tx, account.id, stored)
        guarded = guard_of(tx, account.id, stored)
    return render_template(
        "history/entry.html",
        entry=stored,
        about=known.names.get(record.subject or ""),
        result=result_of(record, parts().rulebook_or_damage, known),
        chain=_with_results(chain.versions, known),
        counts=chain.entry,
        apart=_with_results(chain.leaves, known) if chain.beside else [],
        judged=judged,
        noted=parts_of_record(record, known),
        after=[(version.record, plug_in_lines(version.record.body)) for version in after],
        photos=photos,
        guarded=guarded,
        wording=wording,
        words=_words(record),
    )


@blueprint.get("/history/<record_id>/corrections/new")
def new_correction(record_id: str) -> ResponseReturnValue:
    """Show the form for a correction, filled with what the record says."""
    stored, chain = _chain_needed(record_id)
    if stored != chain.entry:
        return redirect(url_for("history.new_correction", record_id=chain.entry.record.id), 303)
    if page := kind_of(stored.record.kind).corrected_at:
        return redirect(url_for(page, rig_id=stored.record.rig), 303)
    form = correction_form(stored.record, parts().new_id())
    return _correction_page(stored, chain, form)


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
    return _correction_page(stored, chain, form), 400


def _correction_page(stored: StoredRecord, chain: Chain, form: CorrectionForm) -> str:
    beside = _with_results(chain.beside)
    return render_template("history/new_correction.html", entry=stored, form=form, beside=beside)


def _keep(form: CorrectionForm, stored: StoredRecord, chain: Chain) -> str:
    """Hand the correction in, once however often the form is sent, and give its id."""
    account = account_needed()
    if any(form.id.data == sent.record.id for sent in chain.versions):
        return str(form.id.data)
    if stored != chain.entry:
        raise BadInput(
            [Problem("/reason", "The record was corrected meanwhile. Open it again and correct the newest.")]
        )
    made = correction_of(stored.record, form, made_by=account.name, rulebook=parts().rulebook_or_damage)
    settled = replace(made, also_corrects=_beside(chain))
    receipt = parts().inbox(account).receive([settled.as_json()], parts().now())[0]
    if receipt.status == "refused":
        raise BadInput(receipt.problems)
    return made.id


def _beside(chain: Chain) -> list[str] | None:
    """Give the corrections that stand beside the one that counts; whoever corrects that one has seen them."""
    return [leaf.record.id for leaf in chain.beside[:MOST_SETTLED]] or None


def _with_results(
    entries: Sequence[StoredRecord], known: Glossary = NO_RIG
) -> list[tuple[StoredRecord, str]]:
    return [(entry, result_of(entry.record, parts().rulebook_or_damage, known)) for entry in entries]


def _chain_needed(record_id: str) -> tuple[StoredRecord, Chain]:
    account = account_needed()
    with parts().store.reading() as tx:
        stored = record_with_id(tx, account.id, record_id)
        chain = None if stored is None else chain_of_corrections(tx, account.id, stored.root)
    if stored is None or chain is None:
        raise NotFound("record")
    return stored, chain


def _words(record: Record) -> object:
    """Give the rulebook's words for a check, or nothing: then the page shows the record and no verdict."""
    found = parts().rulebook_or_damage
    if isinstance(found, FieldlogError) or not record.is_check:
        return None
    return words_at(record.body["check"]["outlet"], found)


def _is_number(text: str) -> bool:
    return text.isascii() and text.isdecimal() and len(text) <= 15
