"""A server that no longer holds what it has confirmed: found out by the content of its logs."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pysqlite3
import pytest
from flask import Flask

from fieldlog.model.account import Account
from fieldlog.store.session import Store, write_snapshot
from tests.builders import a_device, a_photo, a_rig, an_arrival_check, an_outlet
from tests.conftest import Clock, an_account
from tests.pictures import a_jpeg
from tests.sync.held import CUT, Held, a_file, ids_in, is_batch
from tests.sync.test_photo_sending import filed

LEAVE = "return leaving.leave(given);"
LOOK = "await photos_missing.lookForMissing('Owner');"
DAY_MS = 24 * 3600 * 1000


@pytest.fixture(autouse=True)
def met(held: Held) -> None:
    held.sync()


@pytest.fixture
def second(app: Flask, clock: Clock, tmp_path: Path, account: Account, held: Held) -> Iterator[Held]:
    """Another phone of the same account."""
    (tmp_path / "second").mkdir()
    second = Held(app, clock, tmp_path / "second")
    second.network = held.network
    second.sign_in(account)
    yield second
    second.phone.kill()


class Past:
    """The server's database as it once was."""

    def __init__(self, store: Store, folder: Path) -> None:
        self._store = store
        self._file = folder / "past.sqlite3"
        write_snapshot(store, self._file)

    def comes_back(self) -> None:
        """Put it in the place of what the database holds, while everybody stays signed in."""
        sessions = self._rows("sessions")
        with pysqlite3.connect(self._file) as past, pysqlite3.connect(self._path()) as live:
            past.backup(live)
            live.execute("DELETE FROM sessions")
            live.executemany(f"INSERT INTO sessions VALUES ({', '.join('?' * len(sessions[0]))})", sessions)

    def _rows(self, table: str) -> list[Any]:
        with pysqlite3.connect(self._path()) as live:
            return list(live.execute(f"SELECT * FROM {table}"))

    def _path(self) -> str:
        return str(self._store.engine.url.database)


@pytest.fixture
def past(store: Store, tmp_path: Path) -> Past:
    """The database as it is before anything is sent."""
    return Past(store, tmp_path)


def lost(held: Held) -> int:
    """Give how much the phone says that the server lacked and was sent again."""
    return int(held.ask("return (await db.get('kept', 'lost'))?.records ?? 0;"))


def test_a_server_that_has_forgotten_nothing_is_asked_for_what_is_new_and_no_more(held: Held) -> None:
    held.keep(*(an_arrival_check() for _ in range(3)))
    held.sync()
    held.asked.clear()
    held.sync()

    assert held.asked == ["GET session", "POST log"]
    assert held.saved() == {"server": 3}
    assert lost(held) == 0


@pytest.mark.parametrize("is_rigs", [True, False])
def test_what_an_older_backup_lacks_is_found_out_at_once_and_sent_again(
    held: Held, account: Account, past: Past, is_rigs: bool
) -> None:
    rig = a_rig()
    records = [rig, an_outlet(rig["id"]), a_device(rig["id"])] if is_rigs else [an_arrival_check()]
    held.keep(*records)
    held.sync()
    past.comes_back()
    assert held.stored(account) == []
    held.between = lambda ask: CUT if is_batch(ask) else None
    held.sync()
    assert held.saved() == {"phone": len(records)}
    held.between = lambda _: None
    held.pass_by(2 * 60_000)
    held.sync()

    assert held.stored(account) == [record["id"] for record in records]
    assert held.saved() == {"server": len(records)}
    assert lost(held) == len(records)


def test_only_what_is_missing_is_sent_again(
    held: Held, account: Account, store: Store, tmp_path: Path
) -> None:
    first, later = an_arrival_check(), an_arrival_check()
    held.keep(first)
    held.sync()
    past = Past(store, tmp_path)
    held.keep(later)
    held.sync()
    past.comes_back()
    batches: list[list[str]] = []
    held.between = lambda ask: batches.append(ids_in(ask)) if is_batch(ask) else None
    held.sync()

    assert batches == [[later["id"]]]
    assert held.stored(account) == [first["id"], later["id"]]
    assert lost(held) == 1


def test_a_log_that_has_grown_past_the_old_place_is_found_out_all_the_same(
    held: Held, second: Held, account: Account, past: Past
) -> None:
    mine, theirs = an_arrival_check(), [an_arrival_check() for _ in range(3)]
    held.keep(mine)
    held.sync()
    past.comes_back()
    second.keep(*theirs)
    second.sync()
    assert len(held.stored(account)) == 3
    held.sync()

    assert held.saved() == {"server": 4}
    assert set(held.stored(account)) == {mine["id"], *(record["id"] for record in theirs)}


def test_records_of_another_phone_are_brought_back_by_whoever_has_them(
    held: Held, second: Held, account: Account, past: Past
) -> None:
    theirs = an_arrival_check()
    second.keep(theirs)
    second.sync()
    held.sync()
    past.comes_back()
    held.sync()

    assert held.stored(account) == [theirs["id"]]
    second.sync()
    assert second.saved() == {"server": 1}


def test_it_is_found_out_as_records_are_sent_and_the_rest_waits_until_it_is_known_what_is_there(
    held: Held, account: Account, past: Past
) -> None:
    held.keep(an_arrival_check())
    held.sync()
    past.comes_back()
    fresh = [an_arrival_check() for _ in range(2)]
    held.keep(*fresh)
    held.between = lambda ask: CUT if ask.address == "/api/log" else None
    held.sync()

    assert held.saved() == {"phone": 1, "server": 2}
    held.between = lambda _: None
    held.sync()
    assert held.saved() == {"server": 3}
    assert len(held.stored(account)) == 3


def test_what_a_receipt_confirmed_and_no_fetch_has_seen_is_missed_as_well(
    held: Held, account: Account, past: Past
) -> None:
    held.between = lambda ask: CUT if ask.address == "/api/log" else None
    held.keep(an_arrival_check())
    held.sync()
    assert held.saved() == {"server": 1}
    past.comes_back()
    held.between = lambda _: None
    held.sync()

    assert len(held.stored(account)) == 1
    assert lost(held) == 1


def test_a_phone_of_an_earlier_release_holds_what_it_was_told_against_the_log(
    held: Held, account: Account
) -> None:
    there, gone = an_arrival_check(), an_arrival_check()
    held.hand_in(account, there)
    held.keep(there, gone)
    held.ask(
        """for (const row of await queue.allRows())
             await db.put("records", null, { ...row, saved: "server", seq: 1, account: "Owner" });
           await db.put("kept", "cursor", 7);"""
    )
    held.sync()

    assert held.saved() == {"server": 2}
    assert set(held.stored(account)) == {there["id"], gone["id"]}
    assert lost(held) == 1


def test_a_photo_goes_again_and_one_that_is_still_there_is_only_asked_for(
    held: Held, account: Account, store: Store, tmp_path: Path
) -> None:
    check, kept, gone = an_arrival_check(), a_jpeg(), a_jpeg(32, 32)
    held.ask(
        "return file.importFile(given);",
        a_file(check, a_photo(check["id"], kept), photos=[filed(kept)]),
    )
    held.sync()
    held.ask("await sending.sendPhotos('Owner');")
    past = Past(store, tmp_path)
    held.ask("return file.importFile(given);", a_file(a_photo(check["id"], gone), photos=[filed(gone)]))
    held.sync()
    held.ask("await sending.sendPhotos('Owner');")
    past.comes_back()
    held.asked.clear()
    held.sync()
    held.ask("await sending.sendPhotos('Owner');")

    assert held.has_photo(account, filed(kept)["hash"]) and held.has_photo(account, filed(gone)["hash"])
    assert f"PUT photos/{filed(kept)['hash']}" not in held.asked
    assert f"PUT photos/{filed(gone)['hash']}" in held.asked


def test_photos_that_nobody_has_any_more_are_listed(
    held: Held, second: Held, account: Account, past: Past
) -> None:
    check, content = an_arrival_check(), a_jpeg()
    photo = a_photo(check["id"], content)
    second.ask("return file.importFile(given);", a_file(check, photo, photos=[filed(content)]))
    second.sync()
    second.ask("await sending.sendPhotos('Owner');")
    held.sync()
    past.comes_back()
    held.sync()
    held.ask(LOOK)

    listed = [{"hash": photo["body"]["hash"], "subject": check["id"], "what": photo["body"]["what"]}]
    assert held.ask("return db.get('kept', 'gone');") == listed
    second.set_clock(DAY_MS)
    second.sync()
    second.ask("await sending.sendPhotos('Owner');")
    held.ask(LOOK)
    assert held.ask("return db.get('kept', 'gone');") == []


@pytest.fixture
def anew(held: Held, store: Store, clock: Clock, account: Account) -> Account:
    """Make the account anew, on a server whose data was lost; the phone holds a record and a waiting one."""
    held.keep(an_arrival_check())
    held.sync()
    held.is_offline = True
    held.keep(an_arrival_check())
    held.is_offline = False
    with pysqlite3.connect(str(store.engine.url.database)) as live:
        for (name,) in live.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            live.execute(f"DROP TRIGGER {name}")  # which keep what was kept
        for table in ("flags", "records", "logs", "sessions", "accounts"):
            live.execute(f"DELETE FROM {table}")
    made = an_account(store, clock, account.name)
    held.sign_in(made)
    return made


def test_an_account_made_anew_is_another_and_gets_nothing_by_itself(held: Held, anew: Account) -> None:
    held.sync()
    held.sync()

    assert held.stored(anew) == []
    assert held.saved() == {}
    assert held.ask("return aside.asideHere();")["records"] == 2


def test_an_account_made_anew_takes_the_old_ones_records_over_when_told_to(held: Held, anew: Account) -> None:
    held.sync()
    held.ask("await aside.takeAsideIn();")
    held.sync()

    assert len(held.stored(anew)) == 2
    assert held.saved() == {"server": 2}
    assert held.ask("return aside.asideHere();")["records"] == 0


def test_another_person_at_the_phone_cannot_take_it_over(
    held: Held, anew: Account, store: Store, clock: Clock
) -> None:
    held.sync()
    held.sign_in(an_account(store, clock, "Colleague"))
    held.sync()
    held.ask("await aside.takeAsideIn();")

    assert held.saved() == {}


def test_before_a_phone_drops_its_copies_the_server_says_whether_it_has_them(
    held: Held, account: Account, past: Past
) -> None:
    held.keep(an_arrival_check(), an_arrival_check())
    held.sync()
    assert held.ask("return asking.askBeforeLeaving();") == {"records": 0, "photos": 0}
    past.comes_back()

    assert held.ask("return asking.askBeforeLeaving();") == {"records": 2, "photos": 0}
    assert held.saved() == {"phone": 2}
    assert "on this phone only" in held.ask("return leaving.leave('sent').catch(({ message }) => message);")


def test_a_server_that_cannot_be_asked_confirms_nothing(held: Held) -> None:
    held.keep(an_arrival_check())
    held.sync()
    held.is_offline = True

    ask = "return asking.askBeforeLeaving().catch((error) => error instanceof asking.NotAsked);"
    assert held.ask(ask) is True


def test_what_could_not_be_asked_for_stays_locked_as_a_whole(held: Held, account: Account) -> None:
    held.keep(an_arrival_check())
    held.sync()
    held.is_offline = True
    held.ask(LEAVE, "locked whole")
    assert held.saved() == {}
    held.is_offline = False
    held.sync()
    held.sign_in(account)
    held.sync()

    assert held.saved() == {"server": 1}


def test_a_photo_that_another_phone_has_not_sent_yet_is_not_said_to_be_gone(
    held: Held, account: Account
) -> None:
    check = an_arrival_check()
    held.hand_in(account, check, a_photo(check["id"], a_jpeg()))
    held.sync()
    held.set_clock(DAY_MS)
    held.ask(LOOK)

    assert held.ask("return db.get('kept', 'gone');") == []
