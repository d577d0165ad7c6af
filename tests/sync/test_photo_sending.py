"""Photos on their way: each for itself, each as its own account's, whatever becomes of the others."""

import base64
import hashlib
import json
from dataclasses import replace
from typing import Any

import pytest

from fieldlog.model.account import Account
from fieldlog.model.bounds import Bounds
from fieldlog.sync.filing import written as exported
from tests.builders import a_photo, an_arrival_check
from tests.pictures import a_jpeg
from tests.sync.held import CUT, Held, a_file, a_problem, answers
from tests.sync.phones import Answer, Ask

LEAVE = "return leaving.leave(given).catch(({ message }) => message);"


MINUTE_MS = 60_000
PHOTOS = "/api/photos/"


@pytest.fixture(autouse=True)
def met(held: Held) -> None:
    held.sync()


def filed(content: bytes, media: str = "image/jpeg") -> dict[str, Any]:
    """Give a photo as it stands in a file."""
    return {
        "hash": hashlib.sha256(content).hexdigest(),
        "type": media,
        "width": 64,
        "height": 48,
        "bytes": len(content),
        "data": base64.b64encode(content).decode(),
    }


def take(held: Held, *contents: bytes) -> list[str]:
    """Put a check with these photos on the phone, and give the hashes of the photos."""
    check = an_arrival_check()
    records = [check, *(a_photo(check["id"], content) for content in contents)]
    photos = [filed(content) for content in contents]
    done = held.ask("return file.importFile(given);", a_file(*records, photos=photos))
    assert done["problems"] == []
    return [photo["hash"] for photo in photos]


def pictures(count: int) -> list[bytes]:
    return [a_jpeg(64, 40 + number) for number in range(count)]


def send(held: Held, account: Account) -> str | None:
    """Send records, then photos, and give what ended the round."""
    held.sync()
    ended: str | None = held.ask(
        "return sending.sendPhotos(given).then(() => null, ({ message }) => message);",
        account.name,
    )
    return ended


def states(held: Held) -> dict[str, list[tuple[str, str]]]:
    """Give the photos in the store, whoever's they are: by hash the accounts and states."""
    found: dict[str, list[tuple[str, str]]] = {}
    rows = held.ask(
        """const rows = await db.transact("photos", "readonly", (store) => store.getAll());
        return rows.map(({ hash, account, saved }) => [hash.slice(0, 64), account, saved]);"""
    )
    for name, account, saved in rows:
        found.setdefault(name, []).append((account, saved))
    return found


def failing(held: Held, name: str, seen: list[str], answer: Answer) -> None:
    """Let something go wrong with each try to send one photo; the others go through."""

    def between(ask: Ask) -> Answer | None:
        if not ask.address.startswith(PHOTOS):
            return None
        seen.append(ask.address.rsplit("/", 1)[1])
        return answer if seen[-1] == name else None

    held.between = between


def all_goes(_: Ask) -> None:
    return None


# Each for itself


@pytest.mark.parametrize(
    "answer",
    [
        Answer(502, "text/html", b"<!doctype html><title>502</title>"),
        answers(500),
        CUT,
    ],
    ids=["a page of some gateway", "a failing server", "a connection cut each time"],
)
def test_a_photo_that_never_gets_through_holds_up_no_other(held: Held, account: Account, answer: Any) -> None:
    hashes = take(held, *pictures(3))
    seen: list[str] = []
    failing(held, min(hashes), seen, answer)  # the first in the store
    for _ in range(3):
        send(held, account)

    assert [name for name in hashes if not held.has_photo(account, name)] == [min(hashes)]
    assert states(held)[min(hashes)] == [(account.name, "phone")]
    assert seen.count(min(hashes)) == 1


def test_a_photo_that_fails_is_tried_again_by_itself_at_most_six_times_an_hour(
    held: Held, account: Account
) -> None:
    (name,) = take(held, *pictures(1))
    seen: list[str] = []
    failing(held, name, seen, answers(500))
    for _ in range(20):
        send(held, account)
        held.pass_by(3 * MINUTE_MS)
    tries = seen.count(name)
    held.between = all_goes
    held.pass_by(80 * MINUTE_MS)
    send(held, account)

    assert 2 <= tries <= 6
    assert held.has_photo(account, name)


def test_a_server_that_asks_to_wait_is_asked_for_no_photo_meanwhile(held: Held, account: Account) -> None:
    hashes = take(held, *pictures(3))
    seen: list[str] = []
    failing(
        held,
        min(hashes),
        seen,
        answers(503, None, ("Retry-After", "90")),
    )
    for _ in range(3):
        send(held, account)
    assert seen == [min(hashes)]
    held.between = all_goes
    held.pass_by(95_000)
    send(held, account)

    assert {state for ((_, state),) in states(held).values()} == {"server"}


def test_a_session_that_ends_blames_no_photo(held: Held, account: Account) -> None:
    hashes = take(held, *pictures(2))

    def ends(ask: Ask) -> Answer | None:
        if not ask.address.endswith(min(hashes)):
            return None
        held.sign_out_elsewhere()
        return answers(401, a_problem("Sign in first."))

    held.between = ends
    assert send(held, account)
    held.between = all_goes
    held.sign_in(account)
    send(held, account)

    assert all(held.has_photo(account, name) for name in hashes)


@pytest.mark.parametrize("media", ["image/jpeg\nX: y", "text/html", "", None, 7])
def test_a_photo_of_a_type_that_is_never_sent_is_left_out_of_a_file(held: Held, media: Any) -> None:
    check, content = an_arrival_check(), a_jpeg()
    text = a_file(check, photos=[{**filed(content), "type": media}])
    done = held.ask("return file.importFile(given);", text)

    assert [said.split(";")[0] for said in done["problems"]] == [
        "Photo 1 of the file is no JPEG, PNG or WebP picture, and the server takes nothing else"
    ]
    assert states(held) == {}


def test_an_older_row_of_such_a_type_is_refused_and_holds_up_no_other(held: Held, account: Account) -> None:
    hashes = take(held, *pictures(2))
    held.ask(
        """const photo = await db.get("photos", given);
        await db.put("photos", null, { ...photo, type: "image/jpeg\\nX: y" });""",
        min(hashes),
    )
    send(held, account)

    assert states(held)[min(hashes)] == [(account.name, "refused")]
    assert held.has_photo(account, max(hashes))


def test_a_refused_photo_is_not_sent_again_by_itself(held: Held, account: Account) -> None:
    check = an_arrival_check()
    content = b"\xff\xd8\xff no picture"
    text = a_file(check, a_photo(check["id"], content), photos=[filed(content)])
    held.ask("return file.importFile(given);", text)
    seen: list[str] = []
    failing(held, "", seen, CUT)
    for _ in range(3):
        send(held, account)

    assert len(seen) == 1
    assert states(held) == {filed(content)["hash"]: [(account.name, "refused")]}


# Each as its own account's


@pytest.mark.parametrize("choice", ["discarded", "sent"])
def test_the_same_picture_of_another_account_is_untouched_by_what_becomes_of_this_ones(
    held: Held, account: Account, other: Account, choice: str
) -> None:
    content = a_jpeg()
    held.is_offline = True
    (name,) = take(held, content)
    assert held.ask(LEAVE, "locked") == {"isTold": False}
    held.is_offline = False
    held.sync()
    held.sign_in(other)
    held.sync()
    assert held.ask("return (await queue.allRows()).length;") == 0
    if choice == "discarded":
        held.between = lambda ask: CUT if ask.address.startswith(PHOTOS) else None
    take(held, content)
    send(held, other)
    held.between = all_goes
    assert held.has_photo(other, name) == (choice == "sent")
    assert (account.name, "phone") in states(held)[name]

    assert held.ask(LEAVE, choice) == {"isTold": True}
    assert states(held) == {name: [(account.name, "phone")]}
    held.sign_in(account)
    send(held, account)
    assert held.has_photo(account, name)
    assert states(held) == {name: [(account.name, "server")]}


def test_a_photo_kept_by_the_page_is_not_written_over_another_accounts(
    held: Held, account: Account, other: Account
) -> None:
    content = a_jpeg()
    held.is_offline = True
    (name,) = take(held, content)
    held.ask(LEAVE, "locked")
    held.is_offline = False
    held.sync()
    held.sign_in(other)
    held.sync()
    (check,) = held.keep_checks(1)
    held.ask(
        """const data = Uint8Array.from(atob(given.photo.data), (sign) => sign.charCodeAt(0)).buffer;
        await photos.keepPhoto({ ...given.photo, data }, given.record);""",
        {"photo": filed(content), "record": a_photo(check, content)},
    )

    assert sorted(states(held)[name]) == sorted([(account.name, "phone"), (other.name, "phone")])


def test_a_photo_that_went_with_another_accounts_session_is_not_said_to_be_on_the_server(
    held: Held, account: Account, other: Account
) -> None:
    content = a_jpeg()
    check = an_arrival_check()
    held.hand_in(other, check, a_photo(check["id"], content))
    (name,) = take(held, content)
    held.sync()
    held.ask("await sending.sendPhotos(given);", account.name)

    def meanwhile(ask: Ask) -> Answer | None:
        if not ask.address.startswith(PHOTOS):
            return None
        held.sign_in(other)
        return answers(200, {"hash": name, "status": "stored", "problems": []})

    held.between = meanwhile
    held.ask('await db.put("photos", null, { ...(await db.get("photos", given)), saved: "phone" });', name)
    held.ask("await sending.sendPhotos(given).catch(() => {});", account.name)

    assert states(held)[name] == [(account.name, "phone")]


# What a file carries


@pytest.fixture
def log_file(held: Held, account: Account) -> str:
    """What the program writes of an account with one photo, which the server drew anew."""
    content = a_jpeg(quality=95)
    check = an_arrival_check()
    record = a_photo(check["id"], content)
    held.hand_in(account, check, record)
    inbox = held.photo_inbox(account)
    assert inbox.receive(record["body"]["hash"], content, held.clock()).status == "stored"
    text = "".join(exported(held.parts.store, inbox.blobs, account, held.clock()))
    assert json.loads(text)["photos"][0]["kept"] != record["body"]["hash"]
    return text


def test_a_file_of_the_program_with_a_photo_opens_on_a_phone_and_stays_what_it_is(
    held: Held, account: Account, log_file: str
) -> None:
    done = held.ask("return file.importFile(given);", log_file)
    send(held, account)
    (photo,) = json.loads(log_file)["photos"]
    again = json.loads(held.ask("return file.exportFile({ all: true });")["text"])["photos"]

    assert done["problems"] == [] and done["photos"] == 1
    assert states(held) == {photo["hash"]: [(account.name, "server")]}
    assert again == [photo]


def test_a_servers_copy_that_this_server_does_not_have_is_not_said_to_be_there(
    held: Held, other: Account, log_file: str
) -> None:
    held.sign_in(other)
    held.sync()
    file = json.loads(log_file)
    check = an_arrival_check()
    content = base64.b64decode(file["photos"][0]["data"])
    record = a_photo(check["id"], content)
    record["body"]["hash"] = file["photos"][0]["hash"]
    text = json.dumps({**file, "records": [check, record]})
    held.ask("return file.importFile(given);", text)
    send(held, other)

    assert states(held) == {file["photos"][0]["hash"]: [(other.name, "refused")]}
    assert not held.has_photo(other, file["photos"][0]["hash"])


def test_a_damaged_copy_of_the_server_is_left_out(held: Held, log_file: str) -> None:
    file = json.loads(log_file)
    data = base64.b64decode(file["photos"][0]["data"])
    file["photos"][0]["data"] = base64.b64encode(data[:-1] + b"?").decode()
    done = held.ask("return file.importFile(given);", json.dumps(file))

    assert [said.split(";")[0] for said in done["problems"]] == ["Photo 1 of the file is damaged"]


def test_a_photo_for_which_the_server_has_no_room_stays_says_so_and_goes_later(
    held: Held, account: Account
) -> None:
    settings = held.parts.settings
    held.set_parts(settings=replace(settings, bounds=Bounds(photos_mb=0)))
    [name] = take(held, a_jpeg())
    send(held, account)
    row = held.ask("return db.get('photos', given);", name)
    row.pop("data", None)

    assert row["saved"] == "phone" and not held.has_photo(account, name)
    assert "The photos of this account may have 0 MB." in row["problems"][0]["problem"]
    held.set_parts(settings=settings)
    held.pass_by(20 * MINUTE_MS)
    send(held, account)
    assert held.has_photo(account, name)
