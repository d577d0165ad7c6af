"""Removing one's own account, with all that is kept of it here."""

from flask import make_response, render_template, session
from flask.typing import ResponseReturnValue

from fieldlog.errors import TooManyTries
from fieldlog.model.account import Account
from fieldlog.store.removal import clear_left_photos, remove_account
from fieldlog.store.sizes import size_of
from fieldlog.store.tries import forget_tries_at
from fieldlog.web.layout.parts import parts
from fieldlog.web.people.accounts import name_key
from fieldlog.web.people.admission import is_own_password, names_counted
from fieldlog.web.people.blueprint import blueprint
from fieldlog.web.people.forms import RemovalForm
from fieldlog.web.people.own import WRONG
from fieldlog.web.security import account_needed, forget_session


@blueprint.get("/account/removal")
def removal() -> ResponseReturnValue:
    """Say what removing takes away and what it cannot, and ask for the password and the name."""
    return _page(account_needed(), RemovalForm(formdata=None))


@blueprint.post("/account/removal")
def remove_own_account() -> ResponseReturnValue:
    """Remove the account that is signed in."""
    account, form, p = account_needed(), RemovalForm(), parts()
    if not form.validate_on_submit():
        return _page(account, form, 400)
    if name_key(form.name.data or "") != name_key(account.name):
        form.name.errors = [f"The account is called {account.name}. Type that; nothing was removed."]
        return _page(account, form, 400)
    try:
        is_own = is_own_password(p.store, account, form.password.data or "", p.now())
    except TooManyTries as error:
        form.password.errors = [str(error)]
        return _page(account, form, 429)
    if not is_own:
        form.password.errors = [WRONG]
        return _page(account, form, 400)
    with p.store.writing() as tx:
        forget_tries_at(tx, names_counted(account.name))
        remove_account(tx, account)
    left = clear_left_photos(p.store, p.blobs)
    session.clear()
    return forget_session(make_response(render_template("people/removed.html", account=account, left=left)))


def _page(account: Account, form: RemovalForm, status: int = 200) -> ResponseReturnValue:
    with parts().store.reading() as tx:
        size = size_of(tx, account.id)
    return render_template("people/removal.html", account=account, form=form, size=size), status
