"""An account's log written into a file, and read in again."""

import base64
import hashlib
import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from fieldlog.cli import main
from fieldlog.store.accounts import accounts_by_name
from fieldlog.store.records import records_after
from fieldlog.store.session import Store, open_store
from tests.builders import a_device, a_photo, a_rig, a_trip_test, an_arrival_check, an_id, an_outlet
from tests.pictures import a_jpeg

PASSWORD = "rain on the awning"


class Machine:
    """A machine with a database of its own, and one account."""

    def __init__(self, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        self.folder = folder
        self._monkeypatch = monkeypatch
        self.run("user", "add", "Kim", sent=PASSWORD + "\n")

    def run(self, *arguments: str, sent: str = "") -> Result:
        """Run a command here."""
        self._monkeypatch.setenv("FIELDLOG_DATA", str(self.folder))
        return CliRunner().invoke(main, arguments, input=sent)

    def read_in(self, **members: Any) -> Result:
        """Have a file with these members taken in."""
        return self.run("import", str(self.write(**members)), "--account", "Kim")

    def write(self, **members: Any) -> Path:
        """Write a file as a phone does."""
        path = self.folder / "phone.json"
        whole = {"what": "fieldlog phone export", "version": 1, "made_at": "2026-11-25T10:31:07.123+01:00"}
        path.write_text(json.dumps({**whole, "account": "Kim", "records": [], "photos": [], **members}))
        return path

    def hashes(self) -> list[str]:
        """Give the hashes of all records, in the order of the log."""
        store: Store = open_store(f"sqlite:///{self.folder / 'fieldlog.sqlite3'}")
        with store.reading() as tx:
            account = accounts_by_name(tx)[0]
            found = [entry.hash for entry in records_after(tx, account.id, 0, 10_000)]
        store.close()
        return found

    def exported(self) -> dict[str, Any]:
        """Give what the account's file holds."""
        path = self.folder / "out.json"
        answer = self.run("export", str(path), "--account", "Kim")
        assert answer.exit_code == 0, answer.output
        found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
        return found


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Machine]:
    """A machine."""
    monkeypatch.delenv("DATABASE_URL", raising=False)
    monkeypatch.delenv("FIELDLOG_PHOTOS", raising=False)
    yield Machine(tmp_path / "here", monkeypatch)


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Machine]:
    """Another machine."""
    yield Machine(tmp_path / "there", monkeypatch)


def a_log_of_a_rig() -> list[dict[str, Any]]:
    """Give a rig with its parts, a test, and a correction."""
    rig = a_rig()
    device, outlet = a_device(rig["id"]), an_outlet(rig["id"], "Galley “é”")
    trip = a_trip_test(rig["id"], device["id"])
    renamed = {**outlet, "id": an_id(), "corrects": outlet["id"], "reason": "spelling"}
    return [rig, device, outlet, trip, renamed, *(an_arrival_check() for _ in range(120))]


def a_filed_photo(content: bytes, **members: Any) -> dict[str, Any]:
    """Give a photo as a phone writes it into a file."""
    written = {"hash": hashlib.sha256(content).hexdigest(), "type": "image/jpeg", "width": 640, "height": 480}
    return {**written, "bytes": len(content), "data": base64.b64encode(content).decode(), **members}


def test_a_log_written_here_and_read_in_there_has_the_same_hashes(here: Machine, there: Machine) -> None:
    assert here.read_in(records=a_log_of_a_rig()).exit_code == 0
    path = here.folder / "out.json"

    assert here.run("export", str(path), "--account", "Kim").exit_code == 0
    answer = there.run("import", str(path), "--account", "Kim")

    assert answer.exit_code == 0, answer.output
    assert "records: 125 stored, 0 known, 0 refused" in answer.output
    assert there.hashes() == here.hashes() and len(here.hashes()) == 125


def test_reading_a_file_in_twice_changes_nothing(here: Machine) -> None:
    records = a_log_of_a_rig()
    here.read_in(records=records)
    before = here.hashes()

    again = here.read_in(records=records)

    assert (again.exit_code, here.hashes()) == (0, before)
    assert "records: 0 stored, 125 known, 0 refused" in again.output


def test_what_stands_before_that_which_it_speaks_of_is_tried_again_after_it(here: Machine) -> None:
    answer = here.read_in(records=a_log_of_a_rig()[::-1])

    assert answer.exit_code == 0, answer.output
    assert "records: 125 stored, 0 known, 0 refused" in answer.output


def test_a_refused_record_is_told_with_its_reason_and_the_rest_is_kept(here: Machine) -> None:
    lost = a_trip_test(an_id(), an_id())

    answer = here.read_in(records=[an_arrival_check(), lost, 3, an_arrival_check()])

    assert answer.exit_code == 1
    assert "records: 2 stored, 0 known, 2 refused" in answer.output
    assert (
        f"Record 2 ({lost['id']}): /rig This rig is not in your log; send its record first." in answer.output
    )
    assert "Record 3 (no id): 3 is not a record" in answer.output
    assert len(here.hashes()) == 2


def test_what_a_terminal_would_obey_is_not_printed(here: Machine) -> None:
    answer = here.read_in(records=[an_arrival_check() | {"\x1b[2J": 1}])

    assert "\x1b" not in answer.output
    assert "\N{REPLACEMENT CHARACTER}[2J" in answer.output


def test_a_photo_of_a_phone_is_kept_and_goes_with_the_log(here: Machine, there: Machine) -> None:
    content, check = a_jpeg(), an_arrival_check()
    records = [check, a_photo(check["id"], content)]

    answer = here.read_in(records=records, photos=[a_filed_photo(content)])
    moved = (
        there.run("import", str(here.folder / "out.json"), "--account", "Kim") if here.exported() else None
    )

    assert "photos: 1 stored, 0 known, 0 refused" in answer.output
    assert moved is not None and "photos: 1 stored, 0 known, 0 refused" in moved.output
    assert [photo["hash"] for photo in there.exported()["photos"]] == [hashlib.sha256(content).hexdigest()]


@pytest.mark.parametrize(
    "broken",
    [{"data": "!"}, {"data": base64.b64encode(b"another").decode()}, {"kept": "0" * 64}, {"data": None}],
)
def test_a_damaged_photo_is_refused_and_the_records_are_kept(here: Machine, broken: dict[str, Any]) -> None:
    content, check = a_jpeg(), an_arrival_check()
    records = [check, a_photo(check["id"], content)]

    answer = here.read_in(records=records, photos=[a_filed_photo(content, **broken)])

    assert answer.exit_code == 1
    assert "records: 2 stored" in answer.output and "photos: 0 stored, 0 known, 1 refused" in answer.output


@pytest.mark.parametrize(
    "bad",
    [
        None,
        3,
        [],
        "x",
        {},
        {"hash": "\ud800"},
        {"hash": 5},
        {"hash": None},
        {"hash": ["0" * 64]},
        {"hash": "0" * 63},
        {"hash": "A" * 64},
        {"hash": "0" * 64 + "\n"},
        {"data": 5},
        {"data": ["x"]},
        {"data": ""},
        {"data": "\ud800"},
        {"data": "x" * (16 * 1024 * 1024 + 4)},
        {"kept": 5},
        {"kept": "\ud800"},
        {"kept": None},
    ],
)
def test_a_photo_of_any_other_shape_is_refused_and_the_next_one_is_kept(here: Machine, bad: Any) -> None:
    content, check = a_jpeg(), an_arrival_check()
    records = [check, a_photo(check["id"], content)]
    hostile = a_filed_photo(content, **bad) if isinstance(bad, dict) and bad else bad

    answer = here.read_in(records=records, photos=[hostile, a_filed_photo(content)])

    assert isinstance(answer.exception, SystemExit), answer.exception
    assert "records: 2 stored" in answer.output
    assert "photos: 1 stored, 0 known, 1 refused" in answer.output
    assert len(answer.output) < 1000


@pytest.mark.parametrize(
    "bad",
    [None, 3, [], "x", {}, {"id": "\ud800"}, {"\ud800": []}, {"id": ["x"]}, {"kind": {}}, {"x": [[[[]]]]}],
)
def test_a_record_of_any_other_shape_is_refused_and_the_next_one_is_kept(here: Machine, bad: Any) -> None:
    hostile = an_arrival_check() | bad if isinstance(bad, dict) and bad else bad

    answer = here.read_in(records=[hostile, an_arrival_check()])

    assert isinstance(answer.exception, SystemExit), answer.exception
    assert "records: 1 stored, 0 known, 1 refused" in answer.output


def test_a_photo_that_no_record_speaks_of_is_refused(here: Machine) -> None:
    content = a_jpeg()
    kept = {"kept": hashlib.sha256(content).hexdigest()}

    for members in ({}, kept):
        answer = here.read_in(photos=[a_filed_photo(content, **members)])
        assert (answer.exit_code, "No record" in answer.output) == (1, True)


@pytest.mark.parametrize(
    ("members", "told"),
    [
        ({"what": "something else"}, "not a file that a phone or fieldlog export wrote"),
        ({"version": "\ud800" * 5000}, "This file is of version"),
        ({"version": 2}, "This file is of version 2; this program reads version 1."),
        ({"records": None}, "has no list of records"),
        ({"photos": {}}, "has no list of records"),
    ],
)
def test_another_file_is_not_taken_for_a_log(here: Machine, members: dict[str, Any], told: str) -> None:
    answer = here.read_in(**members)

    assert answer.exit_code == 1
    assert told in answer.output


def test_a_file_that_was_cut_off_is_told_so(here: Machine) -> None:
    path = here.write(records=[an_arrival_check()])
    path.write_bytes(path.read_bytes()[:-20])

    answer = here.run("import", str(path), "--account", "Kim")

    assert (answer.exit_code, here.hashes()) == (1, [])
    assert "not JSON" in answer.output


@pytest.mark.parametrize("command", ["import", "export"])
def test_an_account_that_is_not_there_is_told_so(here: Machine, command: str) -> None:
    answer = here.run(command, str(here.write()), "--account", "Nobody")

    assert answer.exit_code == 1
    assert "There is no account Nobody" in answer.output


def test_the_file_is_in_the_form_of_a_phone_and_holds_only_the_account(here: Machine) -> None:
    record = an_arrival_check()
    here.read_in(records=[record])
    here.run("user", "add", "Lee", sent=PASSWORD + "\n")
    here.run("import", str(here.write(records=[an_arrival_check()])), "--account", "Lee")

    file = here.exported()

    assert list(file) == ["what", "version", "made_at", "account", "records", "photos"]
    assert (file["what"], file["version"], file["account"]) == ("fieldlog phone export", 1, "Kim")
    assert (file["records"], file["photos"]) == ([record], [])
