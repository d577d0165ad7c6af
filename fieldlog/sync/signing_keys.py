"""The keys that sign records: files of their own, outside of the database and of every backup.

`1.key`, `2.key`, … hold 32 bytes each, readable by their owner only; `2.json` is the sentence by which the
first key handed over to the second. A key that handed over is removed: nothing can be signed by it any more,
and what it signed stays verifiable, since its public part stands in that sentence. Losing all of it loses
nothing that was signed; what is signed next bears a key that nobody knows yet.
"""

import json
import os
import secrets
from collections.abc import Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, Final

from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

from fieldlog.bundle.document import key_change
from fieldlog.bundle.integrity import KEY_BYTES, name_of, signer_of
from fieldlog.errors import FieldlogError

LEFT_TO_ITS_OWNER: Final = 0o600


class KeysUnusable(FieldlogError):
    """The keys cannot be read or written; nothing is signed."""

    def __init__(self, path: Path, reason: str) -> None:
        super().__init__(
            f"Nothing is signed: {path} cannot be used ({reason}). Put the folder back from where you keep "
            "it, or move it away: then a new key is made, and readers have to be told its fingerprint."
        )


@dataclass(frozen=True)
class SigningKeys:
    """The key of today, and how it came to be it.

    Parameters
    ----------
    key : Ed25519PrivateKey
        It signs.
    changes : tuple of dict
        Every handing over, oldest first.
    since : datetime or None
        When the key took over; of the first one when its file was written, which a copy put back changes.
    """

    key: Ed25519PrivateKey
    changes: tuple[dict[str, Any], ...]
    since: datetime | None = None

    @property
    def name(self) -> str:
        """Give the name of the key, "did:key:z6Mk…"."""
        return name_of(self.key.public_key())


def signing_keys(folder: Path) -> SigningKeys:
    """Give the keys in a folder; the first one is made when it is asked for.

    Raises
    ------
    KeysUnusable
        Where a file is damaged, is missing, or does not belong to the others.
    """
    return _guarded(folder, lambda: _read(folder))


def hand_over(folder: Path, at: datetime) -> SigningKeys:
    """Make a new key, signed by the one of today, which is removed; raises as signing_keys does."""
    return _guarded(folder, lambda: _handed_over(folder, at))


def _read(folder: Path) -> SigningKeys:
    if not _numbers(folder, ".key") and not _numbers(folder, ".json"):
        _make(folder, 1)
    changes = [json.loads((folder / f"{number}.json").read_bytes()) for number in _numbers(folder, ".json")]
    newest = len(changes) + 1
    path = folder / f"{newest}.key"
    written = datetime.fromtimestamp(path.stat().st_mtime, UTC)
    since = datetime.fromisoformat(changes[-1]["at"]) if changes else written
    keys = SigningKeys(_key(path), tuple(changes), since)
    names = [name for change in changes for name in (change["from"], change["to"])]
    is_chain = names[1:-1:2] == names[2::2] and names[-1:] in ([], [keys.name])
    if not is_chain or any(signer_of(change) != change["from"] for change in changes):
        raise ValueError("its files do not belong together")
    return keys


def _handed_over(folder: Path, at: datetime) -> SigningKeys:
    old = _read(folder)
    number = len(old.changes) + 1
    # One that a power cut left has signed nothing yet.
    if not (folder / f"{number + 1}.key").exists():
        _make(folder, number + 1)
    change = key_change(old.key, _key(folder / f"{number + 1}.key"), at)
    _write(folder / f"{number + 1}.json", json.dumps(change, indent=1).encode())
    for retired in range(1, number + 1):
        (folder / f"{retired}.key").unlink(missing_ok=True)
    return _read(folder)


def _make(folder: Path, number: int) -> None:
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    _write(folder / f"{number}.key", Ed25519PrivateKey.generate().private_bytes_raw())


def _write(path: Path, content: bytes) -> None:
    """Write a file wholly or not at all; whoever comes second leaves the first one's."""
    fresh = path.with_name(f".{path.name}-{secrets.token_hex(8)}")
    descriptor = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, LEFT_TO_ITS_OWNER)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        path.hardlink_to(fresh)
    except FileExistsError:
        pass
    finally:
        fresh.unlink()


def _key(path: Path) -> Ed25519PrivateKey:
    seed = path.read_bytes()
    if len(seed) != KEY_BYTES:
        raise ValueError(f"{path.name} has {len(seed)} bytes, not {KEY_BYTES}")
    return Ed25519PrivateKey.from_private_bytes(seed)


def _numbers(folder: Path, ending: str) -> list[int]:
    """Give the numbers of the files with an ending; those of changes begin with 2 and leave none out."""
    found = sorted(int(path.stem) for path in folder.glob(f"[0-9]*{ending}") if path.stem.isdecimal())
    if ending == ".json" and found != list(range(2, len(found) + 2)):
        raise ValueError("a file is missing")
    return found


def _guarded(folder: Path, act: Callable[[], SigningKeys]) -> SigningKeys:
    try:
        return act()
    except (OSError, ValueError, KeyError, TypeError, FieldlogError) as error:
        raise KeysUnusable(folder, str(error)) from error
