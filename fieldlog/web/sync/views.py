"""The records API, who is signed in, and the documents that describe the app to programs."""

import json
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, jsonify, make_response, request
from flask.typing import ResponseReturnValue

from fieldlog.errors import BadInput
from fieldlog.model.canonical import canonical
from fieldlog.model.problem import Problem
from fieldlog.store.records import records_after
from fieldlog.sync.wire import parse_strictly
from fieldlog.web.layout.parts import parts
from fieldlog.web.security import account_needed, csrf, json_from_our_page, signed_in
from fieldlog.web.sync.description import openapi
from fieldlog.web.sync.health import health

MOST_RECORDS = 100
PAGE = 200

blueprint = Blueprint("sync", __name__)
csrf.exempt(blueprint)  # json_from_our_page checks where the request comes from


@blueprint.post("/api/records")
def receive_records() -> ResponseReturnValue:
    """Take a batch of records in."""
    data = json_from_our_page()
    account = account_needed()
    sent = _records_of(parse_strictly(data))
    receipts = parts().inbox(account).receive(sent, parts().now())
    return jsonify({"receipts": [receipt.as_json() for receipt in receipts]})


@blueprint.get("/api/records")
def show_records() -> ResponseReturnValue:
    """Give the account's records after a number."""
    account = account_needed()
    after = _number_after()
    with parts().store.reading() as tx:
        found = records_after(tx, account.id, after, PAGE + 1)
    page = found[:PAGE]
    last = page[-1].seq if page else after
    return jsonify({"records": [entry.as_json() for entry in page], "next": last, "more": len(found) > PAGE})


@blueprint.get("/api/session")
def show_session() -> ResponseReturnValue:
    """Say who is signed in."""
    account = signed_in()
    return jsonify({"signed_in": account is not None, "name": account.name if account else None})


@blueprint.get("/rulebook.json")
def show_rulebook() -> ResponseReturnValue:
    """Give the rulebook, which phones keep and judge by."""
    rulebook = parts().rulebook
    response = _json(canonical(rulebook.raw), "application/json")
    response.set_etag(rulebook.id.removeprefix("sha256:"))
    response.headers["Cache-Control"] = "no-cache"
    return response.make_conditional(request)


@blueprint.get("/openapi.json")
def show_openapi() -> ResponseReturnValue:
    """Describe the records API."""
    response = _json(json.dumps(openapi(), ensure_ascii=False).encode(), "application/json")
    response.headers["Cache-Control"] = "no-cache"
    return response


@blueprint.get("/healthz")
def show_health() -> ResponseReturnValue:
    """Say whether the app is ready, and which versions are in use."""
    found = health(parts())
    return jsonify(found), 200 if found["ready"] else 503


def _records_of(value: Any) -> list[Any]:
    if not isinstance(value, Mapping):
        raise BadInput([Problem("", 'The body is not an object; send {"records": [...]}.')])
    if list(value) != ["records"] or not isinstance(value["records"], list):
        raise BadInput([Problem("/records", "Send one member, records, with a list.")])
    if not 1 <= len(value["records"]) <= MOST_RECORDS:
        raise BadInput(
            [Problem("/records", f"The list has {len(value['records'])} records; send 1 to {MOST_RECORDS}.")]
        )
    return value["records"]


def _number_after() -> int:
    text = request.args.get("after", "0")
    if not (text.isascii() and text.isdecimal() and len(text) <= 15):
        raise BadInput(
            [Problem("/after", "after is not a whole number of 0 or more; give the last number you have.")]
        )
    return int(text)


def _json(data: bytes, mimetype: str) -> Response:
    response = make_response(data)
    response.mimetype = mimetype
    return response
