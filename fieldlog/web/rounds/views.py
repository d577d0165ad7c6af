"""The round of a rig, and the form of a trip test for browsers without script."""

from flask import Blueprint, Response, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.model.rig import Device, Rig
from fieldlog.reports.age import self_test_sentence
from fieldlog.reports.due import due_devices
from fieldlog.reports.overview import contradictions
from fieldlog.reports.trips import left_out, trip_result
from fieldlog.tables import entries
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import device_needed, keep, record_of, rig_needed
from fieldlog.web.layout.shell import field_page
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.rounds.forms import TripTestForm, form_for
from fieldlog.web.security import account_needed

blueprint = Blueprint("rounds", __name__, template_folder="templates")
KEPT = {"^/round$": "/round"}


@blueprint.get("/round")
def go_round() -> Response:
    """Show the month's work; script fills it by what is on the phone."""
    return field_page("rounds/round.html")


@blueprint.get("/rigs/<rig_id>/devices/<device_id>/trip-tests/new")
def new_trip_test(rig_id: str, device_id: str) -> ResponseReturnValue:
    """Show the form of a trip test."""
    rig = rig_needed(rig_id)
    device = device_needed(rig, device_id)
    return _page(rig, device, form_for(rig, device.id)(formdata=None, id=parts().new_id()))


@blueprint.post("/rigs/<rig_id>/devices/<device_id>/trip-tests/new")
def receive_trip_test(rig_id: str, device_id: str) -> ResponseReturnValue:
    """Keep a trip test and show what it says."""
    rig = rig_needed(rig_id)
    device = device_needed(rig, device_id)
    form = form_for(rig, device.id)()
    if form.validate_on_submit():
        record = record_of(form, "trip-test", rig=rig.id, subject=device.id)
        if keep(form, record):
            address = url_for("rounds.trip_test", rig_id=rig.id, device_id=device.id, trip_id=record.id)
            return redirect(address, 303)
    return _page(rig, device, form), 400


@blueprint.get("/rigs/<rig_id>/devices/<device_id>/trip-tests/<trip_id>")
def trip_test(rig_id: str, device_id: str, trip_id: str) -> ResponseReturnValue:
    """Show the result of a trip test, and when the next one is due."""
    rig = rig_needed(rig_id)
    device = device_needed(rig, device_id)
    trip = next((trip for trip in device.trips if trip.id == trip_id), None)
    if trip is None:
        raise NotFound("trip test")
    return render_template(
        "rounds/trip_test.html",
        rig=rig,
        device=device,
        trip=trip,
        result=trip_result(trip.body, parts().rulebook),
        not_tested=left_out(rig, trip.body),
        dead=[outlet.name for outlet in rig.outlets if outlet.id in trip.body["dead"]],
        live=[outlet.name for outlet in rig.outlets if outlet.id in trip.body["live"]],
        # Whoever read the face has done what the sentence asks.
        age="" if trip.body["face_dead"] else self_test_sentence(device.chain.body),
        contradictions=[sentence for shown, sentence in contradictions(rig) if shown.id == trip.id],
        due=due_devices(rig, entries("facts/due.json"), time_there(account_needed().id).date()).get(
            device.id
        ),
    )


def _page(rig: Rig, device: Device, form: TripTestForm) -> str:
    age = self_test_sentence(device.chain.body)
    return render_template("rounds/new_trip_test.html", rig=rig, device=device, form=form, age=age)
