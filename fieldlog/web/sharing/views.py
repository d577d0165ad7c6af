"""Sharing a rig's record: chosen, seen as the other will see it, given, and ended with one tap."""

from flask import Blueprint, current_app, jsonify, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.model.problem import Problem
from fieldlog.model.share import PAPER, ShareState
from fieldlog.reports.qr import qr_path
from fieldlog.store.shares import openings_of, shares_of
from fieldlog.sync.sharing import Sharing, address_of, shown
from fieldlog.sync.signing_keys import signing_keys
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_name_needed
from fieldlog.web.layout.shared_record import answer, criteria, whose
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.security import account_needed
from fieldlog.web.sharing.forms import EndForm, PreviewForm, ShareForm

blueprint = Blueprint("sharing", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/shares")
def shares(rig_id: str) -> ResponseReturnValue:
    """Show what is shared of a rig and when it was opened, and ask what else is to be."""
    name, account = rig_name_needed(rig_id), account_needed()
    with parts().store.reading() as tx:
        found, openings = shares_of(tx, account.id, rig_id), openings_of(tx, account.id, rig_id)
    told = next((each.terms for each in found if each.terms.owner_name or each.terms.how_to_ask), None)
    form = PreviewForm(formdata=None, obj=told) if told else PreviewForm(formdata=None)
    form.arrivals.data = form.photos.data = form.pictures.data = (
        False  # whatever was chosen before, nothing more is shown unasked
    )
    now = parts().now()
    return render_template(
        "sharing/shares.html",
        rig_id=rig_id,
        name=name,
        found=[(each, each.standing(now), openings.get(each.id, [])) for each in found],
        whose=whose,
        paper=PAPER,
        zone=time_there(account.id).tzinfo,
        form=form,
        end=EndForm(),
    )


@blueprint.get("/rigs/<rig_id>/shares/preview")
def preview(rig_id: str) -> ResponseReturnValue:
    """Show what the other will see, by the very script that will show it to them."""
    name, form = rig_name_needed(rig_id), ShareForm(formdata=request.args, meta={"csrf": False})
    if not request.args:
        return redirect(url_for("sharing.shares", rig_id=rig_id), 303)
    if not form.validate():
        return _asked_again(rig_id, name, form), 400
    return render_template(
        "sharing/preview.html",
        rig_id=rig_id,
        name=name,
        form=form,
        token=EndForm(),
        criteria=criteria(),
        query=request.args,
    )


@blueprint.get("/rigs/<rig_id>/shares/preview.json")
def previewed(rig_id: str) -> ResponseReturnValue:
    """Give what the other's page will be given."""
    rig_name_needed(rig_id)
    if not request.args:
        return redirect(url_for("sharing.shares", rig_id=rig_id), 303)
    form = PreviewForm(formdata=request.args)
    if not form.validate():
        raise BadInput([Problem(f"/{at}", " ".join(said)) for at, said in form.errors.items() if at])
    if not form.terms.is_open:
        return jsonify(answer(ShareState.CLOSED, form.terms, None))
    record = shown(
        parts().store,
        parts().rulebook,
        account_needed().id,
        rig_id,
        form.terms,
        keys=signing_keys(parts().settings.signing),
        now=parts().now(),
    )
    return jsonify(answer(ShareState.OPEN, form.terms, record))


@blueprint.post("/rigs/<rig_id>/shares")
def share(rig_id: str) -> ResponseReturnValue:
    """Share it: a link is shown this one time, the code on paper is the one that prints bear."""
    name, form = rig_name_needed(rig_id), ShareForm()
    if not form.validate():
        return _asked_again(rig_id, name, form), 400
    days = int(form.days.data)
    if form.is_paper:
        _sharing().set_paper(account_needed().id, rig_id, form.terms, days)
        return redirect(url_for("sharing.shares", rig_id=rig_id), 303)
    secret = _sharing().link(account_needed().id, rig_id, form.terms, days)
    address = address_of(request.host_url, secret)
    return render_template(
        "sharing/made.html", rig_id=rig_id, name=name, address=address, qr=qr_path(address)
    )


@blueprint.post("/rigs/<rig_id>/shares/<share_id>/end")
def end(rig_id: str, share_id: str) -> ResponseReturnValue:
    """End what a link or a code on paper opens."""
    rig_name_needed(rig_id)
    _sharing().end(account_needed().id, rig_id, share_id)
    return redirect(url_for("sharing.shares", rig_id=rig_id), 303)


def _asked_again(rig_id: str, name: str, form: PreviewForm) -> str:
    return render_template("sharing/asked.html", rig_id=rig_id, name=name, form=form)


def _sharing() -> Sharing:
    return Sharing(
        store=parts().store,
        secret=str(current_app.secret_key),
        new_id=parts().new_id,
        now=parts().now(),
    )
