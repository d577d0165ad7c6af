"""The commands that keep the whole server from being lost."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from fieldlog.cli import main
from fieldlog.store.session import open_store

PASSWORD = "rain on the awning"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own for what the commands keep, with the invented rig in it."""
    monkeypatch.setenv("FIELDLOG_DATA", str(tmp_path / "old"))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    assert run("demo").exit_code == 0
    return tmp_path


def run(*arguments: str, sent: str = "") -> Result:
    return CliRunner().invoke(main, arguments, input=sent)


def test_a_server_is_backed_up_lost_and_put_back(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    backup = str(folder / "fieldlog.zip")
    made = run("backup", backup)
    monkeypatch.setenv("FIELDLOG_DATA", str(folder / "new"))
    back = run("restore", backup)
    walked = run("verify", "--log")

    assert (made.exit_code, back.exit_code, walked.exit_code) == (0, 0, 0)
    assert "read again and whole" in made.stdout
    assert "Everybody is signed out" in back.stdout and "Passwords are those of the backup" in back.stdout
    assert "every entry follows from the one before" in walked.stdout


def test_what_cannot_be_put_back_ends_with_a_sentence(folder: Path) -> None:
    backup = str(folder / "fieldlog.zip")
    run("backup", backup)

    again, refused = run("backup", backup), run("restore", backup)

    assert (again.exit_code, refused.exit_code) == (1, 1)
    assert "is there already" in again.stderr and "Name an empty folder" in refused.stderr


def test_verify_names_the_entry_that_was_changed_in_the_file(folder: Path) -> None:
    store = open_store(f"sqlite:///{folder / 'old' / 'fieldlog.sqlite3'}")
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql("UPDATE records SET text = text || ' ' WHERE position = 2")
    store.close()

    walked = run("verify", "--log")

    assert walked.exit_code == 1
    assert "entry 2 does not hold" in walked.stderr


def test_verify_asks_what_to_verify() -> None:
    assert run("verify").exit_code == 2


def test_a_database_elsewhere_is_left_to_its_own_tools(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("DATABASE_URL", "postgresql:///fieldlog")

    refused = run("backup", str(folder / "fieldlog.zip"))

    assert refused.exit_code == 1
    assert "tools of your database" in refused.stderr


def test_a_database_of_a_later_version_is_named_and_left_alone(folder: Path) -> None:
    store = open_store(f"sqlite:///{folder / 'old' / 'fieldlog.sqlite3'}")
    with store.writing() as tx:
        tx.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    store.close()

    refused = run("migrate")

    assert refused.exit_code == 1
    assert "later version" in refused.stderr
