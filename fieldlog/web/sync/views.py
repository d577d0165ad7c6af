"""The records API, who is signed in, and the documents that describe the app to programs."""

import json
import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any, Final, NamedTuple

from flask import jsonify, request
from flask.typing import ResponseReturnValue

from fieldlog.book import labels
from fieldlog.errors import BadInput, OtherAccount
from fieldlog.model.canonical import canonical
from fieldlog.model.problem import Problem
from fieldlog.store.hand_overs import left_logs
from fieldlog.store.records import records_after
from fieldlog.sync.fetching import LogProgress, Logs, seen_of
from fieldlog.sync.wire import parse_strictly
from fieldlog.tables import entries
from fieldlog.web.layout.for_everybody import for_everybody
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import (
    account_needed,
    close_this_session,
    forget_session,
    json_from_our_page,
    session_mark,
    signed_in,
)
from fieldlog.web.sync import logs
from fieldlog.web.sync.blueprint import blueprint
from fieldlog.web.sync.description import openapi
from fieldlog.web.sync.health import health

MOST_RECORDS = 100
PAGE = 200
RIG_RULES: Final = ("due", "looks", "proving", "labels", "incidents")
__all__ = ["blueprint", "logs"]
_MOMENT: Final = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d{1,6})?(Z|[+-]\d\d:\d\d)", re.ASCII)


@blueprint.post("/api/records")
def receive_records() -> ResponseReturnValue:
    """Take a batch of records in."""
    data = json_from_our_page()
    account = account_needed()
    batch = _batch_of(parse_strictly(data))
    if batch.whose not in (None, account.name):
        raise OtherAccount
    forgot = None if batch.seen is None else Logs(parts().store, account).forgotten(batch.seen)
    receipts = parts().inbox(account).receive(batch.records, parts().now(), batch.sent_at)
    told = {} if forgot is None else {"forgot": forgot}
    return jsonify({"receipts": [receipt.as_json(placed=forgot is not None) for receipt in receipts], **told})


@blueprint.get("/api/records")
def show_records() -> ResponseReturnValue:
    """Give the account's records after a number."""
    account = account_needed()
    after, limit = _number_after(), _limit()
    whose = request.args.get("account")
    if whose not in (None, account.name):
        raise OtherAccount
    with parts().store.reading() as tx:
        found = records_after(tx, account.id, after, limit + 1)
    page = found[:limit]
    told = {} if whose is None else {"account": whose}
    last = page[-1].seq if page else after
    more = len(found) > limit
    return jsonify({"records": [entry.as_json() for entry in page], "next": last, "more": more, **told})


@blueprint.get("/api/session")
def show_session() -> ResponseReturnValue:
    """Say who is signed in, by which session, which rigs were handed over, and what time it is here."""
    account = signed_in()
    name, mark = (None, None) if account is None else (account.name, session_mark())
    now = parts().now().isoformat(timespec="milliseconds")
    identity, handed_over = None, list[str]()
    if account is not None:
        with parts().store.reading() as tx:
            identity, handed_over = account.id, sorted(left_logs(tx, account.id))
    who = {"signed_in": account is not None, "name": name, "account": identity, "session": mark}
    return jsonify({**who, "handed_over": handed_over, "now": now})


@blueprint.delete("/api/session")
def end_this_session() -> ResponseReturnValue:
    """End the session, if there is one."""
    json_from_our_page()
    close_this_session()
    return forget_session(jsonify({"signed_in": False}))


@blueprint.get("/rulebook.json")
def show_rulebook() -> ResponseReturnValue:
    """Give the rulebook, which phones keep and judge by."""
    return for_everybody(parts().rulebook.text, "application/json")


@blueprint.get("/rig-rules.json")
def show_rig_rules() -> ResponseReturnValue:
    """Give the tables of a rig, which phones keep and go by, and what each place of a record is called."""
    rules = {name: list(entries(f"facts/{name}.json")) for name in RIG_RULES}
    rules["labels"] += labels()
    return for_everybody(canonical(rules), "application/json")


@blueprint.get("/openapi.json")
def show_openapi() -> ResponseReturnValue:
    """Describe the records API."""
    return for_everybody(json.dumps(openapi(), ensure_ascii=False), "application/json")


@blueprint.get("/healthz")
def show_health() -> ResponseReturnValue:
    """Say whether the app is ready, and which versions are in use."""
    found = health(parts())
    return jsonify(found), 200 if found["ready"] else 503


class _Batch(NamedTuple):
    """Records as they were sent, and, if the phone told, when, for which account, and what it has seen."""

    records: list[Any]
    sent_at: datetime | None
    whose: str | None
    seen: dict[str, LogProgress] | None


def _batch_of(value: Any) -> _Batch:
    if not isinstance(value, Mapping):
        raise BadInput([Problem("", 'The body is not an object; send {"records": [...]}.')])
    if not set(value) <= {"records", "sent_at", "account", "logs"} or not isinstance(
        value.get("records"), list
    ):
        sentence = "Send the member records, with a list, and at most sent_at, account and logs."
        raise BadInput([Problem("/records", sentence)])
    if not 1 <= len(value["records"]) <= MOST_RECORDS:
        raise BadInput(
            [Problem("/records", f"The list has {len(value['records'])} records; send 1 to {MOST_RECORDS}.")]
        )
    whose = value.get("account")
    if not isinstance(whose, str | None):
        raise BadInput([Problem("/account", "account is not a name; correct it or leave it out.")])
    sent_at = _moment(value["sent_at"]) if "sent_at" in value else None
    return _Batch(value["records"], sent_at, whose, seen_of(value["logs"]) if "logs" in value else None)


def _moment(text: Any) -> datetime:
    try:
        if isinstance(text, str) and _MOMENT.fullmatch(text):
            return datetime.fromisoformat(text)
    except ValueError:
        pass  # there is no such day; the sentence below says so as well
    example = "a date and time with offset, such as 2026-11-25T10:31:07.123+01:00"
    raise BadInput([Problem("/sent_at", f"sent_at is not {example}; correct it or leave it out.")])


def _number_after() -> int:
    text = request.args.get("after", "0")
    if not (text.isascii() and text.isdecimal() and len(text) <= 15):
        raise BadInput(
            [Problem("/after", "after is not a whole number of 0 or more; give the last number you have.")]
        )
    return int(text)


def _limit() -> int:
    text = request.args.get("limit", str(PAGE))
    if not (text.isascii() and text.isdecimal() and len(text) <= 15 and 1 <= int(text) <= PAGE):
        raise BadInput([Problem("/limit", f"limit is not a whole number from 1 to {PAGE}; leave it out.")])
    return int(text)
