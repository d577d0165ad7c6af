"""Rigs with their outlets and ground-fault devices."""

from datetime import date
from typing import Final

from flask import Blueprint, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.model.rig import Rig
from fieldlog.reports.again import worse_pedestal
from fieldlog.reports.open_points import worse_points
from fieldlog.reports.overview import Overview, overview
from fieldlog.reports.plans import kept_plans
from fieldlog.store.chains import newest_of
from fieldlog.store.rigs import rig_as_built, rigs_of_account
from fieldlog.web.layout.over_time import drifts_of
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import keep, outlet_needed, record_of, rig_needed
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.rig.forms import DeviceForm, GuardForm, OutletForm, RigForm
from fieldlog.web.rig.health import page_of
from fieldlog.web.security import account_needed
from fieldlog.words import wording

MOST_PLANS: Final = 6
"""On a rig's page; all of them stand in the service record."""
COUNTED: Final = ("overdue", "never tested", "not tested", "flagged", "cord set")
"""Kinds of open points that the list of rigs counts and does not name."""

blueprint = Blueprint("rig", __name__, template_folder="templates")


@blueprint.get("/rigs")
def rigs() -> ResponseReturnValue:
    """Show the account's rigs."""
    account = account_needed()
    with parts().store.reading() as tx:
        found = rigs_of_account(tx, account.id)
    today = time_there(account.id).date()
    told = [(rig, _told(rig, today)) for rig in found]
    return render_template("rig/rigs.html", rigs=told, counted=COUNTED)


def _told(rig: Rig, today: date) -> Overview | str:
    """Give how a rig stands, or what is wrong with it: one that cannot be told takes no other away."""
    try:
        return overview(rig, parts().rulebook, today, has_proofs=False)
    except BadInput as bad:
        return " ".join(problem.problem for problem in bad.problems)


@blueprint.get("/rigs/new")
def new_rig() -> ResponseReturnValue:
    """Show the form for a rig."""
    account_needed()
    return render_template("rig/new_rig.html", form=RigForm(formdata=None, id=parts().new_id()))


@blueprint.post("/rigs/new")
def receive_rig() -> ResponseReturnValue:
    """Keep a new rig."""
    account_needed()
    form = RigForm()
    if form.validate_on_submit():
        record = record_of(form, "rig")
        if keep(form, record):
            return redirect(url_for("rig.rig", rig_id=record.id), 303)
    return render_template("rig/new_rig.html", form=form), 400


@blueprint.get("/rigs/<rig_id>")
def rig(rig_id: str) -> ResponseReturnValue:
    """Show a rig: what is due and open, and of each thing how it is known and what clears what is open."""
    found, account = rig_needed(rig_id), account_needed()
    told = overview(found, parts().rulebook, time_there(account.id).date(), has_proofs=False)
    with parts().store.reading() as tx:
        drifts = drifts_of(tx, account.id, found, parts().rulebook)
        last = newest_of(tx, account.id, "arrival-check", None, 1)
        plans = kept_plans(newest_of(tx, account.id, "plan", None, MOST_PLANS, rig_id))
    worse = [each for entry in last for each in worse_pedestal(entry.record, parts().rulebook)]
    page = page_of(found, told, drifts, worse_points(worse))
    return render_template("rig/rig.html", rig=found, page=page, plans=plans, wording=wording)


@blueprint.get("/rigs/<rig_id>/outlets/new")
def new_outlet(rig_id: str) -> ResponseReturnValue:
    """Show the form for an outlet of the rig."""
    found = rig_needed(rig_id, rig_as_built)
    form = OutletForm(formdata=None, id=parts().new_id())
    form.offer(found.devices)
    return render_template("rig/new_outlet.html", rig=found, form=form)


@blueprint.post("/rigs/<rig_id>/outlets/new")
def receive_outlet(rig_id: str) -> ResponseReturnValue:
    """Keep a new outlet of the rig."""
    found = rig_needed(rig_id, rig_as_built)
    form = OutletForm()
    form.offer(found.devices)
    if form.validate_on_submit() and keep(form, record_of(form, "outlet", rig=found.id)):
        return redirect(url_for("rig.rig", rig_id=found.id), 303)
    return render_template("rig/new_outlet.html", rig=found, form=form), 400


@blueprint.get("/rigs/<rig_id>/devices/new")
def new_device(rig_id: str) -> ResponseReturnValue:
    """Show the form for a ground-fault device of the rig."""
    found = rig_needed(rig_id, rig_as_built)
    form = DeviceForm(formdata=None, id=parts().new_id())
    return render_template("rig/new_device.html", rig=found, form=form)


@blueprint.post("/rigs/<rig_id>/devices/new")
def receive_device(rig_id: str) -> ResponseReturnValue:
    """Keep a new ground-fault device of the rig."""
    found = rig_needed(rig_id, rig_as_built)
    form = DeviceForm()
    if form.validate_on_submit() and keep(form, record_of(form, "device", rig=found.id)):
        return redirect(url_for("rig.rig", rig_id=found.id), 303)
    return render_template("rig/new_device.html", rig=found, form=form), 400


@blueprint.get("/rigs/<rig_id>/outlets/<outlet_id>/guards/new")
def new_guard(rig_id: str, outlet_id: str) -> ResponseReturnValue:
    """Show the form that corrects the noted guard of an outlet."""
    found = rig_needed(rig_id, rig_as_built)
    outlet = outlet_needed(found, outlet_id)
    form = GuardForm(formdata=None, id=parts().new_id(), guard=outlet.guard or "")
    form.offer(found.devices)
    return render_template("rig/new_guard.html", rig=found, outlet=outlet, form=form)


@blueprint.post("/rigs/<rig_id>/outlets/<outlet_id>/guards/new")
def receive_guard(rig_id: str, outlet_id: str) -> ResponseReturnValue:
    """Keep a correction of an outlet's noted guard; the earlier note stays in the log."""
    found = rig_needed(rig_id, rig_as_built)
    outlet = outlet_needed(found, outlet_id)
    form = GuardForm()
    form.offer(found.devices)
    form.noted = outlet.chain.body
    correcting = {"corrects": outlet.chain.entry.record.id, "reason": form.reason.data}
    if form.validate_on_submit() and keep(form, record_of(form, "outlet", rig=found.id, **correcting)):
        return redirect(url_for("rig.rig", rig_id=found.id), 303)
    return render_template("rig/new_guard.html", rig=found, outlet=outlet, form=form), 400
