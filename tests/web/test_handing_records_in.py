"""POST /api/records."""

import json
from typing import Any

import pytest
from flask import Flask

from fieldlog.model.canonical import sha256_hex
from fieldlog.store.session import Store
from fieldlog.sync.shape import MOST_PROBLEMS
from tests.builders import a_check, a_rig, an_arrival_check, an_id, an_outlet
from tests.conftest import OUR_PAGE, Person


def test_a_signed_in_person_hands_records_in(owner: Person) -> None:
    sent = [an_arrival_check(), an_arrival_check()]

    receipts = owner.send(*sent)

    assert [receipt["seq"] for receipt in receipts] == [1, 2]
    assert receipts[0] == {
        "id": sent[0]["id"],
        "seq": 1,
        "hash": sha256_hex(sent[0]),
        "status": "stored",
        "problems": [],
    }


@pytest.mark.parametrize("method", ["PUT", "PATCH", "DELETE"])
def test_another_method_is_refused(owner: Person, method: str) -> None:
    answer = owner.client.open(
        "/api/records", method=method, json={"records": [an_arrival_check()]}, headers=OUR_PAGE
    )

    assert answer.status_code == 405
    assert_problem(answer, "nothing was changed")


def test_a_stranger_is_refused_and_nothing_is_kept(stranger: Person, owner: Person) -> None:
    answer = stranger.post({"records": [an_arrival_check()]})

    assert answer.status_code == 401
    assert_problem(answer, "Sign in")
    assert entries(owner) == []


def test_records_of_an_account_that_is_not_the_one_signed_in_are_not_kept(
    owner: Person, colleague: Person
) -> None:
    assert owner.account and colleague.account
    answer = colleague.post({"records": [an_arrival_check()], "account": owner.account.name})

    assert answer.status_code == 409
    assert_problem(answer, "Another account is signed in")
    assert entries(owner) == entries(colleague) == []
    assert owner.post({"records": [an_arrival_check()], "account": owner.account.name}).status_code == 200


@pytest.mark.parametrize("account", [1, True, ["Robin"], {}])
def test_an_account_that_is_no_name_is_refused_with_its_field(owner: Person, account: Any) -> None:
    answer: Any = owner.post({"records": [an_arrival_check()], "account": account})

    assert answer.status_code == 400
    assert answer.json["problems"][0]["at"] == "/account"
    assert entries(owner) == []


def test_a_colleague_cannot_put_anything_into_the_owners_rig(owner: Person, colleague: Person) -> None:
    rig = a_rig()
    owner.send(rig)

    receipt = colleague.send(an_outlet(rig["id"]))[0]

    assert receipt["status"] == "refused"
    assert len(entries(owner)) == 1 and entries(colleague) == []


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
        {"Sec-Fetch-Site": "none"},
        {"Sec-Fetch-Site": "cross-site", "Origin": "http://localhost"},
        {"Origin": "http://elsewhere.example"},
        {"Origin": "https://localhost"},
        {"Origin": "http://localhost:81"},
        {"Origin": "null"},
        {"Origin": ""},
    ],
)
def test_a_request_from_elsewhere_is_refused(owner: Person, headers: dict[str, str]) -> None:
    answer = owner.client.post("/api/records", json={"records": [an_arrival_check()]}, headers=headers)

    assert answer.status_code == 403
    assert_problem(answer, "did not come from a page of this site")
    assert entries(owner) == []


def test_a_browser_without_fetch_metadata_is_known_by_its_origin(owner: Person) -> None:
    headers = {"Origin": "http://localhost"}

    answer = owner.client.post("/api/records", json={"records": [an_arrival_check()]}, headers=headers)

    assert answer.status_code == 200


@pytest.mark.parametrize(
    "mimetype", ["text/plain", "application/x-www-form-urlencoded", "multipart/form-data", ""]
)
def test_a_body_that_a_foreign_form_could_send_is_refused(owner: Person, mimetype: str) -> None:
    body = json.dumps({"records": [an_arrival_check()]})

    answer = owner.client.post("/api/records", data=body, content_type=mimetype, headers=OUR_PAGE)

    assert answer.status_code == 415
    assert_problem(answer, "application/json")
    assert entries(owner) == []


@pytest.mark.parametrize(
    "batch",
    [
        [],
        {},
        3,
        None,
        "x",
        {"records": []},
        {"records": {}},
        {"records": None},
        {"records": [], "x": 1},
        {"record": []},
        {"records": [{}] * 101},
    ],
)
def test_a_batch_of_another_form_is_refused_as_a_whole(owner: Person, batch: Any) -> None:
    answer = owner.post(batch)

    assert answer.status_code == 400
    assert answer.json is not None and answer.json["problems"]


@pytest.mark.parametrize(
    "body", [b"", b"{", b'{"records": NaN}', b'{"records": [], "records": []}', b"[" * 100_000, b"\xff"]
)
def test_what_is_no_strict_json_is_refused_as_a_whole(owner: Person, body: bytes) -> None:
    answer = owner.client.post("/api/records", data=body, content_type="application/json", headers=OUR_PAGE)

    assert answer.status_code == 400
    assert_problem(answer, "")
    assert entries(owner) == []


def test_more_than_a_megabyte_is_refused(owner: Person) -> None:
    body = b'{"records": ["' + b"x" * 1024 * 1024 + b'"]}'

    answer = owner.client.post("/api/records", data=body, content_type="application/json", headers=OUR_PAGE)

    assert answer.status_code == 413
    assert_problem(answer, "1 MB")


def test_the_answer_to_a_batch_of_wrong_records_stays_about_as_small_as_the_batch(owner: Person) -> None:
    wrong = an_arrival_check(a_check(volts={f"k{i}": 1 for i in range(600)}))
    batch = {"records": [wrong | {"id": an_id()} for _ in range(100)]}

    answer: Any = owner.post(batch)

    receipts = answer.json["receipts"]
    assert {receipt["status"] for receipt in receipts} == {"refused"}
    assert {len(receipt["problems"]) for receipt in receipts} == {MOST_PROBLEMS + 1}
    assert len(answer.data) < len(json.dumps(batch))


@pytest.mark.parametrize(
    "body",
    [
        b'{"records": [' + b"1" * 400_000 + b"]}",
        b'{"records": [1e' + b"9" * 400_000 + b"]}",
        b'{"records": [-1e999]}',
        b'{"records": [' + b'{"a":' * 30 + b"1" + b"}" * 30 + b"]}",
        b'{"records": [' + b"[" * 19 + b"]" * 19 + b"]}",
    ],
)
def test_numbers_and_nesting_beyond_measure_are_refused_as_a_whole(owner: Person, body: bytes) -> None:
    answer = owner.client.post("/api/records", data=body, content_type="application/json", headers=OUR_PAGE)

    assert (answer.status_code, entries(owner)) == (400, [])
    assert len(answer.data) < 500


@pytest.mark.parametrize(
    "record",
    [
        {"\ud800" * 50_000: [0] * 50_000},
        {"kind": "\ud800"},
        {"kind": {"kind": {"kind": []}}},
        {"id": 1e300, "kind": -0.0, "body": 5e-324},
        an_arrival_check() | {"body": [[[[[[[[[[[[[[[]]]]]]]]]]]]]]]},
        an_arrival_check() | {"__proto__": {}, "constructor": 1},
        an_arrival_check() | {"also_corrects": 5, "corrects": "01a21293-b600-7abc-8000-000000000001"},
        an_arrival_check() | {"body": {"place": {"park": "x"}}},
    ],
)
def test_a_record_of_any_other_shape_is_refused_by_itself(owner: Person, record: Any) -> None:
    other = an_arrival_check()

    receipts = owner.send(record, other)

    assert [receipt["status"] for receipt in receipts] == ["refused", "stored"]
    assert 1 <= len(receipts[0]["problems"]) <= MOST_PROBLEMS + 1


def test_a_full_batch_is_taken(owner: Person) -> None:
    receipts = owner.send(*(an_arrival_check() for _ in range(100)))

    assert {receipt["status"] for receipt in receipts} == {"stored"}


def test_what_is_kept_stays_after_the_app_is_started_again(owner: Person, app: Flask, store: Store) -> None:
    owner.send(an_arrival_check())
    before = entries(owner)

    store.close()

    assert entries(owner) == before


def test_a_database_that_does_not_answer_is_said_and_to_be_tried_again(owner: Person, store: Store) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("ALTER TABLE records RENAME TO elsewhere")

    answer = owner.post({"records": [an_arrival_check()]})

    assert answer.status_code == 503
    assert answer.headers["Retry-After"]
    assert_problem(answer, "database does not answer")


def test_a_request_from_elsewhere_with_the_persons_cookie_changes_nothing_on_any_path(
    owner: Person, app: Flask
) -> None:
    for rule in app.url_map.iter_rules():
        if "POST" in (rule.methods or set()):
            path = rule.rule
            for argument in rule.arguments:
                converter = path.split(f"{argument}>")[0].rsplit("<", 1)[1]
                path = path.replace(f"<{converter}{argument}>", "01a21293-b600-7abc-8000-000000000001")
            answer = owner.client.post(
                path, data={"name": "x"}, headers={"Origin": "http://elsewhere.example"}
            )
            assert answer.status_code in (400, 403, 415), (path, answer.status_code)


def entries(person: Person) -> list[dict[str, Any]]:
    """Give all that is in somebody's logs."""
    answer = person.client.get("/api/records")
    found: list[dict[str, Any]] = answer.json["records"] if answer.json else []
    return found


def assert_problem(answer: Any, words: str) -> None:
    """Hold an answer against the form that every refusal has."""
    assert list(answer.json) == ["problems"]
    for problem in answer.json["problems"]:
        assert set(problem) == {"at", "problem"}
    assert words in answer.json["problems"][0]["problem"]
