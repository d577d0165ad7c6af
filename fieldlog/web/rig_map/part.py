"""One part of the map: a new one, another word about it, its removal."""

from flask import redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.model.part_kinds import TWO_SIDED
from fieldlog.model.rig import Rig
from fieldlog.reports.map_words import part_guard_words
from fieldlog.reports.rig_map import drawn
from fieldlog.tables import load
from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.desk import Desk, desk_of, keep_map, opened
from fieldlog.web.rig_map.edits import (
    Member,
    fed_by,
    feeds_of,
    has_sides,
    with_feed,
    with_part,
    with_part_as,
    without_part,
)
from fieldlog.web.rig_map.forms import (
    ChangedPartForm,
    FirstForm,
    NewPartForm,
    RemovalForm,
    kinds_of_listed,
    listed,
    possible_feeds,
)
from fieldlog.web.rig_map.things import MOST_NEW, as_things, records_of_new, renamed
from fieldlog.words.kinds import PARTS
from fieldlog.words.map_parts import name_of, part_words, run_words, wire_words


@blueprint.get("/rigs/<rig_id>/map/parts/new")
def new_part(rig_id: str) -> ResponseReturnValue:
    """Ask what a new part is, then all about it."""
    desk = desk_of(rig_id)
    first = FirstForm(formdata=request.args)
    first.offer(desk)
    if "kind" not in request.args or not first.validate() or not _is_of_that_kind(desk, first):
        return render_template("rig_map/first_questions.html", rig=desk.rig, form=first)
    form = NewPartForm(formdata=None, kind=first.kind.data, known=first.known.data, start=first.start.data)
    _name_as_listed(form, desk.rig)
    form.ask(str(form.kind.data), desk.body)
    return _new_page(desk, opened(form, desk, MOST_NEW))


@blueprint.post("/rigs/<rig_id>/map/parts/new")
def receive_part(rig_id: str) -> ResponseReturnValue:
    """Keep a new part, with the outlet and the device that it is."""
    form = NewPartForm()
    desk = desk_of(rig_id, form)
    form.ask(str(form.kind.data), desk.body)
    if form.validate_on_submit() and form.agrees_with(desk.body) and len(form.new_ids) >= MOST_NEW:
        part = _part_of_form(form, desk)
        body = with_part(desk.body, part, form.feed(desk.body, part["id"]))
        others = records_of_new(desk.rig, body)
        if keep_map(form, desk, body, f"“{part['name']}” was added.", others):
            return redirect(_kept(rig_id, part["id"]), 303)
    return _new_page(desk, form), form.status


@blueprint.get("/rigs/<rig_id>/map/parts/<part_id>")
def part(rig_id: str, part_id: str) -> ResponseReturnValue:
    """Show a part with what is noted of it, ready to be changed."""
    desk = desk_of(rig_id)
    found = desk.part(part_id)
    form = _form_for(desk, part_id, ChangedPartForm(formdata=None))
    feeds = feeds_of(desk.body, part_id)
    run = desk.body["runs"][feeds[0]] if len(feeds) == 1 else None
    form.show(found, run, run is not None and has_sides(desk.body, run["from"]))
    return _part_page(desk, found, opened(form, desk, MOST_NEW))


@blueprint.post("/rigs/<rig_id>/map/parts/<part_id>")
def change_part(rig_id: str, part_id: str) -> ResponseReturnValue:
    """Keep another word about a part."""
    form = ChangedPartForm()
    desk = desk_of(rig_id, form)
    found = desk.part(part_id)
    _form_for(desk, part_id, form)
    if form.validate_on_submit() and ("start" not in form or form.agrees_with(desk.body, part_id)):
        body = with_part_as(desk.body, form.part(found))
        if "start" in form:
            body = with_feed(body, part_id, form.feed(body, part_id))
        why = str(form.reason.data) if "reason" in form else ""
        others = renamed(desk.rig, desk.body, body, form.new_ids, why)
        if keep_map(form, desk, body, why, others):
            return redirect(_kept(rig_id, part_id), 303)
    return _part_page(desk, found, form), form.status


@blueprint.get("/rigs/<rig_id>/map/parts/<part_id>/removal")
def new_removal(rig_id: str, part_id: str) -> ResponseReturnValue:
    """Say what hangs on a part, and ask what becomes of it."""
    desk = desk_of(rig_id)
    found = desk.part(part_id)
    form = _ask_of_removal(RemovalForm(formdata=None), desk, part_id)
    return _removal_page(desk, found, opened(form, desk))


@blueprint.post("/rigs/<rig_id>/map/parts/<part_id>/removal")
def remove_part(rig_id: str, part_id: str) -> ResponseReturnValue:
    """Take a part off the map; its outlet and its device keep their records and their tests."""
    form = RemovalForm()
    desk = desk_of(rig_id, form)
    found = desk.part(part_id)
    _ask_of_removal(form, desk, part_id)
    if form.validate_on_submit() and _can_go(form, desk, part_id):
        why = str(form.reason.data) if "reason" in form else ""
        if keep_map(form, desk, without_part(desk.body, part_id), why):
            return redirect(url_for("rig_map.table", rig_id=rig_id), 303)
    return _removal_page(desk, found, form), form.status


def _kept(rig_id: str, part_id: str) -> str:
    """Give the address of a part's page that says that a change was kept."""
    return url_for("rig_map.part", rig_id=rig_id, part_id=part_id, kept="yes")


def _is_of_that_kind(desk: Desk, first: FirstForm) -> bool:
    """Hold what it is said to be against the list, where it stands there already."""
    known = first.known.data
    if known and known not in listed(desk):
        first.known.errors = ["That is on the map already, or not on the list; choose another."]
    elif known and first.kind.data not in kinds_of_listed(desk.rig, known):
        first.kind.errors = [
            "On the list it is something else; choose what the list says, or “no, it is new”."
        ]
    if first.start.data not in possible_feeds(desk.body):
        first.start.errors = ["That part is not on the map; choose another."]
    return not (first.known.errors or first.kind.errors or first.start.errors)


def _name_as_listed(form: NewPartForm, rig: Rig) -> None:
    known = str(form.known.data or "")
    thing = rig.outlet(known) or rig.device(known)
    if thing is not None:
        form.name.data = thing.name[:60]
    outlet = rig.outlet(known)
    if outlet is not None:
        form.outlet_type.data = outlet.chain.body["outlet"]


def _part_of_form(form: NewPartForm, desk: Desk) -> Member:
    """Give the new part: it has the id of its device or its outlet, else one of its own."""
    known, kind = str(form.known.data or ""), str(form.kind.data)
    part = form.part({"kind": kind})
    if kind in kinds_of_listed(desk.rig, known):
        if desk.rig.outlet(known):
            part["outlet"] = known
        elif desk.rig.device(known):
            part |= {"device": known, "gfci": True} if kind == "breaker" else {"device": known}
    part = as_things(part, form.new_ids)
    identity = part.get("device") or part.get("outlet") or str(form.id.data).replace("-", "")
    return {**part, "id": identity}


def _form_for(desk: Desk, part_id: str, form: ChangedPartForm) -> ChangedPartForm:
    form.ask(desk.part(part_id)["kind"], desk.body, part_id)
    if not desk.is_drawn:
        del form.reason
    return form


def _ask_of_removal(form: RemovalForm, desk: Desk, part_id: str) -> RemovalForm:
    if not fed_by(desk.body, part_id) or not feeds_of(desk.body, part_id):
        del form.children
    if not desk.is_drawn:
        del form.reason
    return form


def _can_go(form: RemovalForm, desk: Desk, part_id: str) -> bool:
    """Refuse where what hangs on the part would be left hanging, or the map left empty."""
    hangs, feeds = fed_by(desk.body, part_id), feeds_of(desk.body, part_id)
    if hangs and len(feeds) != 1:
        form.id.errors = ["First feed what hangs on it from elsewhere, one by one; then take it out."]
    elif len(desk.body["parts"]) == 1:
        form.id.errors = ["It is the only part of the map; note another one first."]
    return not form.id.errors


def _new_page(desk: Desk, form: NewPartForm) -> str:
    sided = name_of(desk.body, str(form.start.data)) if has_sides(desk.body, form.start.data) else ""
    return render_template("rig_map/new_part.html", rig=desk.rig, form=form, sided=sided, kinds=PARTS)


def _part_page(desk: Desk, found: Member, form: ChangedPartForm) -> str:
    start = form.start.data if "start" in form else None
    return render_template(
        "rig_map/part.html",
        rig=desk.rig,
        part=found,
        words=part_words(found),
        form=form,
        sided=name_of(desk.body, str(start)) if has_sides(desk.body, start) else "",
        feeds=[_run_line(desk, at) for at in feeds_of(desk.body, found["id"])],
        hangs=[_child_line(desk, at) for at in fed_by(desk.body, found["id"])],
        is_kept=not form.errors and "kept" in request.args,
        is_guard=found["kind"] in TWO_SIDED or bool(found.get("gfci")),
        guard=_guard(desk, found["id"]),
    )


def _guard(desk: Desk, part_id: str) -> str:
    """Say what guards a part by the map as it is kept and by its trip tests; "" where that is not known."""
    try:
        return part_guard_words(drawn(desk.rig, load()), part_id)
    except BadInput:
        return ""


def _removal_page(desk: Desk, found: Member, form: RemovalForm) -> str:
    feeds = feeds_of(desk.body, found["id"])
    return render_template(
        "rig_map/removal.html",
        rig=desk.rig,
        part=found,
        form=form,
        hangs=[_child_line(desk, at) for at in fed_by(desk.body, found["id"])],
        feed=name_of(desk.body, desk.body["runs"][feeds[0]]["from"]) if len(feeds) == 1 else "",
    )


def _run_line(desk: Desk, at: int) -> str:
    run = desk.body["runs"][at]
    return f"{run_words(desk.body, run)}, {wire_words(run)}"


def _child_line(desk: Desk, at: int) -> tuple[str, str]:
    run = desk.body["runs"][at]
    side = f", from its {run.get('from_side') or 'line'} side" if has_sides(desk.body, run["from"]) else ""
    return run["to"], f"{name_of(desk.body, run['to'])}{side}, {wire_words(run)}"
