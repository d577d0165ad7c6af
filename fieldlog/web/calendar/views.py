"""What is due, for a calendar program: as a file, and as a feed at an address that only its owner knows."""

import secrets
from collections.abc import Sequence
from datetime import UTC
from typing import Final

from flask import Blueprint, Response, after_this_request, redirect, render_template, url_for
from flask.typing import ResponseReturnValue

from fieldlog.errors import NotFound
from fieldlog.model.rig import Rig
from fieldlog.reports.calendar import RigDues, calendar
from fieldlog.reports.due import due_of
from fieldlog.store.feeds import account_of_feed, feed_made_at, open_feed, revoke_feed
from fieldlog.store.rigs import rigs_of_account
from fieldlog.tables import entries
from fieldlog.web.calendar.forms import FeedForm
from fieldlog.web.layout.files import file_answer
from fieldlog.web.layout.parts import parts
from fieldlog.web.layout.rigs import rig_needed
from fieldlog.web.layout.time_there import time_there
from fieldlog.web.security import account_needed

SECRET_BYTES: Final = 32

blueprint = Blueprint("calendar", __name__, template_folder="templates")


@blueprint.get("/rigs/<rig_id>/calendar.ics")
def calendar_of_rig(rig_id: str) -> ResponseReturnValue:
    """Give what of a rig is due, as a file to take in once."""
    rig = rig_needed(rig_id)
    return file_answer(_calendar([rig], account_needed().id), f"due-{rig.name}", "ics", shown="attachment")


@blueprint.get("/calendar")
def feed() -> ResponseReturnValue:
    """Say whether the account has a feed."""
    account = account_needed()
    with parts().store.reading() as tx:
        made_at = feed_made_at(tx, account.id)
        rigs = rigs_of_account(tx, account.id)
    return render_template("calendar/feed.html", made_at=made_at, rigs=rigs, form=FeedForm())


@blueprint.post("/calendar/feed")
def make_feed() -> ResponseReturnValue:
    """Make the feed's address and show it this one time; the one before opens nothing any more."""
    account = account_needed()
    secret = secrets.token_urlsafe(SECRET_BYTES)
    with parts().store.writing() as tx:
        was_there = feed_made_at(tx, account.id) is not None
        open_feed(tx, account.id, secret, created_at=parts().now())
    address = url_for("calendar.feed_file", secret=secret, _external=True)
    return render_template("calendar/made.html", address=address, was_there=was_there, form=FeedForm())


@blueprint.post("/calendar/feed/removal")
def remove_feed() -> ResponseReturnValue:
    """Revoke the feed."""
    account = account_needed()
    with parts().store.writing() as tx:
        revoke_feed(tx, account.id)
    return redirect(url_for("calendar.feed"), 303)


@blueprint.get("/calendar/<secret>.ics")
def feed_file(secret: str) -> ResponseReturnValue:
    """Give what of all rigs of an account is due, to whoever knows the address."""
    after_this_request(_kept_out_of_searches)
    with parts().store.reading() as tx:
        account = account_of_feed(tx, secret)
        rigs = () if account is None else rigs_of_account(tx, account.id)
    if account is None:
        raise NotFound("calendar")
    return file_answer(_calendar(rigs, account.id), "due", "ics", shown="inline")


def _kept_out_of_searches(response: Response) -> Response:
    response.headers["X-Robots-Tag"] = "noindex"
    response.headers["Cache-Control"] = "no-store"
    return response


def _calendar(rigs: Sequence[Rig], account: str) -> bytes:
    now, rules = time_there(account), entries("facts/due.json")
    due = [
        RigDues(rig.id, rig.name, due_of(rig, rules, now.date()), rig.chain.body.get("season_starts"))
        for rig in rigs
    ]
    return calendar(due, rules, made_at=now.astimezone(UTC), today=now.date())
