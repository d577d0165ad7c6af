"""A backup put back into an empty place: verified, its sessions ended, and the restore noted."""

import json
import os
import re
import zlib
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple
from zipfile import BadZipFile, ZipFile

from sqlalchemy import delete, insert, select

from fieldlog.errors import FieldlogError
from fieldlog.model.canonical import canonical
from fieldlog.model.restore import Restore
from fieldlog.store import migrations
from fieldlog.store.backup import (
    DATABASE,
    FORMAT,
    KEYS,
    MANIFEST,
    PHOTOS,
    VERSION,
    NotWhole,
    assert_sound,
    assert_whole,
    heads_as_json,
    name_in_manifest,
)
from fieldlog.store.blobs import Blobs
from fieldlog.store.ends import NOWHERE, LogEnd, LogKey, is_at, readable_log
from fieldlog.store.hand_overs import end_all_offers
from fieldlog.store.session import Store, Transaction, open_store
from fieldlog.store.shares import end_all_shares
from fieldlog.store.tables import calendar_feeds, first_account_tokens, restores, sessions

# What a restore may put back, so that no name of an archive leads out of the folder.
_KEY = re.compile(r"(?:home/)?[A-Za-z0-9][A-Za-z0-9._-]*")
_MOST_MANIFEST_BYTES = 64 * 1024 * 1024


class Restoration(NamedTuple):
    """When the backup was made that was put back, and how many logs it had."""

    made_at: datetime
    logs: int


class RestoreFailed(FieldlogError):
    """The backup was not put back."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"Not put back: {reason}")


def restore_backup(
    file: Path, data: Path, database: Path, blobs: Blobs, *, restored_at: datetime
) -> Restoration:
    """Put a backup back into a folder that is empty or not there; the database gets its name last.

    Raises
    ------
    RestoreFailed
        Where the place is not empty, or the file is no whole backup that this version reads.
    """
    _assert_empty(data, database)
    try:
        with ZipFile(file) as archive:
            manifest = _manifest(archive)
            assert_whole(archive, manifest)
            data.mkdir(mode=0o700, parents=True, exist_ok=True)
            with TemporaryDirectory(dir=data, prefix=".restoring-") as folder:
                fresh = Path(folder) / DATABASE
                archive.extract(DATABASE, folder)
                fresh.chmod(0o600)
                found = _brought_up(fresh, manifest, restored_at)
                _put_back(archive, manifest, data, blobs)
                fresh.replace(database)
    except (NotWhole, BadZipFile, zlib.error, NotImplementedError, EOFError) as error:
        raise RestoreFailed(f"{file} is not a whole backup ({error}).") from error
    except OSError as error:
        raise RestoreFailed(f"{error.strerror or error} ({error.filename or file}).") from error
    return found


def restores_noted(tx: Transaction, account: str, log: str) -> list[Restore]:
    """Give every restore of this server with where a log that an account reads ended in it, oldest first."""
    key = readable_log(tx, account, log)
    rows = tx.execute(select(restores).order_by(restores.c.id))
    return [Restore(row.restored_at, row.made_at, *_place_in(tx, json.loads(row.heads), key)) for row in rows]


def _place_in(tx: Transaction, heads: Mapping[str, Any], key: LogKey | None) -> LogEnd:
    """Give where a log ended, under whoever had it then.

    What a note says of another's log of the same name is not in this one.
    """
    if key is None:
        return NOWHERE
    first = (name_in_manifest(key), key.log)
    others = (name for name in heads if name not in first and name.startswith(f"{key.log}/"))
    places = (LogEnd(*heads[name]) for name in (*first, *others) if name in heads)
    return next((place for place in places if is_at(tx, key, place)), NOWHERE)


def _assert_empty(data: Path, database: Path) -> None:
    there = next((path for path in sorted(data.iterdir())), None) if data.is_dir() else None
    there = there or (database if database.exists() else None)
    if there is not None:
        raise RestoreFailed(f"{there} is there. Name an empty folder in FIELDLOG_DATA; nothing was changed.")


def _manifest(archive: ZipFile) -> dict[str, Any]:
    if MANIFEST not in archive.namelist() or archive.getinfo(MANIFEST).file_size > _MOST_MANIFEST_BYTES:
        raise RestoreFailed("this is no backup of fieldlog.")
    try:
        manifest = json.loads(archive.read(MANIFEST))
        if manifest["format"] != FORMAT:
            raise RestoreFailed("this is no backup of fieldlog.")
        if manifest["version"] != VERSION:
            raise RestoreFailed("it was made by another version. Put it back with that one.")
        files, heads = dict(manifest["files"]), dict(manifest["heads"])
        made_at = datetime.fromisoformat(manifest["made_at"])
    except (ValueError, KeyError, TypeError) as error:
        raise RestoreFailed("its list of contents cannot be read.") from error
    strange = [
        name for name in files if name.startswith(KEYS) and not _KEY.fullmatch(name.removeprefix(KEYS))
    ]
    if strange or DATABASE not in files or made_at.tzinfo is None:
        raise RestoreFailed("its list of contents names what does not belong there.")
    return {"files": files, "heads": heads, "made_at": made_at}


def _brought_up(fresh: Path, manifest: Mapping[str, Any], restored_at: datetime) -> Restoration:
    """Hold the database against the list, bring its tables up, end what opens it, and note the restore."""
    store = open_store(f"sqlite:///{fresh}")
    try:
        with store.reading() as tx:
            assert_sound(tx, has_ends=False)
            if heads_as_json(tx) != manifest["heads"]:
                raise NotWhole("its logs do not end where the list says")
        migrations.upgrade(store)
        with store.reading() as tx:
            assert_sound(tx)
        _end_access(store, manifest, restored_at)
    finally:
        store.close()
    return Restoration(manifest["made_at"], len(manifest["heads"]))


def _end_access(store: Store, manifest: Mapping[str, Any], restored_at: datetime) -> None:
    """Whoever was signed in after the backup was made is not known to it, so nobody stays signed in."""
    with store.writing() as tx:
        for table in (sessions, calendar_feeds, first_account_tokens):
            tx.execute(delete(table))
        end_all_shares(tx, restored_at)
        end_all_offers(tx, restored_at)
        tx.execute(
            insert(restores).values(
                restored_at=restored_at,
                made_at=manifest["made_at"],
                heads=canonical(manifest["heads"]).decode(),
            )
        )


def _put_back(archive: ZipFile, manifest: Mapping[str, Any], data: Path, blobs: Blobs) -> None:
    for name in manifest["files"]:
        if name.startswith(PHOTOS):
            blobs.keep(archive.read(name))
        elif name.startswith(KEYS):
            path = data / name.removeprefix(KEYS)
            path.parent.mkdir(mode=0o700, exist_ok=True)
            with os.fdopen(os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
                file.write(archive.read(name))
