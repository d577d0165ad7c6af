"""The whole server in one file, and put back into an empty place."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from zipfile import ZipFile

import pytest
from sqlalchemy.exc import IntegrityError

from fieldlog.model.account import Account
from fieldlog.model.restore import Restore
from fieldlog.model.share import LINK, Share, ShareState, Terms
from fieldlog.store.accounts import open_session, visit_of
from fieldlog.store.backup import Backup, BackupFailed, write_backup
from fieldlog.store.blobs import Blobs, PhotosUnavailable, open_blobs
from fieldlog.store.ends import NOWHERE
from fieldlog.store.log import breaks, heads
from fieldlog.store.photos import Photo, add_photo
from fieldlog.store.records import records_after
from fieldlog.store.restore import Restoration, RestoreFailed, restore_backup, restores_noted
from fieldlog.store.session import Store, open_store
from fieldlog.store.shares import add_share, share_opened_by
from tests.builders import NOON, a_rig, an_arrival_check
from tests.conftest import Person
from tests.store.test_records import keep

LATER = NOON + timedelta(days=9)
CONTENT = b"a picture"


@dataclass(frozen=True)
class Server:
    """A running server, with a photo, a key and a session."""

    store: Store
    blobs: Blobs
    account: Account
    keys: dict[str, Path]
    folder: Path

    @property
    def file(self) -> Path:
        """Where its backup goes."""
        return self.folder / "backup.zip"

    def back_up(self) -> Backup:
        """Write it."""
        return write_backup(self.store, self.blobs, self.keys, self.file, made_at=NOON)

    def restore(self, to: str = "new") -> Restoration:
        """Put it back into another folder."""
        data = self.folder / to
        blobs = open_blobs(str(data / "photos"))
        return restore_backup(self.file, data, data / "fieldlog.sqlite3", blobs, restored_at=LATER)


@pytest.fixture
def server(store: Store, owner: Person, tmp_path: Path) -> Server:
    """Somebody's server."""
    assert owner.account is not None
    folder = tmp_path / "server"
    folder.mkdir()
    (folder / "secret").write_text("a key")
    (folder / "server.key").write_text("another")
    keys = {"secret": folder / "secret", "home/server.key": folder / "server.key"}
    blobs = open_blobs(str(folder / "photos"))
    kept = blobs.keep(CONTENT)
    with store.writing() as tx:
        photo = Photo(sent_hash="0" * 64, kept_hash=kept, bytes=9, width=1, height=1, received_at=NOON)
        add_photo(tx, owner.account.id, photo)
        open_session(tx, owner.account, "a token", created_at=NOON, expires_at=LATER + timedelta(days=1))
    keep(store, owner.account, an_arrival_check(), a_rig(), an_arrival_check())
    return Server(store, blobs, owner.account, keys, folder)


def restored_store(server: Server, to: str = "new") -> Store:
    return open_store(f"sqlite:///{server.folder / to / 'fieldlog.sqlite3'}")


def test_all_of_it_is_back_and_the_log_goes_on_where_it_ended(server: Server) -> None:
    made = server.back_up()
    server.restore()

    assert (made.records, made.logs, made.photos, made.missing) == (3, 2, 1, ())
    again = restored_store(server)
    with server.store.reading() as old, again.reading() as new:
        assert heads(new) == heads(old)
        assert records_after(new, server.account.id, 0, 9) == records_after(old, server.account.id, 0, 9)
    [added] = keep(again, server.account, an_arrival_check())
    assert (added.log, added.position) == (server.account.id, 3)
    with again.reading() as tx:
        assert breaks(tx) == []
    with pytest.raises(IntegrityError, match="only ever added"), again.writing() as tx:
        tx.exec_driver_sql("DELETE FROM records")
    again.close()
    photos = open_blobs(str(server.folder / "new" / "photos"))
    [kept] = [path.stem for path in (server.folder / "new" / "photos").rglob("*.jpg")]
    assert photos.read(kept) == CONTENT
    assert (server.folder / "new" / "home" / "server.key").read_text() == "another"


def test_it_is_written_while_another_holds_the_right_to_write(server: Server) -> None:
    with server.store.writing() as tx:
        open_session(tx, server.account, "half done", created_at=NOON, expires_at=LATER)
        made = server.back_up()

    assert made.records == 3


def test_a_file_and_all_in_the_new_folder_are_for_their_owner_only(server: Server) -> None:
    server.back_up()
    server.restore()

    new = server.folder / "new"
    for path in (server.file, new, new / "fieldlog.sqlite3", new / "secret", new / "home" / "server.key"):
        assert path.stat().st_mode & 0o077 == 0, path


def test_everybody_is_signed_out_and_the_restore_is_noted(server: Server) -> None:
    with server.store.reading() as tx:
        visit = visit_of(tx, "a token", LATER)
        assert visit and visit.account == server.account, "it would still last"
    server.back_up()
    server.restore()

    again = restored_store(server)
    with server.store.reading() as tx:
        key, end = next(iter(heads(tx).items()))
    with again.reading() as tx:
        assert visit_of(tx, "a token", LATER) is None
        assert restores_noted(tx, key.owner, key.log) == [Restore(LATER, NOON, *end)]
        assert restores_noted(tx, key.owner, "another log") == [Restore(LATER, NOON, *NOWHERE)]
    again.close()


def test_what_was_shared_opens_nothing_since_what_was_ended_meanwhile_is_not_known(server: Server) -> None:
    with server.store.writing() as tx:
        share = Share(
            id="s",
            account=server.account.id,
            log="r",
            use=LINK,
            made_at=NOON,
            expires_at=None,
            ended_at=None,
            opened=0,
            terms=Terms(is_open=True),
        )
        add_share(tx, share, "secret")
    server.back_up()
    server.restore()

    again = restored_store(server)
    with again.reading() as tx:
        found = share_opened_by(tx, "secret")
    again.close()
    assert found is not None and found.standing(NOON) is ShareState.ENDED


def test_a_log_that_was_changed_in_the_file_is_named_and_not_copied(server: Server) -> None:
    with server.store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql("UPDATE records SET text = replace(text, '121.3', '221.3') WHERE position = 2")

    with pytest.raises(BackupFailed, match="does not hold at its entry 2"):
        server.back_up()
    assert not server.file.exists()
    assert [path.name for path in server.folder.iterdir() if path.name.startswith(".")] == []


def test_a_photo_that_is_gone_is_named_and_the_rest_is_kept(server: Server) -> None:
    [photo] = server.folder.rglob("*.jpg")
    photo.unlink()

    made = server.back_up()
    server.restore()

    assert made.missing == (photo.stem,)
    with pytest.raises(PhotosUnavailable):
        open_blobs(str(server.folder / "new" / "photos")).read(photo.stem)


def test_a_file_that_is_there_is_not_replaced(server: Server) -> None:
    server.file.write_text("an older backup")

    with pytest.raises(BackupFailed, match="is there already"):
        server.back_up()
    assert server.file.read_text() == "an older backup"


def test_a_folder_that_is_not_there_is_named(server: Server) -> None:
    gone = server.folder / "gone" / "backup.zip"

    with pytest.raises(BackupFailed, match="No such file or directory"):
        write_backup(server.store, server.blobs, server.keys, gone, made_at=NOON)


def test_a_folder_with_anything_in_it_takes_no_backup(server: Server) -> None:
    server.back_up()
    server.restore()

    with pytest.raises(RestoreFailed, match="Name an empty folder"):
        server.restore()


def spoilt(server: Server, change: Callable[[dict[str, bytes]], None]) -> None:
    """Write the backup anew with something changed in it."""
    with ZipFile(server.file) as archive:
        files = {name: archive.read(name) for name in archive.namelist()}
    change(files)
    server.file.unlink()
    with ZipFile(server.file, "w") as archive:
        for name, content in files.items():
            archive.writestr(name, content)


def with_manifest(**changes: object) -> Callable[[dict[str, bytes]], None]:
    def change(files: dict[str, bytes]) -> None:
        files["manifest.json"] = json.dumps(json.loads(files["manifest.json"]) | changes).encode()

    return change


def another_key(files: dict[str, bytes]) -> None:
    files["keys/secret"] = b"another key"


def a_key_outside(files: dict[str, bytes]) -> None:
    manifest = json.loads(files["manifest.json"])
    manifest["files"]["keys/../../out"] = manifest["files"].pop("keys/secret")
    files["keys/../../out"] = files.pop("keys/secret")
    files["manifest.json"] = json.dumps(manifest).encode()


SPOILT: dict[str, tuple[Callable[[dict[str, bytes]], None], str]] = {
    "a file with another content": (another_key, "does not have the hash"),
    "a file that is missing": (lambda files: files.__delitem__("keys/secret"), "does not hold what its list"),
    "no list": (lambda files: files.__delitem__("manifest.json"), "no backup of fieldlog"),
    "another program's list": (with_manifest(format="other"), "no backup of fieldlog"),
    "a later version's list": (with_manifest(version=2), "another version"),
    "a list that is no list": (with_manifest(files=7), "cannot be read"),
    "a name that leads out of the folder": (a_key_outside, "what does not belong there"),
    "heads that the log does not have": (with_manifest(heads={}), "do not end where the list says"),
}


@pytest.mark.parametrize(("change", "told"), SPOILT.values(), ids=SPOILT)
def test_what_is_not_whole_is_not_put_back(
    server: Server, change: Callable[[dict[str, bytes]], None], told: str
) -> None:
    server.back_up()
    spoilt(server, change)

    with pytest.raises(RestoreFailed, match=told):
        server.restore()
    assert not (server.folder / "new" / "fieldlog.sqlite3").exists()
    assert not (server.folder / "out").exists()


def test_half_a_file_is_not_put_back(server: Server) -> None:
    server.back_up()
    whole = server.file.read_bytes()
    server.file.write_bytes(whole[: len(whole) // 2])

    with pytest.raises(RestoreFailed, match="not a whole backup"):
        server.restore()
