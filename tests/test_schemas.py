"""The schemas of tables and answers, held against the real ones; schemas/shapes is made from them."""

import json
import random
import re
from functools import cache
from typing import Any

import pytest
from flask.testing import FlaskClient
from jsonschema import Draft202012Validator

from fieldlog.engine import assess
from fieldlog.errors import BadInput
from fieldlog.rulebook import load
from tests.drawn_checks import drawn_checks
from tests.repository import ROOT

OTHER = "of another kind"


def read(path: str) -> Any:
    return json.loads((ROOT / path).read_text(encoding="utf-8"))


def schema_of(name: str) -> Draft202012Validator:
    return Draft202012Validator(read(f"schemas/{name}.schema.json"))


@cache
def answers() -> list[dict[str, Any]]:
    """Judge every situation of the cases, and others drawn with seed 1."""
    checks = [case["check"] for case in read("tests/cases/checks.json")["cases"]]
    found = []
    for check in [*checks, *drawn_checks(random.Random(1), 300)]:
        try:
            found.append(assess(check, load()))
        except BadInput:
            continue
    return found


def test_every_answer_is_as_its_schema_says() -> None:
    schema = schema_of("assessed")
    found = answers()

    assert [error.message for answer in found for error in schema.iter_errors(answer)] == []
    # What no answer holds would be told by the schema for nothing.
    verdicts = read("schemas/assessed.schema.json")["$defs"]["verdict"]["enum"]
    assert {answer["verdict"] for answer in found} == set(verdicts)
    assert any(answer["supply"] for answer in found)
    assert any(answer["next_test"] for answer in found)


@pytest.mark.parametrize("member", ["verdict", "faults", "findings", "supply", "rulebook"])
def test_an_answer_without_a_member_or_with_another_is_refused(member: str) -> None:
    answer = answers()[0]

    assert not schema_of("assessed").is_valid({key: value for key, value in answer.items() if key != member})
    assert not schema_of("assessed").is_valid({**answer, member: OTHER})


def test_the_rulebook_that_phones_get_is_as_its_schema_says(client: FlaskClient) -> None:
    rulebook = client.get("/rulebook.json").get_json()

    assert [error.message for error in schema_of("rulebook").iter_errors(rulebook)] == []
    assert not schema_of("rulebook").is_valid({**rulebook, "more": 1})
    assert not schema_of("rulebook").is_valid({**rulebook, "outlets": {}})


def test_the_rules_of_a_rig_that_phones_get_are_as_their_schema_says(client: FlaskClient) -> None:
    rules = client.get("/rig-rules.json").get_json()

    assert [error.message for error in schema_of("rig-rules").iter_errors(rules)] == []
    assert not schema_of("rig-rules").is_valid({**rules, "due": [{**rules["due"][0], "after": "never"}]})
    assert not schema_of("rig-rules").is_valid({**rules, "looks": [{"id": "cord-jacket"}]})


def test_every_custom_element_has_its_type() -> None:
    scripts = [ROOT / "static/js/main.js", *sorted((ROOT / "static/js/pages").glob("*.js"))]
    defined = {
        found
        for path in scripts
        for found in re.findall(r'customElements\.define\("([a-z-]+)"', path.read_text("utf-8"))
    }
    typed = re.findall(r'"([a-z-]+)": Fl', (ROOT / "deploy/javascript/elements.d.ts").read_text("utf-8"))

    assert sorted(defined) == typed
