"""Turns errors into answers: one table for pages and for JSON alike."""

import logging
from collections.abc import Mapping, Sequence
from typing import Final

from flask import Flask, Response, jsonify, make_response, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, RequestEntityTooLarge, SecurityError

from fieldlog.errors import (
    AskedTooOften,
    BadInput,
    FieldlogError,
    ForeignRequest,
    LinkSpent,
    LogDamaged,
    NoRoom,
    NotFound,
    NotJson,
    OtherAccount,
    RulebookDamaged,
    SignInNeeded,
    StoreUnavailable,
    TooManyTries,
)
from fieldlog.model.problem import Problem
from fieldlog.pdf.jobs import OtherPdfAsked, PdfFolderUnavailable
from fieldlog.pdf.watcher import GIVEN_UP_AFTER_S
from fieldlog.reports.paper import PdfUnavailable

STATUS: Final[Mapping[type[FieldlogError], int]] = {
    BadInput: 400,
    SignInNeeded: 401,
    ForeignRequest: 403,
    LinkSpent: 403,
    NotFound: 404,
    OtherAccount: 409,
    OtherPdfAsked: 409,
    NotJson: 415,
    TooManyTries: 429,
    AskedTooOften: 429,
    RulebookDamaged: 503,
    PdfUnavailable: 503,
    PdfFolderUnavailable: 503,
    StoreUnavailable: 503,
    LogDamaged: 503,
    NoRoom: 507,
}

# What the framework itself refuses, in our words.
SENTENCES: Final[Mapping[int, str]] = {
    400: "The request cannot be read. Go back and try again.",
    404: "There is no such page. Check the address.",
    405: "This address does not take such a request; nothing was changed.",
    415: "Send the body as JSON, with the header Content-Type: application/json.",
    500: "Something went wrong here and was logged. Nothing was judged; nothing new is surely kept.",
}
OTHERWISE: Final = "The request cannot be served. Go back and try again."
OTHER_HOST: Final = (
    "The program does not answer under this name or address. Open one that it printed at its start; "
    "whoever runs it can name others in TRUSTED_HOSTS."
)
JSON_PATHS: Final = ("/api/", "/shared/", "/healthz", "/rulebook.json", "/openapi.json")
log = logging.getLogger("fieldlog")


def handle_errors(app: Flask) -> None:
    """Register the answers to errors."""
    app.register_error_handler(FieldlogError, _ours)
    app.register_error_handler(CSRFError, _stale_form)
    app.register_error_handler(HTTPException, _frameworks)
    app.register_error_handler(Exception, _unforeseen)


def status_of(error: FieldlogError) -> int:
    """Give the status that answers an error of ours."""
    return next((STATUS[c] for c in type(error).__mro__ if c in STATUS), 500)


def wants_json() -> bool:
    """Say whether the request is to one of the JSON addresses."""
    return request.path.startswith(JSON_PATHS)


def _ours(error: FieldlogError) -> ResponseReturnValue:
    if isinstance(error, SignInNeeded) and request.method == "GET" and not wants_json():
        return redirect(url_for("people.sign_in", next=request.full_path.rstrip("?")), 303)
    problems = error.problems if isinstance(error, BadInput) else [Problem("", str(error))]
    response = _answer(status_of(error), problems, _way_on(error))
    if isinstance(error, OtherPdfAsked):
        response.headers["Retry-After"] = str(GIVEN_UP_AFTER_S)
    if isinstance(error, TooManyTries | AskedTooOften):
        response.headers["Retry-After"] = str(error.wait_s)
    if isinstance(error, LogDamaged | NoRoom):
        log.error("%s", error)
    if isinstance(error, StoreUnavailable):
        log.error("%s", error)
        response.headers["Retry-After"] = "5"
    return response


def _way_on(error: FieldlogError) -> tuple[str, str] | None:
    """Give the address of the page that the sentence speaks of, and its words."""
    if isinstance(error, OtherPdfAsked):
        return url_for("record.pdf_job", rig_id=error.rig), "To the PDF that is being made"
    return None


def _stale_form(_error: CSRFError) -> ResponseReturnValue:
    sentence = (
        "This form is too old or was not opened from this site; nothing was changed. Open the page again."
    )
    return _answer(400, [Problem("", sentence)])


def _frameworks(error: HTTPException) -> ResponseReturnValue:
    if error.response is not None or (error.code or 500) < 400:
        return error
    code = error.code or 500
    sentence = _too_large() if code == 413 else SENTENCES.get(code, OTHERWISE)
    response = _answer(code, [Problem("", OTHER_HOST if isinstance(error, SecurityError) else sentence)])
    if isinstance(error, RequestEntityTooLarge):
        response.headers["Connection"] = "close"  # the rest of the body is not read
    for name, value in error.get_headers():
        if name == "Allow":
            response.headers["Allow"] = value
    return response


def _too_large() -> str:
    most = (request.max_content_length or 0) // 1024
    shown = f"{most // 1024} MB" if most >= 1024 else f"{most} kB"
    return f"That is too large: at most {shown} can be sent at once. Send it in smaller parts."


def _unforeseen(error: Exception) -> ResponseReturnValue:
    # The route, not the path: the address of a feed is a secret.
    log.error("unforeseen at %s %s", request.method, request.url_rule, exc_info=error)
    return _answer(500, [Problem("", SENTENCES[500])])


def _answer(status: int, problems: Sequence[Problem], way_on: tuple[str, str] | None = None) -> Response:
    if wants_json():
        response = jsonify({"problems": [p.as_json() for p in problems]})
    else:
        response = make_response(
            render_template("problem.html", problems=problems, status=status, way_on=way_on)
        )
    response.status_code = status
    return response
