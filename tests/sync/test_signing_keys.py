"""The keys that sign: made once, handed over by their own signature, never guessed from damaged files."""

import itertools
import json
import os
from collections.abc import Callable
from datetime import timedelta
from pathlib import Path

import pytest

from fieldlog.bundle.integrity import signer_of
from fieldlog.reports.key_age import HOW, key_age_line
from fieldlog.sync.signing_keys import KeysUnusable, hand_over, signing_keys
from tests.builders import NOON


def test_the_first_key_is_made_once_and_is_its_owner_s_alone(tmp_path: Path) -> None:
    folder = tmp_path / "signing"
    name = signing_keys(folder).name

    assert signing_keys(folder).name == name
    assert folder.stat().st_mode & 0o777 == 0o700
    assert (folder / "1.key").stat().st_mode & 0o777 == 0o600


def test_a_key_hands_over_by_its_own_signature_and_is_gone(tmp_path: Path) -> None:
    names = [signing_keys(tmp_path).name] + [hand_over(tmp_path, NOON).name for _ in range(3)]
    keys = signing_keys(tmp_path)

    assert [(change["from"], change["to"]) for change in keys.changes] == list(itertools.pairwise(names))
    assert [signer_of(change) for change in keys.changes] == names[:3]
    assert [path.name for path in tmp_path.glob("*.key")] == ["4.key"]


def test_a_handing_over_that_a_power_cut_ended_goes_on_with_the_key_that_was_made(tmp_path: Path) -> None:
    old = signing_keys(tmp_path).name
    (tmp_path / "2.key").write_bytes(bytes(range(32)))

    assert signing_keys(tmp_path).name == old
    assert hand_over(tmp_path, NOON).key.private_bytes_raw() == bytes(range(32))


def test_a_retired_key_that_a_power_cut_left_goes_at_the_next_handing_over(tmp_path: Path) -> None:
    signing_keys(tmp_path)
    left = (tmp_path / "1.key").read_bytes()
    hand_over(tmp_path, NOON)
    (tmp_path / "1.key").write_bytes(left)
    hand_over(tmp_path, NOON)

    assert [path.name for path in tmp_path.glob("*.key")] == ["3.key"]


def _shorten(folder: Path) -> None:
    (folder / "3.key").write_bytes(b"x")


def _lose_the_key(folder: Path) -> None:
    (folder / "3.key").unlink()


def _lose_a_change(folder: Path) -> None:
    (folder / "2.json").unlink()


def _alter_a_change(folder: Path) -> None:
    path = folder / "2.json"
    path.write_text(json.dumps(json.loads(path.read_text()) | {"at": "2020-01-01T00:00:00Z"}))


def _of_another(folder: Path) -> None:
    (folder / "3.key").write_bytes(bytes(32))


def _no_json(folder: Path) -> None:
    (folder / "2.json").write_text("{")


@pytest.mark.parametrize(
    "damage", [_shorten, _lose_the_key, _lose_a_change, _alter_a_change, _of_another, _no_json]
)
def test_with_a_damaged_folder_nothing_is_signed(tmp_path: Path, damage: Callable[[Path], None]) -> None:
    hand_over(tmp_path, NOON)
    hand_over(tmp_path, NOON)
    damage(tmp_path)

    with pytest.raises(KeysUnusable, match=r"Nothing is signed: .* Put the folder back"):
        signing_keys(tmp_path)


def test_a_key_signs_since_it_took_over_and_the_first_since_its_file_was_written(tmp_path: Path) -> None:
    first = signing_keys(tmp_path)
    os.utime(tmp_path / "1.key", (NOON.timestamp(), NOON.timestamp()))

    assert signing_keys(tmp_path).since == NOON
    assert hand_over(tmp_path, NOON + timedelta(days=9)).since == NOON + timedelta(days=9)
    assert first.since is not None


@pytest.mark.parametrize(("days", "is_due"), [(0, False), (729, False), (730, True), (5000, True)])
def test_handing_over_is_brought_to_mind_after_two_years(days: int, is_due: bool) -> None:
    told = key_age_line(NOON, NOON + timedelta(days=days))

    assert told.startswith(f"It signs since {NOON:%Y-%m-%d}.")
    assert ("own choice" in told, HOW in told) == (is_due, is_due)
