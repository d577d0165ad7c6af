"""The page of one's own account: the password, the sessions, and a file with all that is kept of it."""

from collections.abc import Mapping
from typing import Final

from flask import Response, redirect, render_template, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound, TooManyTries
from fieldlog.model.account import Account
from fieldlog.store.accounts import (
    IDLE,
    MARK_LETTERS,
    close_session_with_mark,
    close_sessions,
    replace_password_hash,
    sessions_of,
)
from fieldlog.store.blobs import PhotosUnavailable
from fieldlog.store.photos import photos_of_account
from fieldlog.store.sizes import size_of
from fieldlog.sync.filing import written
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.people.admission import is_own_password
from fieldlog.web.people.blueprint import blueprint
from fieldlog.web.people.entering import enter
from fieldlog.web.people.forms import PasswordForm, SessionForm
from fieldlog.web.people.passwords import hash_of, problem_of_password
from fieldlog.web.security import account_needed, session_cookie, session_mark

SAID: Final[Mapping[str, str]] = {
    "password": "The password is changed. Every other session of this account was ended.",
    "session": "The session was ended.",
    "sessions": "Every other session of this account was ended.",
}
WRONG: Final = "This is not the password of this account; nothing was changed. Type it again."


@blueprint.get("/account")
def own_account() -> ResponseReturnValue:
    """Show the account: what is kept of it, its password, its sessions, and the ways out."""
    return _page(account_needed(), PasswordForm(formdata=None))


@blueprint.post("/account/password")
def change_password() -> ResponseReturnValue:
    """Change the password; whoever else is signed in to the account is so no longer."""
    account, form, p = account_needed(), PasswordForm(), parts()
    if not form.validate_on_submit():
        return _page(account, form, 400)
    current, password = form.current.data or "", form.password.data or ""
    problem = problem_of_password(password, account.name)
    if problem:
        form.password.errors = [problem.problem]
        return _page(account, form, 400)
    try:
        is_own = is_own_password(p.store, account, current, p.now())
    except TooManyTries as error:
        form.current.errors = [str(error)]
        return _page(account, form, 429, {"Retry-After": str(error.wait_s)})
    if not is_own:
        form.current.errors = [WRONG]
        return _page(account, form, 400)
    fresh = hash_of(password)
    with p.store.writing() as tx:
        replace_password_hash(tx, account, fresh)
        close_sessions(tx, account.id)
    return enter(account, "/account?said=password")


@blueprint.post("/account/sessions/<mark>/ending")
def end_one_session(mark: str) -> ResponseReturnValue:
    """End one of the account's sessions."""
    account = account_needed()
    with parts().store.writing() as tx:
        is_ended = len(mark) == MARK_LETTERS and close_session_with_mark(tx, account.id, mark)
    if not is_ended:
        raise NotFound("session")
    return redirect("/account?said=session", 303)


@blueprint.post("/account/sessions/ending")
def end_other_sessions() -> ResponseReturnValue:
    """End all of the account's sessions but this one."""
    account = account_needed()
    with parts().store.writing() as tx:
        close_sessions(tx, account.id, but=request.cookies.get(session_cookie()))
    return redirect("/account?said=sessions", 303)


@blueprint.get("/account/export")
def export() -> ResponseReturnValue:
    """Give a file with all records and photos of the account, as fieldlog export writes it."""
    account, p = account_needed(), parts()
    with p.store.reading() as tx:
        names = [photo.kept_hash for photo in photos_of_account(tx, account.id)]
    # Looked at first: what goes wrong once the file is on its way can only break it off.
    if not p.blobs.are_there(names):
        raise PhotosUnavailable("not all of them are there")
    now = p.now()
    response = Response(written(p.store, p.blobs, account, now), mimetype="application/json")
    response.headers["Content-Disposition"] = f'attachment; filename="fieldlog-all-{now:%Y-%m-%d}.json"'
    return response


def _page(
    account: Account, form: PasswordForm, status: int = 200, headers: Mapping[str, str] | None = None
) -> ResponseReturnValue:
    p = parts()
    with p.store.reading() as tx:
        found, size = sessions_of(tx, account.id, p.now()), size_of(tx, account.id)
    page = render_template(
        "people/account.html",
        account=account,
        form=form,
        ending=SessionForm(formdata=None),
        sessions=found,
        this=session_mark(),
        size=size,
        bounds=p.settings.bounds,
        said=SAID.get(request.args.get("said", "")),
        zone=time_there(account.id).tzinfo,
        session_days=p.settings.session_days,
        idle_days=IDLE.days,
    )
    return page, status, dict(headers or {})
