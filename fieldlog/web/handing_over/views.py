"""Handing a rig over: offered by a link, read by both sides in plain words, taken, and kept as a receipt."""

from flask import Blueprint, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput, NotFound
from fieldlog.model.hand_over import HandOver
from fieldlog.reports.qr import qr_path
from fieldlog.store.ends import readable_log
from fieldlog.store.hand_overs import handed_over_by, offers_of, receipt_of
from fieldlog.store.moving import size_of_log
from fieldlog.sync.handing_over import HandingOver, HandOverOffer, address_of
from fieldlog.sync.signing_keys import signing_keys
from fieldlog.web.handing_over.forms import CodeForm, OfferForm, TakingForm, WithdrawalForm
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_name_needed
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.security import account_needed

blueprint = Blueprint("handing_over", __name__, template_folder="templates")
OTHER_NAME = "The rig is called {name}. Type that; nothing was offered."


@blueprint.get("/rigs/<rig_id>/hand-over")
def hand_over(rig_id: str) -> ResponseReturnValue:
    """Say what moves and what cannot be called back, and ask whether to offer the rig."""
    return _page(rig_id, rig_name_needed(rig_id), OfferForm(formdata=None))


@blueprint.post("/rigs/<rig_id>/hand-over")
def offer(rig_id: str) -> ResponseReturnValue:
    """Offer the rig: the link is shown this one time."""
    name, form = rig_name_needed(rig_id), OfferForm()
    if not form.validate():
        return _page(rig_id, name, form, 400)
    if _as_typed(str(form.name.data)) != _as_typed(name):
        form.name.errors = [OTHER_NAME.format(name=name)]
        return _page(rig_id, name, form, 400)
    secret = _handing_over().offer(account_needed().id, rig_id, int(form.days.data))
    address = address_of(request.host_url, secret)
    return render_template(
        "handing_over/offered.html", rig_id=rig_id, name=name, address=address, qr=qr_path(address)
    )


@blueprint.post("/rigs/<rig_id>/hand-over/end")
def withdraw(rig_id: str) -> ResponseReturnValue:
    """Take the offer back."""
    rig_name_needed(rig_id)
    _handing_over().withdraw(account_needed().id, rig_id)
    return redirect(url_for("handing_over.hand_over", rig_id=rig_id), 303)


@blueprint.get("/take-over")
def take_over() -> ResponseReturnValue:
    """Ask for the link of a rig that is handed over; the script puts in what stands behind the #."""
    account_needed()
    return render_template("handing_over/asked.html", form=CodeForm(formdata=None))


@blueprint.post("/take-over")
def show_offer() -> ResponseReturnValue:
    """Say what of a rig would move here, before anything does."""
    account_needed()
    form = CodeForm()
    found = _offered(form) if form.validate() else None
    if found is None:
        return render_template("handing_over/asked.html", form=form), 400
    return _offer_page(found, TakingForm(formdata=None, code=form.secret))


@blueprint.post("/take-over/taken")
def take() -> ResponseReturnValue:
    """Take the rig: from now on its log is this account's."""
    account, form, p = account_needed(), TakingForm(), parts()
    found = _offered(form)
    if found is None:
        return render_template("handing_over/asked.html", form=form), 400
    if not form.validate():
        return _offer_page(found, form, 400)
    keys = signing_keys(p.settings.signing)
    try:
        taken = _handing_over().take(form.secret, account, p.rulebook, keys, p.settings.bounds)
    except BadInput as bad:
        form.code.errors = [problem.problem for problem in bad.problems]
        return render_template("handing_over/asked.html", form=form), 400
    return redirect(f"/rigs/{taken.log}", 303)


@blueprint.get("/hand-overs")
def hand_overs() -> ResponseReturnValue:
    """List what this account has handed over, with the receipts."""
    account = account_needed()
    with parts().store.reading() as tx:
        found = handed_over_by(tx, account.id)
    zone = time_there(account.id).tzinfo
    return render_template("handing_over/hand_overs.html", found=found, zone=zone)


@blueprint.get("/hand-overs/<hand_over_id>/receipt.json")
def receipt(hand_over_id: str) -> ResponseReturnValue:
    """Give the signed receipt of what this account has handed over."""
    with parts().store.reading() as tx:
        found = receipt_of(tx, account_needed().id, hand_over_id)
    if found is None:
        raise NotFound("receipt")
    return file_answer(found.encode(), "receipt-of-a-rig", "json", shown="attachment")


def _as_typed(name: str) -> str:
    """Give a name as any keyboard types it: most phones have no key for the apostrophe of print."""
    return " ".join(name.replace("\N{RIGHT SINGLE QUOTATION MARK}", "'").casefold().split())


def _page(rig_id: str, name: str, form: OfferForm, status: int = 200) -> ResponseReturnValue:
    account, now = account_needed(), parts().now()
    with parts().store.reading() as tx:
        key = readable_log(tx, account.id, rig_id)
        size = None if key is None else size_of_log(tx, key)
        standing: list[HandOver] = [each for each in offers_of(tx, account.id, rig_id) if each.stands(now)]
    page = render_template(
        "handing_over/hand_over.html",
        rig_id=rig_id,
        name=name,
        form=form,
        size=size,
        standing=standing,
        end=WithdrawalForm(formdata=None),
        zone=time_there(account.id).tzinfo,
    )
    return page, status


def _offer_page(found: HandOverOffer, form: TakingForm, status: int = 200) -> ResponseReturnValue:
    account = account_needed()
    zone = time_there(account.id).tzinfo
    page = render_template("handing_over/offer.html", found=found, form=form, account=account, zone=zone)
    return page, status


def _offered(form: CodeForm) -> HandOverOffer | None:
    """Give what the link offers; where that is nothing, the form says so."""
    try:
        return _handing_over().offered(form.secret)
    except NotFound:
        form.code.errors = [
            "This link offers nothing: it was used, its time is over, it was taken back, or it is not whole."
        ]
        return None


def _handing_over() -> HandingOver:
    return HandingOver(store=parts().store, new_id=parts().new_id, now=parts().now())
