"""Signing in and out, and the first account."""

import re
from typing import Final
from urllib.parse import urlsplit

from flask import current_app, make_response, redirect, render_template, request, session
from flask.typing import ResponseReturnValue
from werkzeug.exceptions import HTTPException
from werkzeug.routing import RequestRedirect

from fieldlog.errors import BadInput, TooManyTries
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.shell import field_page
from fieldlog.web.people.accounts import check_first_account_token, create_first_account
from fieldlog.web.people.admission import Visitor, admit
from fieldlog.web.people.blueprint import blueprint
from fieldlog.web.people.entering import enter
from fieldlog.web.people.forms import FirstAccountForm, SignInForm, SignOutForm
from fieldlog.web.security import end_session, forget_session, signed_in

# A path of this site and perhaps a question; neither another host nor anything that a browser reads as one.
_LOCAL: Final = re.compile(r"/(?!/)[A-Za-z0-9._~/-]*(\?[A-Za-z0-9._~/=&%-]*)?")


@blueprint.get("/sign-in")
def sign_in() -> ResponseReturnValue:
    """Show the sign-in form."""
    form = SignInForm(formdata=None, next=local_path(request.args.get("next")))
    return render_template("people/sign_in.html", form=form, account=signed_in())


@blueprint.post("/sign-in")
def receive_sign_in() -> ResponseReturnValue:
    """Sign in with name and password."""
    form = SignInForm()
    status, headers = 400, {}
    if form.validate_on_submit():
        visitor = Visitor(request.remote_addr or "", session.get("mark"))
        given = (form.name.data or "", form.password.data or "")
        try:
            account = admit(parts().store, *given, visitor, parts().now())
        except TooManyTries as error:
            form.password.errors = [str(error)]
            status, headers = 429, {"Retry-After": str(error.wait_s)}
        else:
            if account is not None:
                return enter(account, local_path(form.next.data))
            form.password.errors = ["Name and password do not go together. Check both and try again."]
    return render_template("people/sign_in.html", form=form), status, headers


@blueprint.get("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Show the page that asks what becomes of what is on this phone only; script does the rest."""
    return field_page("people/sign_out.html")


@blueprint.get("/sign-out/plain")
def plain_sign_out() -> ResponseReturnValue:
    """Ask a browser without script, which keeps nothing, whether to sign out."""
    return render_template("people/plain_sign_out.html", form=SignOutForm())


@blueprint.post("/sign-out/plain")
def receive_sign_out() -> ResponseReturnValue:
    """End the session here and on the server."""
    end_session()
    return forget_session(make_response(redirect("/sign-in", 303)))


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
            return enter(create_first_account(p.store, *given, now=p.now, new_id=p.new_id), "/")
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
