"""Who is asking, whether the request comes from a page of ours, and the headers that every answer carries."""

import logging
import re
from datetime import timedelta
from typing import Final
from urllib.parse import urlsplit

from flask import Flask, Request, Response, g, request, session
from flask.sessions import SecureCookieSessionInterface
from flask_wtf.csrf import CSRFProtect

from fieldlog.errors import ForeignRequest, NotJson, SignInNeeded, StoreUnavailable
from fieldlog.model.account import Account
from fieldlog.store.accounts import close_session, mark_of_session, note_visit, visit_of
from fieldlog.web.layout.parts import parts

MOST_BYTES: Final = 1024 * 1024
MOST_FORM_PARTS: Final = 100

# What can be handed in without an account, as much of it as a form that was filled in can hold.
OPEN_TO_ALL: Final = frozenset(
    {
        "arrival.receive_plain",
        "people.receive_sign_in",
        "people.receive_sign_out",
        "people.receive_first_account",
        "shared.open_shared",
        "shared.show_picture",
        "sync.end_this_session",
    }
)
MOST_OPEN_BYTES: Final = 64 * 1024
# Where whoever reads the body before the app does finds how large it may be.
MOST_WANTED: Final = "fieldlog.most_body_bytes"

HEADERS: Final = {
    "Content-Security-Policy": (
        "default-src 'self'; img-src 'self' blob:; object-src 'none'; base-uri 'none'; "
        "frame-ancestors 'none'; form-action 'self'"
    ),
    "X-Content-Type-Options": "nosniff",
    # not no-referrer: browsers would then send forms with Origin: null
    "Referrer-Policy": "same-origin",
    "Permissions-Policy": "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
}
HSTS: Final = "max-age=31536000"
# At home the next root is fetched over plain http from the same name, so no browser is bound to https.
NO_HSTS: Final = "max-age=0"

_IPV6_HOST: Final = re.compile(r"(\[[0-9a-f:.]+\])(?::[0-9]+)?", re.ASCII)

csrf = CSRFProtect()
log = logging.getLogger("fieldlog")


class FormSession(SecureCookieSessionInterface):
    """The signed cookie that form tokens need; it is marked Secure whenever the request is."""

    def get_cookie_secure(self, app: Flask) -> bool:
        """Say whether the cookie is for https only."""
        return request.is_secure


class NamedRequest(Request):
    """A request that may name the host by an address of IPv6; the framework cuts those at their colons."""

    _trusted: list[str] | None = None

    @property
    def trusted_hosts(self) -> list[str] | None:
        """The hosts that are answered; none to be named where this one is known to be among them."""
        found = _IPV6_HOST.fullmatch(self.environ.get("HTTP_HOST", ""))
        return None if found and found[1] in (self._trusted or ()) else self._trusted

    @trusted_hosts.setter
    def trusted_hosts(self, hosts: list[str] | None) -> None:
        self._trusted = hosts


def protect(app: Flask, secret: str, trusted_hosts: tuple[str, ...]) -> None:
    """Set the limits, the form tokens and the headers of an app."""
    app.config.update(
        SECRET_KEY=secret,
        MAX_CONTENT_LENGTH=MOST_BYTES,
        MAX_FORM_MEMORY_SIZE=MOST_BYTES // 2,
        MAX_FORM_PARTS=MOST_FORM_PARTS,
        TRUSTED_HOSTS=list(trusted_hosts) or None,
        SESSION_COOKIE_NAME="fieldlog_form",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_REFRESH_EACH_REQUEST=False,  # an answer in flight would bring an older form token back
        PERMANENT_SESSION_LIFETIME=timedelta(days=365),  # the mark of a browser outlives its sessions
        WTF_CSRF_TIME_LIMIT=None,  # a form left open over night must still be sendable
    )
    app.session_interface = FormSession()
    app.before_request(look_at_the_head)  # before the form tokens, which read the body
    app.request_class = NamedRequest
    csrf.init_app(app)
    app.after_request(add_headers)


def look_at_the_head() -> None:
    """Ask for the account before anything of a body is read; without one only little can be handed in."""
    if request.method in ("GET", "HEAD", "OPTIONS") or request.endpoint is None:
        return
    if request.endpoint in OPEN_TO_ALL:
        request.max_content_length = MOST_OPEN_BYTES
        request.environ[MOST_WANTED] = MOST_OPEN_BYTES
    else:
        account_needed()


def add_headers(response: Response) -> Response:
    """Put the headers on, but for one that a view made stricter; what is not cacheable is kept nowhere."""
    for name, value in HEADERS.items():
        response.headers.setdefault(name, value)
    if request.is_secure:
        response.headers["Strict-Transport-Security"] = NO_HSTS if parts().settings.trust_port else HSTS
    if "Cache-Control" not in response.headers:
        response.headers["Cache-Control"] = "no-store"
    return response


def session_cookie() -> str:
    """Give the name of the session's cookie: over https a name that browsers bind to this host."""
    return "__Host-fieldlog" if request.is_secure else "fieldlog"


def signed_in() -> Account | None:
    """Give the account that is signed in, if any."""
    if "account" not in g:
        token = request.cookies.get(session_cookie())
        g.account = None
        if token:
            g.account = _visitor(token)
    found: Account | None = g.account
    return found


def _visitor(token: str) -> Account | None:
    """Give whose session it is, and note the visit, once a day; a disk that is full bars no page."""
    now = parts().now()
    with parts().store.reading() as tx:
        visit = visit_of(tx, token, now)
    if visit is None:
        return None
    if not visit.is_noted:
        try:
            with parts().store.writing() as tx:
                note_visit(tx, token, now)
        except StoreUnavailable as error:
            log.warning("The visit was not noted: %s", error)
    return visit.account


def end_session() -> None:
    """End the session on the server; the browser's marks of having signed in before stay."""
    marks = session.get("mark")
    session.clear()
    if marks:
        session["mark"], session.permanent = marks, True
    close_this_session()


def close_this_session() -> None:
    """End the session on the server; the token of a form that stands open elsewhere stays good."""
    token = request.cookies.get(session_cookie())
    if token:
        with parts().store.writing() as tx:
            close_session(tx, token)


def session_mark() -> str | None:
    """Give what tells this session from another and opens nothing."""
    token = request.cookies.get(session_cookie())
    return mark_of_session(token) if token else None


def forget_session(response: Response) -> Response:
    """Have the browser forget the session's cookie."""
    response.delete_cookie(
        session_cookie(), path="/", secure=request.is_secure, httponly=True, samesite="Lax"
    )
    return response


def account_needed() -> Account:
    """Give the account that is signed in, or refuse."""
    account = signed_in()
    if account is None:
        raise SignInNeeded
    return account


def json_from_our_page() -> bytes:
    """Give the body of a JSON request that shows it comes from a page of this site, or refuse."""
    if request.mimetype != "application/json":
        raise NotJson
    our_page_needed()
    return request.get_data()


def our_page_needed() -> None:
    """Refuse a request that does not show that it comes from a page of this site."""
    if not _is_same_origin():
        raise ForeignRequest


def _is_same_origin() -> bool:
    site = request.headers.get("Sec-Fetch-Site")
    if site is not None:
        return site == "same-origin"
    origin = request.headers.get("Origin", "")
    return bool(origin) and urlsplit(origin)[:2] == (request.scheme, request.host)
