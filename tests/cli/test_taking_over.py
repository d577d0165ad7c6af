"""A rig's whole log taken over from another installation by its signed record, hashes and all."""

import json
from pathlib import Path
from typing import Any

import pytest

from fieldlog.sync.demo import RIG_NAME
from tests.cli.test_filing import Machine

ALL = ("--with-arrivals", "--with-photos")


@pytest.fixture
def there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    """The installation of who hands over, with the invented rig."""
    machine = Machine(tmp_path / "there", monkeypatch)
    assert machine.run("demo").exit_code == 0
    return machine


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Machine:
    """The installation of the new owner."""
    return Machine(tmp_path / "here", monkeypatch)


def signed_by(machine: Machine, *options: str, name: str = "record.json") -> Path:
    file = machine.folder / name
    done = machine.run("record", RIG_NAME, "--bundle", str(file), *options)
    assert done.exit_code == 0, done.output
    return file


def log_in(file: Path) -> dict[str, Any]:
    return dict(json.loads(file.read_bytes())["credentialSubject"]["log"])


def test_the_log_ends_there_and_here_alike_and_checkpoints_of_before_hold(
    there: Machine, here: Machine
) -> None:
    file, kept = signed_by(there, *ALL), there.run("checkpoint", RIG_NAME).stdout.strip()
    fingerprint = there.run("key").stdout.partition("Fingerprint: ")[2].splitlines()[0]

    taken = here.run("import", str(file), "--account", "Kim")
    again = here.run("import", str(file), "--account", "Kim")

    count = log_in(file)["count"]
    assert taken.exit_code == 0, taken.output
    assert f"records: {count} stored, 0 known" in taken.stdout and fingerprint in taken.stdout
    assert f"records: 0 stored, {count} known" in again.stdout
    anew = signed_by(here, *ALL)
    assert log_in(anew) == log_in(file)
    assert here.run("verify", str(anew), "--checkpoint", kept).exit_code == 0


def test_a_record_that_leaves_something_out_is_refused_and_nothing_is_kept(
    there: Machine, here: Machine
) -> None:
    refused = here.run("import", str(signed_by(there)), "--account", "Kim")

    assert refused.exit_code == 1
    assert "entries are named only" in refused.stderr
    assert here.run("checkpoint", RIG_NAME).exit_code == 1


def test_one_that_was_changed_is_refused(there: Machine, here: Machine) -> None:
    file = signed_by(there, *ALL)
    file.write_text(file.read_text(encoding="utf-8").replace('"note": "', '"note": "x', 1), encoding="utf-8")

    refused = here.run("import", str(file), "--account", "Kim")

    assert (refused.exit_code, "the document is not what was signed" in refused.stderr) == (1, True)
    assert here.run("checkpoint", RIG_NAME).exit_code == 1
