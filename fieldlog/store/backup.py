"""The whole server in one file, written while it runs: database, photos, keys of sessions and home root.

Keys that sign what others are to believe do not belong in it. What it holds is read again before it is named.
"""

import hashlib
import json
import os
from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any
from zipfile import ZIP_DEFLATED, ZipFile

from sqlalchemy import func, select

from fieldlog.errors import FieldlogError
from fieldlog.model.canonical import canonical
from fieldlog.store.blobs import Blobs, PhotosUnavailable
from fieldlog.store.ends import LogKey
from fieldlog.store.log import breaks, ends_astray, heads
from fieldlog.store.migrations import revision
from fieldlog.store.session import Store, Transaction, open_store, write_snapshot
from fieldlog.store.tables import photos, records

FORMAT, VERSION = "fieldlog backup", 1
MANIFEST, DATABASE, PHOTOS, KEYS = "manifest.json", "fieldlog.sqlite3", "photos/", "keys/"
SUFFIX = ".jpg"


class BackupFailed(FieldlogError):
    """No backup was written; what was there before is untouched."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"No backup was made: {reason}")


class NotWhole(FieldlogError):
    """A database or a file does not hold what it should; whoever asked says what became of it."""


@dataclass(frozen=True)
class Backup:
    """What a backup holds: counts, and the photos that could not be read."""

    logs: int
    records: int
    photos: int
    missing: tuple[str, ...]


def write_backup(
    store: Store, blobs: Blobs, keys: Mapping[str, Path], file: Path, *, made_at: datetime
) -> Backup:
    """Write everything into a new file that only its owner reads, and read it again.

    Parameters
    ----------
    store, blobs : Store, Blobs
        The running server's.
    keys : mapping of str to Path
        Files to be taken along, by the name under which a restore puts them back.
    file : Path
        Where to; it must not be there yet.
    made_at : datetime
        Noted in it.

    Raises
    ------
    BackupFailed
        Where the file is there, the log does not hold, or the disk refuses.
    """
    if file.exists():
        raise BackupFailed(f"{file} is there already. Name a file that is not.")
    try:
        with TemporaryDirectory(dir=file.absolute().parent, prefix=".backup-") as folder:
            fresh = Path(folder) / "fresh"
            found = _write(store, blobs, keys, Path(folder) / DATABASE, fresh, made_at)
            _settle(fresh, file)
    except NotWhole as error:
        raise BackupFailed(str(error)) from error
    except OSError as error:
        raise BackupFailed(f"{error.strerror or error}.") from error
    return found


def _write(
    store: Store, blobs: Blobs, keys: Mapping[str, Path], snapshot: Path, fresh: Path, made_at: datetime
) -> Backup:
    write_snapshot(store, snapshot)
    told, named, count = _told_by(snapshot)
    sums: dict[str, str] = {}
    missing: list[str] = []
    fresh.touch(mode=0o600, exist_ok=False)
    with ZipFile(fresh, "w") as archive:

        def add(name: str, content: bytes) -> None:
            archive.writestr(name, content)
            sums[name] = hashlib.sha256(content).hexdigest()

        archive.write(snapshot, DATABASE, ZIP_DEFLATED)
        sums[DATABASE] = _sum_of_file(snapshot)
        for name in named:
            try:
                add(f"{PHOTOS}{name}{SUFFIX}", blobs.read(name))
            except PhotosUnavailable:
                missing.append(name)
        for name, path in sorted(keys.items()):
            add(f"{KEYS}{name}", path.read_bytes())
        manifest = told | {"made_at": made_at.isoformat(), "files": sums, "missing_photos": missing}
        archive.writestr(MANIFEST, canonical(manifest))
    with ZipFile(fresh) as archive:
        assert_whole(archive, json.loads(archive.read(MANIFEST)))
    return Backup(len(told["heads"]), count, len(named) - len(missing), tuple(missing))


def _told_by(snapshot: Path) -> tuple[dict[str, Any], list[str], int]:
    """Give what the manifest says of a snapshot whose logs hold, the photos it knows of, and its records."""
    store = open_store(f"sqlite:///{snapshot}")
    try:
        with store.reading() as tx:
            assert_sound(tx)
            told = {
                "format": FORMAT,
                "version": VERSION,
                "revision": revision(tx),
                "heads": heads_as_json(tx),
            }
            named = tx.execute(select(photos.c.kept_hash).distinct().order_by(photos.c.kept_hash))
            count = tx.execute(select(func.count()).select_from(records)).scalar_one()
            return told, list(named.scalars()), count
    finally:
        store.close()


def heads_as_json(tx: Transaction) -> dict[str, list[Any]]:
    """Give where each log ends, by its name, or by its owner's id as well where two share it."""
    found = heads(tx)
    names = Counter(key.log for key in found)
    return {
        name_in_manifest(key) if names[key.log] > 1 else key.log: [end.position, end.head]
        for key, end in found.items()
    }


def name_in_manifest(key: LogKey) -> str:
    """Give the name of a log where its own name does not tell it from others."""
    return f"{key.log}/{key.owner}"


def assert_sound(tx: Transaction, *, has_ends: bool = True) -> None:
    """Raise with the place where the database or one of its logs does not hold.

    One of an earlier version has no ends of logs written down.
    """
    told = tx.exec_driver_sql("PRAGMA integrity_check(1)").scalar_one()
    if told != "ok":
        raise NotWhole(f"the database is damaged ({told}). Take an earlier backup.")
    broken = breaks(tx) or (ends_astray(tx) if has_ends else [])
    for each in broken:
        raise NotWhole(
            f"the log {each.log} does not hold at its entry {each.position} ({each.what}). "
            "Take an earlier backup."
        )


def assert_whole(archive: ZipFile, manifest: Mapping[str, Any]) -> None:
    """Raise unless each file that the manifest names is there with its hash, and no other."""
    if {*archive.namelist()} != {*manifest["files"], MANIFEST}:
        raise NotWhole("the file does not hold what its list names.")
    for name, wanted in manifest["files"].items():
        with archive.open(name) as content:
            if hashlib.file_digest(content, "sha256").hexdigest() != wanted:  # type: ignore[arg-type]  # it reads as a file does
                raise NotWhole(f"{name} does not have the hash that was noted for it.")


def _sum_of_file(path: Path) -> str:
    with path.open("rb") as content:
        return hashlib.file_digest(content, "sha256").hexdigest()


def _settle(fresh: Path, file: Path) -> None:
    """Give the file its name once it is on the disk; another one of that name is not replaced."""
    with fresh.open("rb") as content:
        os.fsync(content.fileno())
    try:
        file.hardlink_to(fresh)
    except FileExistsError as error:
        raise BackupFailed(f"{file} is there already. Name a file that is not.") from error
    folder = os.open(file.absolute().parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
