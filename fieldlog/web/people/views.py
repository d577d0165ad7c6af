"""Signing in and out, and the first account."""

import re
import secrets
from datetime import timedelta
from typing import Final
from urllib.parse import urlsplit

from flask import Blueprint, current_app, redirect, render_template, request, session
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import HTTPException
from werkzeug.routing import RequestRedirect

from fieldlog.errors import BadInput
from fieldlog.model.account import Account
from fieldlog.store.accounts import close_session, open_session
from fieldlog.web.layout.parts import parts
from fieldlog.web.people.accounts import check_first_account_token, create_first_account
from fieldlog.web.people.admission import Visitor, admit, mark_for
from fieldlog.web.people.forms import FirstAccountForm, SignInForm, SignOutForm
from fieldlog.web.security import session_cookie, signed_in

# A path of this site and perhaps a question; neither another host nor anything that a browser reads as one.
_LOCAL: Final = re.compile(r"/(?!/)[A-Za-z0-9._~/-]*(\?[A-Za-z0-9._~/=&%-]*)?")

blueprint = Blueprint("people", __name__, template_folder="templates")


@blueprint.get("/sign-in")
def sign_in() -> ResponseReturnValue:
    """Show the sign-in form."""
    form = SignInForm(formdata=None, next=local_path(request.args.get("next")))
    return render_template("people/sign_in.html", form=form, account=signed_in())


@blueprint.post("/sign-in")
def receive_sign_in() -> ResponseReturnValue:
    """Sign in with name and password."""
    form = SignInForm()
    if form.validate_on_submit():
        visitor = Visitor(request.remote_addr or "", session.get("mark"))
        account = admit(parts().store, form.name.data or "", form.password.data or "", visitor, parts().now())
        if account is not None:
            return _enter(account, local_path(form.next.data))
        form.password.errors = ["Name and password do not go together. Check both and try again."]
    return render_template("people/sign_in.html", form=form), 400


@blueprint.get("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Ask whether to sign out."""
    return render_template("people/sign_out.html", form=SignOutForm())


@blueprint.post("/sign-out")
def receive_sign_out() -> ResponseReturnValue:
    """End the session here and on the server."""
    _end_session()
    response = redirect("/sign-in", 303)
    response.delete_cookie(
        session_cookie(), path="/", secure=request.is_secure, httponly=True, samesite="Lax"
    )
    return response


@blueprint.get("/first-account")
def first_account() -> ResponseReturnValue:
    """Show the form for the first account to whoever has the one-time link."""
    token = request.args.get("token", "")
    check_first_account_token(parts().store, token, parts().now())
    return render_template("people/first_account.html", form=FirstAccountForm(formdata=None, token=token))


@blueprint.post("/first-account")
def receive_first_account() -> ResponseReturnValue:
    """Make the first account and sign in to it."""
    form = FirstAccountForm()
    p = parts()
    check_first_account_token(p.store, form.token.data or "", p.now())
    if form.validate_on_submit():
        try:
            given = (form.token.data or "", form.name.data or "", form.password.data or "")
            return _enter(create_first_account(p.store, *given, now=p.now, new_id=p.new_id), "/")
        except BadInput as error:
            for problem in error.problems:
                form[problem.at.removeprefix("/")].errors = [problem.problem]
    return render_template("people/first_account.html", form=form), 400


def local_path(given: str | None) -> str:
    """Give the path if it is one of this site's pages, the first page if not."""
    if not given or not _LOCAL.fullmatch(given):
        return "/"
    try:
        current_app.create_url_adapter(request).match(urlsplit(given).path, method="GET")  # type: ignore[union-attr]  # there is one in a request
    except (HTTPException, RequestRedirect):
        return "/"
    return given


def _enter(account: Account, path: str) -> ResponseReturnValue:
    """Open a session of its own for this sign-in; whatever token the browser came with is worth nothing."""
    _end_session()
    token, now = secrets.token_urlsafe(32), parts().now()
    lasts = timedelta(days=parts().settings.session_days)
    with parts().store.writing() as tx:
        open_session(tx, account, token, created_at=now, expires_at=now + lasts)
    session["mark"], session.permanent = mark_for(account, token), True
    response = redirect(path, 303)
    response.set_cookie(
        session_cookie(),
        token,
        max_age=lasts,
        path="/",
        secure=request.is_secure,
        httponly=True,
        samesite="Lax",
    )
    return response


def _end_session() -> None:
    token = request.cookies.get(session_cookie())
    mark = session.get("mark")
    session.clear()
    if mark:
        session["mark"], session.permanent = mark, True
    if token:
        with parts().store.writing() as tx:
            close_session(tx, token)
