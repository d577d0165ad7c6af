"""POST /api/log and /api/known: what is new by log, and whether the server holds what a phone has seen."""

from typing import Any

import pytest

from tests.builders import a_device, a_photo, a_rig, an_arrival_check
from tests.conftest import OUR_PAGE, Person
from tests.pictures import a_jpeg

NOBODY = "019aa000-0000-7000-8000-0000000000ff"
HEAD = "a" * 64


def ask(person: Person, path: str = "/api/log", **members: Any) -> Any:
    """Ask as a page of the site does."""
    return person.client.post(path, json={"account": "Owner"} | members, headers=OUR_PAGE)


def seen_of(entries: list[dict[str, Any]]) -> dict[str, dict[str, Any]]:
    """Give what a phone has seen that was given these entries."""
    return {
        entry["log"]: {"after": entry["position"], "position": entry["position"], "head": entry["head"]}
        for entry in entries
    }


def test_a_phone_that_has_seen_nothing_is_given_all_logs_in_the_order_of_arrival(owner: Person) -> None:
    rig = a_rig()
    sent = [an_arrival_check(), rig, an_arrival_check(), a_device(rig["id"])]
    owner.send(*sent)

    told = ask(owner, logs={}).json

    assert owner.account is not None
    own = owner.account.id
    assert [entry["record"] for entry in told["records"]] == sent
    assert [(entry["log"], entry["position"]) for entry in told["records"]] == [
        (own, 1),
        (rig["id"], 1),
        (own, 2),
        (rig["id"], 2),
    ]
    assert (told["own"], told["account"], told["more"], told["forgot"]) == (own, "Owner", False, [])


def test_only_what_lies_beyond_what_was_seen_of_each_log_is_given(owner: Person) -> None:
    rig = a_rig()
    owner.send(an_arrival_check(), rig)
    seen = seen_of(ask(owner, logs={}).json["records"])
    fresh = [a_device(rig["id"]), an_arrival_check()]
    owner.send(*fresh)

    assert [entry["record"] for entry in ask(owner, logs=seen).json["records"]] == fresh


def test_a_log_that_was_not_told_is_given_from_its_start(owner: Person) -> None:
    rig = a_rig()
    owner.send(an_arrival_check(), rig)
    seen = seen_of(ask(owner, logs={}).json["records"])
    del seen[rig["id"]]

    assert [entry["record"] for entry in ask(owner, logs=seen).json["records"]] == [rig]


def test_pages_follow_one_another_without_gap_or_repetition(owner: Person) -> None:
    rig = a_rig()
    sent = [rig, *(an_arrival_check() for _ in range(4)), *(a_device(rig["id"]) for _ in range(4))]
    owner.send(*sent)

    seen: dict[str, Any] = {}
    found, more = [], True
    while more:
        page = ask(owner, logs=seen, limit=2).json
        assert len(page["records"]) <= 2
        found += [entry["record"]["id"] for entry in page["records"]]
        seen |= seen_of(page["records"])
        more = page["more"]
    assert found == [record["id"] for record in sent]


@pytest.mark.parametrize(
    "wrong", [{"head": HEAD}, {"position": 3, "after": 0}], ids=["another head", "a place beyond the end"]
)
def test_a_log_that_does_not_hold_what_was_seen_is_named_and_not_given(
    owner: Person, wrong: dict[str, Any]
) -> None:
    rig = a_rig()
    owner.send(an_arrival_check(), an_arrival_check(), rig)
    entries = ask(owner, logs={}).json["records"]
    seen = {log: each | {"after": 0} for log, each in seen_of(entries[1:2]).items()}
    (own,) = seen
    seen[own] |= wrong

    told = ask(owner, logs=seen).json

    assert told["forgot"] == [own]
    assert [entry["log"] for entry in told["records"]] == [rig["id"]]


def test_an_earlier_place_of_the_same_log_is_held(owner: Person) -> None:
    owner.send(*(an_arrival_check() for _ in range(3)))
    first = ask(owner, logs={}).json["records"][:1]

    told = ask(owner, logs=seen_of(first)).json

    assert told["forgot"] == []
    assert [entry["position"] for entry in told["records"]] == [2, 3]


def test_a_log_of_somebody_else_is_no_log_here(owner: Person, colleague: Person) -> None:
    owner.send(an_arrival_check())
    seen = seen_of(ask(owner, logs={}).json["records"])

    told = colleague.client.post(
        "/api/log", json={"account": "Colleague", "logs": seen}, headers=OUR_PAGE
    ).json

    assert told is not None
    assert (told["forgot"], told["records"]) == (list(seen), [])


def test_a_batch_says_where_its_records_lie_and_which_logs_forgot(owner: Person) -> None:
    check = an_arrival_check()
    seen = {NOBODY: {"after": 0, "position": 1, "head": HEAD}}

    for status in ("stored", "known"):
        told: Any = owner.post({"records": [check], "logs": seen}).json
        entry = ask(owner, logs={}).json["records"][0]
        (receipt,) = told["receipts"]
        assert receipt["status"] == status
        assert {name: receipt[name] for name in ("log", "position", "head")} == {
            name: entry[name] for name in ("log", "position", "head")
        }
        assert told["forgot"] == [NOBODY]


def test_a_batch_that_tells_nothing_of_logs_is_answered_as_ever(owner: Person) -> None:
    told: Any = owner.post({"records": [an_arrival_check()]}).json

    assert set(told) == {"receipts"}
    assert set(told["receipts"][0]) == {"id", "seq", "hash", "status", "problems"}


def test_what_is_not_here_is_told(owner: Person) -> None:
    check, content = an_arrival_check(), a_jpeg()
    photo = a_photo(check["id"], content)
    hashes = {receipt["id"]: receipt["hash"] for receipt in owner.send(check, photo)}
    digest = photo["body"]["hash"]
    owner.client.put(f"/api/photos/{digest}", data=content, content_type="image/jpeg", headers=OUR_PAGE)

    told = ask(owner, "/api/known", records=hashes | {NOBODY: HEAD}, photos=[digest, HEAD]).json
    changed = ask(owner, "/api/known", records=dict.fromkeys(hashes, HEAD), photos=[]).json

    assert told == {"missing": {"records": [NOBODY], "photos": [HEAD]}}
    assert changed == {"missing": {"records": list(hashes), "photos": []}}


def test_what_somebody_else_holds_is_not_here(owner: Person, colleague: Person) -> None:
    hashes = {receipt["id"]: receipt["hash"] for receipt in owner.send(an_arrival_check())}

    told = colleague.client.post(
        "/api/known", json={"account": "Colleague", "records": hashes, "photos": []}, headers=OUR_PAGE
    ).json

    assert told is not None and told["missing"]["records"] == list(hashes)


@pytest.mark.parametrize(
    ("path", "members", "at"),
    [
        ("/api/log", {}, ""),
        ("/api/log", {"logs": {}, "more": 1}, ""),
        ("/api/log", {"logs": []}, "/logs"),
        ("/api/log", {"logs": {"x": {}}}, "/logs"),
        ("/api/log", {"logs": {NOBODY: 1}}, f"/logs/{NOBODY}"),
        ("/api/log", {"logs": {NOBODY: {"after": 2, "position": 1, "head": HEAD}}}, f"/logs/{NOBODY}"),
        ("/api/log", {"logs": {NOBODY: {"after": 0, "position": True, "head": HEAD}}}, f"/logs/{NOBODY}"),
        ("/api/log", {"logs": {NOBODY: {"after": 0, "position": 1, "head": "x"}}}, f"/logs/{NOBODY}"),
        ("/api/log", {"logs": {}, "limit": 0}, "/limit"),
        ("/api/log", {"logs": {}, "limit": 201}, "/limit"),
        ("/api/log", {"logs": {}, "limit": True}, "/limit"),
        ("/api/known", {"records": {}}, ""),
        ("/api/known", {"records": {"x": HEAD}, "photos": []}, "/records"),
        ("/api/known", {"records": {NOBODY: 3}, "photos": []}, "/records"),
        ("/api/known", {"records": {}, "photos": {}}, "/photos"),
        ("/api/known", {"records": {}, "photos": [3]}, "/photos"),
        ("/api/known", {"records": {}, "photos": [HEAD] * 2001}, "/photos"),
        ("/api/records", {"records": [], "logs": 3}, "/records"),
    ],
)
def test_what_cannot_be_read_is_named(owner: Person, path: str, members: dict[str, Any], at: str) -> None:
    answer = ask(owner, path, **members)

    assert answer.status_code == 400
    assert [problem["at"] for problem in answer.json["problems"]] == [at]


@pytest.mark.parametrize("path", ["/api/log", "/api/known"])
def test_only_the_account_itself_is_told_and_only_by_its_own_page(
    owner: Person, colleague: Person, stranger: Person, path: str
) -> None:
    members: dict[str, Any] = {"logs": {}} if path == "/api/log" else {"records": {}, "photos": []}

    assert ask(stranger, path, **members).status_code == 401
    assert ask(colleague, path, **members).status_code == 409
    assert owner.client.post(path, json={"account": "Owner"} | members).status_code == 403
    assert owner.client.get(path).status_code == 405
