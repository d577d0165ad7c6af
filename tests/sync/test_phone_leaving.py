"""Signing out with records on the phone, another person at it, and what a file carries over."""

import base64
import hashlib
import json
from typing import Any

import pytest

from fieldlog.model.account import Account
from tests.builders import a_record, a_rig, an_arrival_check, an_outlet
from tests.sync.held import CUT, Held, a_file
from tests.sync.phones import Answer, Ask

LEAVE = "return leaving.leave(given).catch(({ message }) => message);"
BYTES = bytes(range(256)) * 200


@pytest.fixture(autouse=True)
def met(held: Held) -> None:
    held.sync()


def no_photo_goes(ask: Ask) -> Answer | None:
    return CUT if ask.address.startswith("/api/photos/") else None


def no_record_goes(ask: Ask) -> Answer | None:
    return CUT if ask.address.startswith("/api/records") else None


def all_goes(_: Ask) -> None:
    return None


def everything(held: Held) -> dict[str, Any]:
    """Give all that the phone's store holds, whoever is at the phone."""
    found: dict[str, Any] = held.ask(
        """const found = {};
        for (const name of ["records", "photos", "drafts", "remembered", "kept"])
          found[name] = await db.transact(name, "readonly", (rows) => rows.getAllKeys());
        return found;"""
    )
    return found


def a_photo(of: str | None = None, data: bytes = BYTES) -> dict[str, Any]:
    digest = hashlib.sha256(data).hexdigest()
    text = base64.b64encode(data).decode()
    return {
        "hash": of or digest,
        "type": "image/jpeg",
        "width": 3,
        "height": 2,
        "bytes": len(data),
        "data": text,
    }


def test_what_one_person_leaves_locked_is_never_sent_as_another_and_goes_when_the_first_is_back(
    held: Held, account: Account, other: Account
) -> None:
    held.is_offline = True
    ids = held.keep_checks(20)
    assert held.ask(LEAVE, "locked") == {"isTold": False}
    assert held.saved() == {}
    assert held.ask("return queue.rowOf(given) ?? null;", ids[0]) is None
    assert held.ask("return queue.lockedCounts();") == [{"account": account.name, "count": 20}]

    held.is_offline = False
    held.sync()
    held.sign_in(other)
    own = held.keep_checks(1)
    held.sync()
    assert held.stored(other) == own
    assert held.ask("return queue.lockedCounts();") == [{"account": account.name, "count": 20}]
    assert held.stored(account) == []

    assert held.ask(LEAVE, "sent") == {"isTold": True}
    held.sign_in(account)
    held.sync()
    assert held.stored(account) == ids
    assert held.saved() == {"server": 20}


def test_records_of_nobody_become_those_of_whoever_signs_in_first(
    held: Held, account: Account, other: Account
) -> None:
    held.ask(LEAVE, "sent")
    (identity,) = held.keep_checks(1)
    held.between = no_record_goes
    held.sign_in(account)
    held.sync()
    assert held.row(identity)["account"] == account.name
    held.between = all_goes
    held.sign_in(other)
    held.sync()

    assert held.stored(other) == []
    assert held.ask("return queue.lockedCounts();") == [{"account": account.name, "count": 1}]


def test_leaving_as_if_all_were_sent_is_refused_while_something_is_not(held: Held) -> None:
    held.keep_checks(2)
    before = everything(held)

    assert "2 records are on this phone only" in held.ask(LEAVE, "sent")
    assert everything(held) == before


def test_leaving_as_if_all_were_sent_is_refused_while_a_photo_is_not(held: Held) -> None:
    held.between = no_photo_goes
    held.keep_checks(1)
    (check,) = held.ask("return queue.allRows();")
    photo = a_photo()
    body = {key: photo[key] for key in ("hash", "bytes", "type", "width", "height")} | {"what": ""}
    held.ask(
        "return file.importFile(given);",
        a_file(a_record("photo", body, subject=check["id"]), photos=[photo]),
    )
    held.sync()
    assert held.saved() == {"server": 2}

    assert "1 photo is on this phone only" in held.ask(LEAVE, "sent")
    assert held.saved() == {"server": 2}


@pytest.mark.parametrize(("choice", "left"), [("sent", 0), ("locked", 1), ("discarded", 0)])
def test_leaving_takes_what_is_the_accounts_off_the_phone(
    held: Held, account: Account, choice: str, left: int
) -> None:
    held.keep_checks(1)
    held.sync()
    there, waiting = a_photo(data=b"there"), a_photo(data=b"waiting")
    held.ask("return file.importFile(given);", a_file(photos=[there, waiting]))
    held.ask(
        """for (const hash of given) {
          const photo = await db.get("photos", hash);
          await db.put("photos", null, { ...photo, saved: "server" });
        }
        await db.put("drafts", "arrive", { step: "where" });
        await db.put("remembered", "check", { by: "meter" });
        sessionStorage.setItem("fieldlog-draft:arrive", "{}");""",
        [there["hash"], *([waiting["hash"]] if choice == "sent" else [])],
    )
    if choice != "sent":
        held.keep_checks(1)
    assert "isTold" in held.ask(LEAVE, choice)
    found = everything(held)

    assert len(found["records"]) == left
    assert found["photos"] == ([waiting["hash"]] if choice == "locked" else [])
    assert found["drafts"] == ([["arrive", account.name]] if choice == "locked" else [])
    assert found["remembered"] == []
    locked = {"identities"} if choice == "locked" else set()
    assert set(found["kept"]) <= {"clock", "asked_to_stay", "forgot", *locked}
    assert held.ask("return Object.keys(sessionStorage).length;") == (1 if choice == "locked" else 0)


def test_a_sign_out_without_the_server_is_told_to_it_before_anything_else(
    held: Held, account: Account
) -> None:
    held.is_offline = True
    assert held.ask(LEAVE, "sent") == {"isTold": False}
    held.keep_checks(1)
    held.sync()
    assert "leaving" in everything(held)["kept"]
    held.is_offline = False
    held.asked.clear()
    held.sync()

    assert held.asked == ["GET session", "DELETE session"]
    assert "leaving" not in everything(held)["kept"]
    assert held.saved() == {"phone": 1}
    assert held.ask("return flush.standing.signedIn;") is False


def test_a_sign_in_after_a_sign_out_that_the_server_never_heard_of_holds(
    held: Held, account: Account
) -> None:
    held.is_offline = True
    held.ask(LEAVE, "sent")
    held.is_offline = False
    held.sign_in(account)
    held.sync()

    assert held.ask("return [flush.standing.signedIn, flush.standing.name];") == [True, account.name]
    assert "leaving" not in everything(held)["kept"]


def test_what_is_under_way_when_a_person_leaves_stays_off_the_phone(held: Held, account: Account) -> None:
    held.hand_in(account, *(an_arrival_check() for _ in range(3)))
    held.ask(
        """const real = fetch;
        globalThis.fetch = async (address, options) => {
          const answer = await real(address, options);
          if (address === "/api/log") {
            globalThis.fetch = () => Promise.reject(new TypeError("no way"));
            await leaving.leave("sent");
          }
          return answer;
        };
        await flush.sync();"""
    )

    found = everything(held)
    assert found["records"] == []
    assert set(found["kept"]) <= {"clock", "asked_to_stay", "leaving", "forgot"}


def test_a_file_brings_everything_back_into_a_wiped_phone_once(held: Held, account: Account) -> None:
    rig = a_rig()
    records = [rig, an_outlet(rig["id"]), an_arrival_check(made_by="Zoë"), an_arrival_check()]
    held.keep(*records)
    held.ask("return file.importFile(given);", a_file(photos=[a_photo()]))
    written = held.ask("return file.exportFile({ all: false });")
    held.wipe()
    assert held.saved() == {}
    first = held.ask("return file.importFile(given);", written["text"])
    again = held.ask("return file.importFile(given);", written["text"])
    photo = held.ask(
        "const found = await db.get('photos', given); return [...new Uint8Array(found.data)];",
        a_photo()["hash"],
    )
    held.sync()
    after = held.ask("return file.importFile(given);", written["text"])

    assert written["count"] == 4
    assert written["name"].startswith("fieldlog-unsent-")
    assert json.loads(written["text"])["records"] == records
    assert first == {"kept": 4, "known": 0, "photos": 1, "problems": []}
    assert again == after == {"kept": 0, "known": 4, "photos": 0, "problems": []}
    assert bytes(photo) == BYTES
    assert held.records(account) == records
    assert held.ask("return file.exportFile({ all: false });")["count"] == 0
    assert held.ask("return file.exportFile({ all: true });")["count"] == 4


def test_a_file_writes_over_nothing_and_names_what_it_leaves_out(held: Held) -> None:
    here = an_arrival_check()
    held.keep(here)
    damaged = a_photo(of="0" * 64)
    text = a_file({**here, "made_by": "Robin"}, {"id": "no"}, an_arrival_check(), photos=[damaged])
    done = held.ask("return file.importFile(given);", text)

    assert (done["kept"], done["known"]) == (1, 0)
    assert [said.split(";")[0] for said in done["problems"]] == [
        "Entry 2 of the file is no record",
        "Photo 1 of the file is damaged",
        f"Another text of record {here['id']} is on this phone already and stays",
    ]
    assert held.row(here["id"])["record"] == here


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("{", "not a file that a phone of this log wrote"),
        ('{"records": []}', "not a file that a phone of this log wrote"),
        ('{"what": "fieldlog phone export", "version": 2, "records": [], "photos": []}', "version 2"),
    ],
)
def test_another_file_is_refused_in_a_sentence(held: Held, text: str, sentence: str) -> None:
    done = held.ask("return file.importFile(given);", text)

    assert (done["kept"], done["known"], len(done["problems"])) == (0, 0, 1)
    assert sentence in done["problems"][0]
