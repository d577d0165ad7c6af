"""What the map says: what guards what, what the trips say against it, and what could be done."""

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Any, Final

from flask import redirect, render_template, url_for
from flask.typing import ResponseReturnValue
from wtforms import HiddenField

from fieldlog.engine.protection import accept, is_drawable, places_for_one_more
from fieldlog.model.rig_map import MapEdit
from fieldlog.reports.map_words import (
    Advice,
    advice_words,
    change_words,
    contradiction_words,
    guarded_words,
    is_for_the_map,
    place_words,
    trips_words,
)
from fieldlog.reports.rig_map import DrawnRig, drawn
from fieldlog.tables import load
from fieldlog.web.rig_map.blueprint import blueprint
from fieldlog.web.rig_map.desk import Desk, MapForm, desk_of, is_kept_already, keep_map, map_record, opened
from fieldlog.web.rig_map.edits import Body
from fieldlog.words.map_parts import name_of

NO_LONGER: Final = (
    "That no longer explains the trips: the map or a trip changed since. Look at the offers anew."
)
MOST_PLACES: Final = 3


class ChangeForm(MapForm):
    """One explanation, accepted: its changes, and the trips that it explains."""

    changes = HiddenField()
    trips = HiddenField()


@dataclass(frozen=True)
class Offer:
    """A set of changes that explains all trips, with the form that accepts what the map can take of it."""

    sentences: tuple[str, ...]
    form: ChangeForm | None


@dataclass(frozen=True)
class Mode:
    """What the map says in one mode."""

    name: str
    guards: tuple[tuple[str, str], ...]
    unguarded: tuple[str, ...]
    places: tuple[str, ...]
    stops: tuple[Advice, ...]
    limits: tuple[Advice, ...]
    notes: tuple[Advice, ...]


@blueprint.get("/rigs/<rig_id>/map/advice")
def advice(rig_id: str) -> ResponseReturnValue:
    """Show what the map says."""
    return _page(desk_of(rig_id))


@blueprint.post("/rigs/<rig_id>/map/changes")
def receive_change(rig_id: str) -> ResponseReturnValue:
    """Keep the map as an explanation says that the rig is, with the trips as the reason."""
    form = ChangeForm()
    desk = desk_of(rig_id, form)
    told = drawn(desk.rig, load())
    if form.validate_on_submit() and _keep_change(form, desk, told):
        return redirect(url_for("rig_map.advice", rig_id=rig_id), 303)
    return _page(desk_of(rig_id), form.id.errors or form.errors), form.status


def _keep_change(form: ChangeForm, desk: Desk, told: DrawnRig) -> bool:
    changes = _changes(form.changes.data)
    if changes is None or not is_for_the_map(changes) or not _is_drawable_on(desk.body, changes):
        form.id.errors = [NO_LONGER]
        return False
    body = accept(desk.body, changes)
    why = trips_words(told, told.contradictions)
    if is_kept_already(form, map_record(form, desk, body)):
        return True
    if form.id.errors:
        return False
    if desk.is_current and (changes not in _explained(told) or form.trips.data != _trips(told)):
        form.id.errors = [NO_LONGER]
        return False
    return keep_map(form, desk, body, why, first=form.new_ids[0] if form.new_ids else "")


def _page(desk: Desk, errors: Any = ()) -> str:
    told = drawn(desk.rig, load())
    places = places_for_one_more(told.rig_map)
    return render_template(
        "rig_map/advice.html",
        rig=desk.rig,
        told=told,
        errors=errors,
        contradictions=[contradiction_words(told, one) for one in told.contradictions],
        offers=[_offer(desk, told, changes) for changes in _explained(told)],
        modes=[
            _mode(told, name, [place_words(told.body, each) for each in places[name][:MOST_PLACES]])
            for name in told.protections
        ],
    )


def _mode(told: DrawnRig, name: str, places: Sequence[str]) -> Mode:
    body, one = told.body, told.protections[name]
    said = [advice_words(body, finding, load()) for finding in one.findings if finding.id != "one-more-guard"]
    return Mode(
        name=name,
        guards=tuple(
            (name_of(body, outlet), guarded_words(told.guards_of([outlet], partial(name_of, body))[name]))
            for outlet in dict.fromkeys([*one.protected_by, *one.disproved])
        ),
        unguarded=tuple(name_of(body, outlet) for outlet in one.unguarded),
        places=tuple(places),
        stops=tuple(each for each in said if each.level == "stop"),
        limits=tuple(each for each in said if each.level == "limit"),
        notes=tuple(each for each in said if each.level == "note"),
    )


def _offer(desk: Desk, told: DrawnRig, changes: tuple[MapEdit, ...]) -> Offer:
    sentences = tuple(change_words(told.body, change) for change in changes)
    if not is_for_the_map(changes):
        return Offer(sentences, None)
    form = ChangeForm(formdata=None, trips=_trips(told))
    form.changes.data = json.dumps([change.as_json() for change in changes])
    opened(form, desk, 1)
    return Offer(sentences, form)


def _explained(told: DrawnRig) -> list[tuple[MapEdit, ...]]:
    """Give the sets of changes that explain all trips, each once, whatever the mode."""
    sets = (each.changes for one in told.protections.values() for each in one.explanations)
    return list(dict.fromkeys(sets))


def _trips(told: DrawnRig) -> str:
    """Name the trips that contradict the map by their records."""
    return " ".join(dict.fromkeys(told.trips[one.trip].id for one in told.contradictions))


def _changes(text: str | None) -> tuple[MapEdit, ...] | None:
    """Read a set of changes from a form, None where it is none."""
    try:
        return tuple(_read(json.loads(text or "")))
    except (ValueError, TypeError, KeyError, AttributeError):
        return None


def _read(value: Any) -> Iterator[MapEdit]:
    for each in value:
        yield MapEdit(str(each["change"]), each.get("run"), each.get("part"), each.get("from"))


def _is_drawable_on(body: Body, changes: Sequence[MapEdit]) -> bool:
    """Say whether the runs that are to change are runs of the map."""
    runs = [change.run for change in changes if is_drawable(change)]
    return all(isinstance(run, int) and 0 <= run < len(body["runs"]) for run in runs)
