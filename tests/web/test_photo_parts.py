"""A photo that comes in parts: each stays, whoever breaks off, and the whole is held against its name."""

from datetime import timedelta
from typing import Any

import pytest

from fieldlog.model.bounds import Bounds
from fieldlog.store.photo_parts import part_bytes_of
from fieldlog.store.session import Store
from tests.builders import a_photo, an_arrival_check
from tests.conftest import OUR_PAGE, Clock, Person
from tests.pictures import a_jpeg

CONTENT = a_jpeg(640, 480)
PART = 512


@pytest.fixture
def name(owner: Person) -> str:
    """The name of a photo whose record is here."""
    check = an_arrival_check()
    photo = a_photo(check["id"], CONTENT)
    owner.send(check, photo)
    return str(photo["body"]["hash"])


def send(person: Person, name: str, start: int, content: bytes) -> Any:
    """Send a part as a page of the site does."""
    path = f"/api/photos/{name}/parts/{start}"
    return person.client.put(path, data=content, content_type="application/octet-stream", headers=OUR_PAGE)


def here(person: Person, name: str) -> Any:
    """Ask where to go on."""
    return person.client.get(f"/api/photos/{name}/parts").json


def send_all(person: Person, name: str, content: bytes = CONTENT) -> Any:
    """Send all parts that are not here yet, and give the last answer."""
    answer = here(person, name)
    while answer["status"] == "partial":
        start = answer["here"]
        answer = send(person, name, start, content[start : start + PART]).json
    return answer


def test_a_photo_in_parts_is_kept_as_the_whole_would_be(owner: Person, name: str, store: Store) -> None:
    assert len(CONTENT) > 3 * PART
    assert send_all(owner, name) == {"hash": name, "status": "stored", "problems": []}
    assert owner.client.get(f"/api/photos/{name}").status_code == 200
    assert here(owner, name)["status"] == "known"
    assert owner.account is not None
    with store.reading() as tx:
        assert part_bytes_of(tx, owner.account.id) == 0


def test_what_was_here_before_a_break_is_not_asked_for_again(owner: Person, name: str) -> None:
    assert send(owner, name, 0, CONTENT[:PART]).json["here"] == PART

    assert here(owner, name) == {"hash": name, "status": "partial", "here": PART, "problems": []}


@pytest.mark.parametrize("start", [0, PART - 1, PART + 1, 3 * PART])
def test_a_part_that_does_not_follow_is_left_alone_and_told_where_to_go_on(
    owner: Person, name: str, start: int
) -> None:
    send(owner, name, 0, CONTENT[:PART])

    assert send(owner, name, start, CONTENT[start : start + PART]).json["here"] == PART
    assert send_all(owner, name)["status"] == "stored"


def test_a_part_that_goes_beyond_the_whole_is_left_alone(owner: Person, name: str) -> None:
    assert send(owner, name, 0, CONTENT + b"more").json["here"] == 0


def test_a_whole_that_has_another_hash_is_refused_and_begun_anew(owner: Person, name: str) -> None:
    spoiled = CONTENT[:-1] + bytes([CONTENT[-1] ^ 1])
    answer = send_all(owner, name, spoiled)

    assert (answer["status"], answer["problems"][0]["at"]) == ("refused", "/hash")
    assert here(owner, name)["here"] == 0
    assert send_all(owner, name)["status"] == "stored"


def test_parts_that_nobody_goes_on_with_are_dropped_after_fourteen_days(
    owner: Person, name: str, store: Store, clock: Clock
) -> None:
    check = an_arrival_check()
    other = a_photo(check["id"], a_jpeg(320, 240))
    owner.send(check, other)
    send(owner, name, 0, CONTENT[:PART])
    for days, left in ((13, PART), (2, 0)):
        clock.pass_by(timedelta(days=days))
        send(owner, other["body"]["hash"], 0, b"x")
        assert here(owner, name)["here"] == left


def test_unfinished_photos_count_among_what_an_account_may_have(
    owner: Person, name: str, app: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    settings = app.extensions["fieldlog"].settings
    object.__setattr__(settings, "bounds", Bounds(photos_mb=0))

    assert send(owner, name, 0, CONTENT[:PART]).status_code == 507
    assert here(owner, name)["here"] == 0


def test_a_part_is_taken_from_its_account_and_its_own_page_alone(
    owner: Person, colleague: Person, stranger: Person, name: str
) -> None:
    path = f"/api/photos/{name}/parts/0"

    assert send(stranger, name, 0, CONTENT[:PART]).status_code == 401
    assert stranger.client.get(f"/api/photos/{name}/parts").status_code == 401
    assert send(colleague, name, 0, CONTENT[:PART]).status_code == 404
    assert colleague.client.get(f"/api/photos/{name}/parts").status_code == 404
    assert owner.client.put(path, data=CONTENT[:PART]).status_code == 403
    assert owner.client.get(path).status_code == 405
    assert owner.client.get("/api/photos/x/parts").status_code == 404
    assert send(owner, name, 0, bytes(256 * 1024 + 1)).status_code == 413
    assert here(owner, name)["here"] == 0
