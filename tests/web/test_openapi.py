"""/openapi.json says what is true."""

import re
from typing import Any

import pytest
import schemathesis
from flask import Flask
from hypothesis import HealthCheck, Phase, given, settings
from jsonschema import Draft202012Validator
from referencing import Registry
from referencing.jsonschema import DRAFT202012
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from tests.builders import a_photo, an_arrival_check
from tests.conftest import OUR_PAGE, Person
from tests.pictures import a_jpeg
from tests.sync.test_shape import RECORDS

CHECKS = [not_a_server_error, status_code_conformance, content_type_conformance, response_schema_conformance]


@pytest.fixture
def document(client: Any) -> dict[str, Any]:
    """The description as it is served."""
    found: dict[str, Any] = client.get("/openapi.json").json
    return found


def check(document: dict[str, Any], path: str, method: str, answer: Any) -> None:
    """Hold an answer against what the description says of it."""
    described = document["paths"][path][method]["responses"][str(answer.status_code)]
    assert answer.mimetype == "application/json"
    registry: Registry[Any] = Registry().with_resource("urn:api", DRAFT202012.create_resource(document))
    validator = Draft202012Validator(
        {"$ref": "urn:api" + _pointer(path, method, answer.status_code)}, registry=registry
    )
    assert described["content"]["application/json"]["schema"]
    validator.validate(answer.json)


def _pointer(path: str, method: str, status: int) -> str:
    escaped = path.replace("~", "~0").replace("/", "~1")
    return f"#/paths/{escaped}/{method}/responses/{status}/content/application~1json/schema"


def test_the_routes_for_programs_and_the_described_ones_are_the_same(
    app: Flask, document: dict[str, Any]
) -> None:
    routes = {
        (re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule), method.lower())
        for rule in app.url_map.iter_rules()
        if rule.endpoint.startswith("sync.") or rule.rule.startswith("/api/")
        for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}
    }
    described = {
        (path, method)
        for path, methods in document["paths"].items()
        for method in methods
        if method != "parameters"
    }

    assert routes == described


def test_real_answers_are_as_described(owner: Person, stranger: Person, document: dict[str, Any]) -> None:
    good, bad = an_arrival_check(), an_arrival_check(made_by=3)
    batches: list[Any] = [{"records": [good, bad, 3]}, {"records": [good]}, {"records": []}]
    for batch in batches:
        check(document, "/api/records", "post", owner.post(batch))
    check(document, "/api/records", "post", stranger.post(batches[0]))
    check(document, "/api/records", "post", owner.client.post("/api/records", json={}))
    check(document, "/api/records", "post", owner.client.post("/api/records", data="x", headers=OUR_PAGE))
    large = owner.client.post(
        "/api/records", data=b" " * 1024 * 1025, content_type="application/json", headers=OUR_PAGE
    )
    check(document, "/api/records", "post", large)
    for person in (owner, stranger):
        for path in (
            "/api/records",
            "/api/session",
            "/rulebook.json",
            "/rig-rules.json",
            "/openapi.json",
            "/healthz",
        ):
            check(document, path, "get", person.client.get(path))
    for question in ("after=x", "limit=0", "account=nobody", "account=Owner"):
        check(document, "/api/records", "get", owner.client.get(f"/api/records?{question}"))
    check(
        document, "/api/records", "post", owner.post({"records": [good], "sent_at": "2026-11-25T12:00:00Z"})
    )
    check(document, "/api/records", "post", owner.post({"records": [good], "sent_at": "now"}))
    for headers, media in (
        ({}, "application/json"),
        (OUR_PAGE, "text/plain"),
        (OUR_PAGE, "application/json"),
    ):
        answer = owner.client.delete("/api/session", headers=headers, content_type=media)
        check(document, "/api/session", "delete", answer)


def test_the_answers_to_a_photo_are_as_described(owner: Person, document: dict[str, Any]) -> None:
    content = a_jpeg()
    noted = an_arrival_check()
    photo = a_photo(noted["id"], content)
    owner.send(noted, photo)
    path = f"/api/photos/{photo['body']['hash']}"
    answers = [
        owner.client.put(path, data=sent, content_type="image/jpeg", headers=OUR_PAGE)
        for sent in (content[:-9], content, content)
    ]

    assert [answer.json["status"] for answer in answers if answer.json] == ["refused", "stored", "known"]
    for answer in answers:
        check(document, "/api/photos/{photo_hash}", "put", answer)


@pytest.mark.parametrize("name", RECORDS)
def test_the_described_record_is_the_one_that_is_taken(document: dict[str, Any], name: str) -> None:
    registry: Registry[Any] = Registry().with_resource("urn:api", DRAFT202012.create_resource(document))
    validator = Draft202012Validator({"$ref": "urn:api#/components/schemas/Record"}, registry=registry)

    assert validator.is_valid(RECORDS[name])
    assert not validator.is_valid(RECORDS[name] | {"more": 1})


def test_generated_requests_get_described_answers(app: Flask, owner: Person) -> None:
    schema = schemathesis.openapi.from_wsgi("/openapi.json", app)
    token = owner.client.get_cookie("fieldlog")
    assert token is not None

    @given(case=schema["/api/records"]["GET"].as_strategy() | schema["/api/records"]["POST"].as_strategy())
    @settings(
        max_examples=15,
        deadline=None,
        phases=[Phase.generate],
        suppress_health_check=list(HealthCheck),
        database=None,
    )
    def ask(case: Any) -> None:
        case.call_and_validate(cookies={"fieldlog": token.value}, headers=OUR_PAGE, checks=CHECKS)

    ask()
