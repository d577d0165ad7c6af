"""Where photos lie, and which have arrived."""

import hashlib
import os
from pathlib import Path

import pytest

from fieldlog.model.account import Account
from fieldlog.store.blobs import Blobs, PhotosUnavailable, open_blobs
from fieldlog.store.photos import Photo, add_photo, photo_with_hash, photos_of_entry, record_of_photo
from fieldlog.store.records import record_with_id
from fieldlog.store.session import Store
from tests.builders import NOON, a_photo, an_arrival_check
from tests.conftest import Person

CONTENT = b"a picture"
NAME = hashlib.sha256(CONTENT).hexdigest()


@pytest.fixture
def blobs(tmp_path: Path) -> Blobs:
    """A folder for photos that is not there yet."""
    return open_blobs(str(tmp_path / "kept" / "photos"))


def account_of(person: Person) -> Account:
    """Give the account of somebody who is signed in."""
    assert person.account is not None
    return person.account


def test_what_is_kept_is_given_back_under_its_own_hash(blobs: Blobs) -> None:
    assert blobs.keep(CONTENT) == NAME
    assert blobs.read(NAME) == CONTENT


def test_the_same_content_is_written_once(blobs: Blobs, tmp_path: Path) -> None:
    blobs.keep(CONTENT)
    [path] = [path for path in tmp_path.rglob("*") if path.is_file()]
    before = path.stat().st_mtime_ns

    blobs.keep(CONTENT)

    assert [each for each in tmp_path.rglob("*") if each.is_file()] == [path]
    assert path.stat().st_mtime_ns == before


def test_the_folder_is_for_its_owner_only(blobs: Blobs, tmp_path: Path) -> None:
    blobs.keep(CONTENT)

    assert (tmp_path / "kept" / "photos").stat().st_mode & 0o077 == 0


def test_a_photo_that_was_damaged_on_the_disk_is_not_given(blobs: Blobs, tmp_path: Path) -> None:
    blobs.keep(CONTENT)
    [path] = [path for path in tmp_path.rglob("*") if path.is_file()]
    path.write_bytes(CONTENT[:-1] + b"X")

    with pytest.raises(PhotosUnavailable, match="damaged"):
        blobs.read(NAME)


def test_a_photo_that_is_gone_is_said_to_be(blobs: Blobs) -> None:
    with pytest.raises(PhotosUnavailable):
        blobs.read(NAME)


def test_a_photo_is_on_the_disk_before_it_has_its_name_and_its_name_before_it_is_answered(
    blobs: Blobs, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    synced: list[tuple[Path, bytes | None]] = []
    fsync = os.fsync

    def seen(number: int) -> None:
        path = Path(f"/proc/self/fd/{number}").readlink()
        synced.append((path, path.read_bytes() if path.is_file() else None))
        fsync(number)

    monkeypatch.setattr("os.fsync", seen)
    blobs.keep(CONTENT)
    [path] = [path for path in tmp_path.rglob("*") if path.is_file()]

    [(first, content), folder] = synced
    assert (first.parent, first == path, content) == (path.parent, False, CONTENT)
    assert folder == (path.parent, None)


def test_a_write_that_fails_leaves_nothing_half_written(
    blobs: Blobs, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(_number: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(PhotosUnavailable, match="No space left"):
        blobs.keep(CONTENT)

    assert [path for path in tmp_path.rglob("*") if path.is_file()] == []


def test_photos_may_lie_elsewhere_than_in_a_folder() -> None:
    blobs = open_blobs("memory://photos-of-a-test")

    assert blobs.read(blobs.keep(CONTENT)) == CONTENT


def test_an_address_that_nothing_serves_is_named() -> None:
    with pytest.raises(PhotosUnavailable, match="no-such-thing://x"):
        open_blobs("no-such-thing://x")


def test_a_photo_is_known_to_its_account_only(store: Store, owner: Person, colleague: Person) -> None:
    photo = Photo(sent_hash=NAME, kept_hash="0" * 64, bytes=9, width=4, height=3, received_at=NOON)
    with store.writing() as tx:
        add_photo(tx, account_of(owner).id, photo)

    with store.reading() as tx:
        assert photo_with_hash(tx, account_of(owner).id, NAME) == photo
        assert photo_with_hash(tx, account_of(colleague).id, NAME) is None


def test_the_record_that_speaks_of_a_photo_is_found_and_no_other(store: Store, owner: Person) -> None:
    check = an_arrival_check()
    photo = a_photo(check["id"], CONTENT)
    liar = a_photo(check["id"], b"another", what=f'"hash":"{"f" * 64}"')
    owner.send(check, photo, liar)

    with store.reading() as tx:
        found = record_of_photo(tx, account_of(owner).id, NAME)
        assert found is not None and found.record.id == photo["id"]
        assert record_of_photo(tx, account_of(owner).id, "f" * 64) is None
        assert record_of_photo(tx, account_of(owner).id, "%") is None


def test_the_photos_of_a_record_are_those_of_all_its_versions(store: Store, owner: Person) -> None:
    check = an_arrival_check()
    better = an_arrival_check(corrects=check["id"], reason="Wrong site")
    photos = [a_photo(check["id"], b"one"), a_photo(check["id"], b"two")]
    reworded = a_photo(check["id"], b"one", what="The slot", corrects=photos[0]["id"], reason="Said nothing")
    owner.send(check, better, *photos, reworded)

    with store.reading() as tx:
        entry = record_with_id(tx, account_of(owner).id, better["id"])
        assert entry is not None
        found = photos_of_entry(tx, account_of(owner).id, entry)

    assert {noted.entry.record.id for noted in found} == {photos[1]["id"], reworded["id"]}
    assert not any(noted.is_here for noted in found)
