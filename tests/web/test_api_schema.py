"""Every described operation, asked as its description allows or forbids, answers as described."""

import json
import re
from datetime import timedelta
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from fieldlog.store.accounts import open_session
from fieldlog.web.sync.description import SCHEMAS
from tests.builders import a_device, a_rig, a_trip_test, an_arrival_check
from tests.conftest import Person
from tests.large_sizes import tell_examples

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]
PATHS = json.loads((SCHEMAS / "openapi.json").read_text(encoding="utf-8"))["paths"]
METHODS = {"get", "put", "post", "delete", "patch"}
OPERATIONS = [(method, path) for path, item in PATHS.items() for method in item if method in METHODS]
# The library asks for packed answers, and does not unpack them where no network lies between.
PLAIN = {"Accept-Encoding": "identity"}
MODES = {"allowed": schemathesis.GenerationMode.POSITIVE, "forbidden": schemathesis.GenerationMode.NEGATIVE}


def test_every_route_under_api_is_described(app: Flask) -> None:
    routes = {
        (method.lower(), re.sub(r"<(?:\w+:)?\w+>", "{}", rule.rule))
        for rule in app.url_map.iter_rules()
        if rule.rule.startswith("/api/")
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }

    assert routes - {(method, re.sub(r"{\w+}", "{}", path)) for method, path in OPERATIONS} == set()


def fill(owner: Person) -> None:
    """Hand in a few records of several kinds."""
    rig = a_rig()
    device = a_device(rig["id"])
    owner.send(rig, device, a_trip_test(rig["id"], device["id"]), an_arrival_check())


def fresh_cookie(app: Flask, owner: Person, count: int) -> dict[str, str]:
    """Sign in once more, because an operation may end the session that it is asked with."""
    assert owner.account
    parts = app.extensions["fieldlog"]
    token = f"session {count} of the owner".replace(" ", "-")
    with parts.store.writing() as tx:
        now = parts.now()
        open_session(tx, owner.account, token, created_at=now, expires_at=now + timedelta(days=1))
    return {"fieldlog": token}


def ask(app: Flask, owner: Person | None, operation: tuple[str, str], mode: str, examples: int) -> None:
    """Ask an operation with drawn requests and hold each answer against the description."""
    method, path = operation
    schema = schemathesis.openapi.from_wsgi("/openapi.json", app, headers=PLAIN)
    described = schema[path][method.upper()]
    statuses: list[int] = []

    @given(case=described.as_strategy(generation_mode=MODES[mode]))
    @settings(
        max_examples=examples,
        deadline=None,
        database=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
    )
    def ask_once(case: Any) -> None:
        cookies = fresh_cookie(app, owner, len(statuses)) if owner else {}
        statuses.append(case.call_and_validate(cookies=cookies, headers=PLAIN, checks=CHECKS).status_code)

    if mode == "allowed" or can_be_asked_wrongly(operation):
        ask_once()
        assert mode == "forbidden" or not owner or set(statuses) - {401, 403}


def can_be_asked_wrongly(operation: tuple[str, str]) -> bool:
    """Say whether an operation takes anything that could be wrong."""
    method, path = operation
    return "{" in path or any(name in PATHS[path][method] for name in ("parameters", "requestBody"))


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("operation", OPERATIONS, ids=" ".join)
def test_whoever_is_signed_in_gets_described_answers(
    app: Flask, owner: Person, operation: tuple[str, str], mode: str
) -> None:
    fill(owner)
    ask(app, owner, operation, mode, examples=12)


@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("operation", OPERATIONS, ids=" ".join)
def test_whoever_is_not_signed_in_gets_described_answers(
    app: Flask, operation: tuple[str, str], mode: str
) -> None:
    ask(app, None, operation, mode, examples=5)


@pytest.mark.deep
@pytest.mark.parametrize("mode", MODES)
@pytest.mark.parametrize("operation", OPERATIONS, ids=" ".join)
def test_many_requests_get_described_answers(
    app: Flask, owner: Person, operation: tuple[str, str], mode: str
) -> None:
    tell_examples(500)
    fill(owner)
    ask(app, owner, operation, mode, examples=500)
