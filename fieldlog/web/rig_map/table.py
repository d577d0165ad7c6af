"""The whole map as a table of parts and runs."""

from typing import Any

from flask import redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.model.part_kinds import OUTLETS, PLUGS
from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.desk import Desk, current_body, desk_of, keep_map, opened
from fieldlog.web.rig_map.forms import WITHOUT_RATING
from fieldlog.web.rig_map.rows import TableForm, labels_of
from fieldlog.web.rig_map.things import MOST_NEW, renamed
from fieldlog.words.map_parts import part_words


@blueprint.get("/rigs/<rig_id>/map/table")
def table(rig_id: str) -> ResponseReturnValue:
    """Show the map as a table."""
    desk = desk_of(rig_id)
    form = TableForm(formdata=None)
    form.show(desk.body)
    return _page(desk, opened(form, desk, MOST_NEW * len(desk.body["parts"])))


@blueprint.post("/rigs/<rig_id>/map/table")
def receive_table(rig_id: str) -> ResponseReturnValue:
    """Keep the map as the table says."""
    form = TableForm()
    desk = desk_of(rig_id, form)
    if not desk.is_drawn:
        del form.reason
    if form.validate_on_submit() and form.names_parts(desk.body):
        why, body = str(form.reason.data) if "reason" in form else "", form.changed(desk.body)
        others = renamed(desk.rig, desk.body, body, form.new_ids, why)
        if keep_map(form, desk, body, why, others):
            return redirect(url_for("rig_map.table", rig_id=rig_id, kept="yes"), 303)
    if form.is_stale:
        form.rebase(desk.body, current_body(desk.rig))
    return _page(desk, form), form.status


def _page(desk: Desk, form: Any) -> str:
    if not desk.is_drawn and "reason" in form:
        del form.reason
    form.offer(desk.body)
    return render_template(
        "rig_map/table.html",
        rig=desk.rig,
        form=form,
        is_drawn=desk.is_drawn,
        is_kept=not form.errors and "kept" in request.args,
        labels=labels_of(desk.body).values(),
        parts={part["id"]: part for part in desk.body["parts"]},
        part_words=part_words,
        with_face=PLUGS,
        with_place=OUTLETS,
        without_rating=WITHOUT_RATING,
    )
