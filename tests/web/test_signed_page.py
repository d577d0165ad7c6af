"""The signed record on the web: shown before it is given; and the file that verifies."""

import base64
import hashlib
import re
from typing import Any

import pytest
from flask import Flask

from fieldlog.bundle.checkpoint import Checkpoint
from fieldlog.bundle.verifying import verified
from fieldlog.config import ROOT
from fieldlog.joining import one_file
from fieldlog.store.session import Store
from fieldlog.web.verify.views import FILE
from tests.builders import a_full_check, a_rig, an_arrival_check
from tests.conftest import Person

MOST_BYTES = 60_000


@pytest.fixture
def rig(owner: Person) -> dict[str, Any]:
    """A rig with a check on arrival."""
    rig = a_rig()
    owner.send(rig, an_arrival_check(a_full_check(), rig=rig["id"]))
    return rig


def checkpoint_on(page: str) -> Checkpoint:
    found = re.search(r'class="signed-line">([^<]*)<', page)
    assert found
    return Checkpoint.read(found[1])


def test_what_the_other_will_see_is_shown_before_it_is_given(owner: Person, rig: dict[str, Any]) -> None:
    page = owner.client.get(f"/rigs/{rig['id']}/signed").text
    whole = owner.client.get(f"/rigs/{rig['id']}/signed?arrivals=1").text

    assert "1 × rig</li>" in page and "Only that it is there" in page
    assert "Only that it is there" not in whole and 'name="arrivals" value="1" checked' in whole


def test_the_file_holds_against_the_page_s_own_checkpoint_and_key(owner: Person, rig: dict[str, Any]) -> None:
    page = owner.client.get(f"/rigs/{rig['id']}/signed").text
    key = re.search(r'class="signed-key">([0-9a-f ]{24})<', page)
    answer = owner.client.get(f"/rigs/{rig['id']}/signed.json")

    assert key
    held = verified(answer.data, checkpoints=[checkpoint_on(page)], issuers=[key[1]])
    assert [entry["record"]["kind"] for entry in held.subject["entries"]] == ["rig"]
    assert answer.headers["Content-Disposition"] == 'attachment; filename="signed-record-Wren.json"'


def test_parks_are_in_it_only_where_the_owner_said_so(owner: Person, rig: dict[str, Any]) -> None:
    plain = owner.client.get(f"/rigs/{rig['id']}/signed.json").text
    whole = owner.client.get(f"/rigs/{rig['id']}/signed.json?arrivals=1").text

    assert '"observed_at"' in plain
    assert (plain.count('"arrival-check"'), '"check"' in plain, '"check"' in whole) == (1, False, True)


def test_a_stranger_gets_neither(colleague: Person, owner: Person, rig: dict[str, Any]) -> None:
    for path in ("signed", "signed.json"):
        assert colleague.client.get(f"/rigs/{rig['id']}/{path}").status_code == 404


def test_where_the_key_cannot_be_used_it_is_said_and_nothing_is_given(
    app: Flask, owner: Person, store: Store, rig: dict[str, Any]
) -> None:
    owner.client.get(f"/rigs/{rig['id']}/signed")
    folder = app.extensions["fieldlog"].settings.signing
    (folder / "1.key").write_bytes(b"x")
    answer = owner.client.get(f"/rigs/{rig['id']}/signed.json")

    assert answer.status_code >= 400
    assert "Nothing is signed" in answer.text


def test_the_file_that_verifies_is_made_of_its_sources() -> None:
    assert FILE.read_text(encoding="utf-8") == one_file(ROOT), "fieldlog shell writes it anew"


def test_the_file_that_verifies_is_small_and_its_policy_lets_nothing_fetch(app: Flask) -> None:
    answer = app.test_client().get("/verify")
    policy = answer.headers["Content-Security-Policy"]
    script = re.search(r'<script type="module">(.*?)</script>', answer.text, re.DOTALL)
    assert script
    digest = base64.b64encode(hashlib.sha256(script[1].encode()).digest()).decode()

    assert len(answer.data) < MOST_BYTES
    assert policy.startswith("default-src 'none'; ") and f"'sha256-{digest}'" in policy
    assert "connect-src" not in policy
    own, _, framed = policy.rpartition("; ")
    assert framed == "frame-ancestors 'none'" and f'content="{own}"' in answer.text
    assert "http:" not in script[1] and "attachment" not in answer.headers.get("Content-Disposition", "")


def test_it_may_be_kept_as_a_file(app: Flask) -> None:
    answer = app.test_client().get("/verify?save=1")

    assert answer.headers["Content-Disposition"] == 'attachment; filename="verify-a-signed-record.html"'
