"""Taking in readings that were kept elsewhere: the table, its columns, a trial, the lines to keep."""

from flask import Blueprint, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.sync.table import COLUMNS, Table, TableLine, read_table, tried
from fieldlog.web.importing.forms import MeaningForm, TableForm, column_choices, columns_said
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed

BATCH = 100

blueprint = Blueprint("importing", __name__, template_folder="templates")


@blueprint.get("/import")
def table() -> ResponseReturnValue:
    """Ask for a table."""
    account_needed()
    return render_template("importing/table.html", form=TableForm(formdata=None), problem="")


@blueprint.post("/import/columns")
def columns() -> ResponseReturnValue:
    """Ask what the columns of a table hold; nothing is kept."""
    account_needed()
    form = TableForm()
    if not form.validate_on_submit():
        return render_template("importing/table.html", form=form, problem="Send it once more."), 400
    text = form.given
    try:
        read = read_table(text)
    except BadInput as bad:
        form.text.data = text
        return render_template("importing/table.html", form=form, problem=bad.problems[0].problem), 400
    return _columns_page(MeaningForm(formdata=None, text=text), read)


@blueprint.post("/import/trial")
def trial() -> ResponseReturnValue:
    """Try every row and say what is wrong with which; nothing is kept."""
    account_needed()
    form = MeaningForm()
    read = read_table(form.text.data or "")
    if not form.validate_on_submit():
        return _columns_page(form, read), 400
    return _trial_page(form, read, _tried(form, read))


@blueprint.post("/import")
def receive() -> ResponseReturnValue:
    """Keep the chosen lines that are right; a line that is in the log already adds nothing."""
    account = account_needed()
    form = MeaningForm()
    read = read_table(form.text.data or "")
    if not form.validate_on_submit():
        return _columns_page(form, read), 400
    found = _tried(form, read)
    chosen = [each for each in found if each.record is not None and each.line in (form.lines.data or ())]
    sent = [each.record.as_json() for each in chosen if each.record is not None]
    inbox = parts().inbox(account)
    receipts = [
        receipt
        for at in range(0, len(sent), BATCH)
        for receipt in inbox.receive(sent[at : at + BATCH], parts().now())
    ]
    became = [(each.line, receipt) for each, receipt in zip(chosen, receipts, strict=True)]
    return render_template("importing/kept.html", became=became, left_out=len(found) - len(chosen))


def _tried(form: MeaningForm, read: Table) -> list[TableLine]:
    meaning = form.meaning(columns_said(read, request.form))
    name, now = account_needed().name[:80], parts().now()
    return list(tried(read, meaning, name, parts().rulebook, now))


def _columns_page(form: MeaningForm, read: Table) -> str:
    return render_template(
        "importing/columns.html",
        form=form,
        names=COLUMNS,
        later=list(COLUMNS)[list(COLUMNS).index("volts.x-y") :],
        choices=column_choices(read),
        said=columns_said(read, request.form),
        count=len(read.rows),
    )


def _trial_page(form: MeaningForm, read: Table, found: list[TableLine]) -> str:
    said = columns_said(read, request.form)
    return render_template("importing/trial.html", form=form, found=found, said=said)
