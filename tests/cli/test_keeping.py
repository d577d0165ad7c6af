"""The commands that read and write the database."""

import re
from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from fieldlog.cli import main
from fieldlog.model.account import DEMO_NAME
from fieldlog.store import migrations
from fieldlog.store.accounts import accounts_by_name
from fieldlog.store.records import records_after
from fieldlog.store.session import open_store
from fieldlog.sync.demo import RIG_NAME

PASSWORD = "rain on the awning"


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own for what the commands keep."""
    monkeypatch.setenv("FIELDLOG_DATA", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    return tmp_path


def run(*arguments: str, sent: str = "") -> Result:
    return CliRunner().invoke(main, arguments, input=sent)


def names(folder: Path) -> list[str]:
    store = open_store(f"sqlite:///{folder / 'fieldlog.sqlite3'}")
    migrations.upgrade(store)
    with store.reading() as tx:
        found = [account.name for account in accounts_by_name(tx)]
    store.close()
    return found


def test_migrate_makes_the_database_and_may_run_twice(folder: Path) -> None:
    assert run("migrate").exit_code == 0
    assert run("migrate").exit_code == 0
    assert (folder / "fieldlog.sqlite3").exists()


def test_the_link_is_printed_only_while_there_is_no_account() -> None:
    first = run("link")
    run("user", "add", "Kim", sent=PASSWORD + "\n")
    second = run("link")

    assert re.fullmatch(r"http://127\.0\.0\.1:\d+/first-account\?token=\S{40,}\n", first.stdout)
    assert (second.exit_code, second.stdout) == (0, "")


def test_user_add_reads_the_password_from_standard_input(folder: Path) -> None:
    assert run("user", "add", "Kim", sent=PASSWORD + "\n").exit_code == 0
    assert names(folder) == ["Kim"]


@pytest.mark.parametrize("password", ["short", "password123"])
def test_user_add_refuses_a_poor_password(folder: Path, password: str) -> None:
    refused = run("user", "add", "Kim", sent=password + "\n")

    assert refused.exit_code == 1
    assert names(folder) == []


def test_demo_loads_the_invented_rig_once(folder: Path) -> None:
    first, second = run("demo"), run("demo")

    assert first.exit_code == second.exit_code == 0
    assert "Password:" in first.stdout
    assert "there already" in second.stdout
    assert names(folder) == [DEMO_NAME]


def test_the_demo_takes_nobody_the_link_for_the_first_account() -> None:
    run("demo")

    assert "/first-account?token=" in run("link").stdout


def test_every_demo_record_is_stored_and_none_is_flagged(folder: Path) -> None:
    run("demo")
    store = open_store(f"sqlite:///{folder / 'fieldlog.sqlite3'}")
    with store.reading() as tx:
        account = accounts_by_name(tx)[0]
        entries = records_after(tx, account.id, 0, 1000)
    store.close()

    assert len(entries) > 20
    assert [entry.flags for entry in entries if entry.flags] == []


def test_record_writes_a_pdf_of_the_rig(folder: Path) -> None:
    run("demo")
    pdf = folder / "record.pdf"

    assert run("record", RIG_NAME, "--pdf", str(pdf)).exit_code == 0
    assert RIG_NAME.removesuffix(" (invented)") in PdfReader(pdf).pages[0].extract_text()


def test_record_of_an_unknown_rig_says_so(folder: Path) -> None:
    refused = run("record", "No Such Rig", "--pdf", str(folder / "none.pdf"))

    assert refused.exit_code == 1
    assert not (folder / "none.pdf").exists()
    assert "no such rig" in refused.stderr
