"""The commands of a signed record: written, verified, held against a checkpoint, and the key handed over."""

import json
from pathlib import Path
from zipfile import ZipFile

import pytest
from click.testing import CliRunner, Result
from pypdf import PdfReader

from fieldlog.cli import main
from fieldlog.sync.demo import RIG_NAME


@pytest.fixture(autouse=True)
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder of its own for what the commands keep, with the invented rig."""
    monkeypatch.setenv("FIELDLOG_DATA", str(tmp_path))
    monkeypatch.delenv("DATABASE_URL", raising=False)
    assert run("demo").exit_code == 0
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(main, arguments)


def test_a_signed_record_is_written_and_holds_before_and_after_the_key_changed_hands(folder: Path) -> None:
    first, second = folder / "first.json", folder / "second.json"
    assert run("record", RIG_NAME, "--bundle", str(first)).exit_code == 0
    kept = run("checkpoint", RIG_NAME).stdout.strip()
    fingerprint = run("key").stdout.partition("Fingerprint: ")[2].splitlines()[0]
    assert run("key", "--hand-over").exit_code == 0
    assert run("record", RIG_NAME, "--bundle", str(second), "--with-arrivals", "--with-photos").exit_code == 0

    told = run("verify", str(first), str(second), "--checkpoint", kept, "--issuer", fingerprint)

    assert told.exit_code == 0, told.output
    assert told.stdout.count("Entered by the owner. Not an inspection.") == 2
    assert told.stdout.count("nothing was changed, dropped or put in between") == 2
    assert json.loads(second.read_bytes())["credentialSubject"]["outlined"] == []


def test_a_record_that_was_changed_is_refused_with_the_reason_and_exit_status_1(folder: Path) -> None:
    file = folder / "record.json"
    run("record", RIG_NAME, "--bundle", str(file))
    good = file.read_text(encoding="utf-8")
    file.write_text(good.replace('"name": "', '"name": "x', 1), encoding="utf-8")

    told = run("verify", str(file))

    assert told.exit_code == 1
    assert "the document is not what was signed" in told.stderr and told.stdout == ""


# The drawing library leaves the file of its colour profile open.
@pytest.mark.filterwarnings("ignore::pytest.PytestUnraisableExceptionWarning")
def test_a_pdf_carries_the_record_that_it_shows(folder: Path) -> None:
    pdf, file, bare = folder / "record.pdf", folder / "record.json", folder / "bare.pdf"
    assert run("record", RIG_NAME, "--pdf", str(pdf), "--bundle", str(file)).exit_code == 0
    assert run("record", RIG_NAME, "--pdf", str(bare)).exit_code == 0
    told = run("verify", str(pdf), str(bare))

    assert PdfReader(pdf).attachments["signed-record.json"] == [file.read_bytes()]
    assert (told.exit_code, told.stdout.count("This holds")) == (1, 1)
    assert f"{bare}: This record is refused: this PDF carries no signed record" in told.stderr


def test_what_is_to_be_written_or_verified_has_to_be_said(folder: Path) -> None:
    for arguments, why in (
        (("record", RIG_NAME), "--pdf FILE for people, --bundle FILE for machines"),
        (("verify",), "FILE… are signed records"),
        (("verify", "--log", str(folder / "fieldlog.sqlite3")), "FILE… are signed records"),
    ):
        told = run(*arguments)
        assert (told.exit_code, why in told.stderr) == (2, True), told.output


def test_a_line_that_is_no_checkpoint_is_refused(folder: Path) -> None:
    file = folder / "record.json"
    run("record", RIG_NAME, "--bundle", str(file))

    told = run("verify", str(file), "--checkpoint", "x")

    assert (told.exit_code, "This is no checkpoint" in told.stderr) == (1, True)


def test_no_backup_takes_the_key_that_signs(folder: Path) -> None:
    run("key")
    copy = folder / "copy.zip"
    assert run("backup", str(copy)).exit_code == 0

    key = (folder / "signing/1.key").read_bytes()
    with ZipFile(copy) as made:
        held = {name: made.read(name) for name in made.namelist()}
    assert not any("signing" in name or key in content for name, content in held.items())
    assert any(name.startswith("keys/") for name in held), "those of sessions are in it"
