"""Opens a session in the browser that asks, and sets its cookie."""

import secrets
from datetime import timedelta
from typing import Final

from flask import redirect, request, session
from flask.typing import ResponseReturnValue

from fieldlog.model.account import Account
from fieldlog.store.accounts import open_session
from fieldlog.web.layout.parts import parts
from fieldlog.web.people.admission import marks_with
from fieldlog.web.security import end_session, session_cookie

# What a browser says of itself, as coarsely as tells one's own sessions apart; the first that it names.
_DEVICES: Final = (
    ("iPhone", "iPhone"),
    ("iPad", "iPad"),
    ("Android", "Android"),
    ("Windows", "Windows"),
    ("Macintosh", "a Mac"),
    ("CrOS", "a Chromebook"),
    ("Linux", "Linux"),
)


def enter(account: Account, path: str) -> ResponseReturnValue:
    """Open a session of its own for this sign-in; whatever token the browser came with is worth nothing."""
    end_session()
    token, now = secrets.token_urlsafe(32), parts().now()
    lasts = timedelta(days=parts().settings.session_days)
    device = device_named(request.headers.get("User-Agent", ""))
    with parts().store.writing() as tx:
        open_session(tx, account, token, created_at=now, expires_at=now + lasts, device=device)
    session["mark"], session.permanent = marks_with(session.get("mark"), account, token), True
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


def device_named(user_agent: str) -> str | None:
    """Give what kind of device a browser says it runs on; nothing where it names none that is known."""
    return next((device for sign, device in _DEVICES if sign in user_agent), None)
