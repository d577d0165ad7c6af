"""Where photos lie: a folder, or another place that fsspec reaches; each under its own SHA-256."""

import hashlib
import os
import secrets
from collections.abc import Iterable
from contextlib import suppress
from io import UnsupportedOperation
from pathlib import Path
from typing import Any

from fsspec.core import url_to_fs
from fsspec.implementations.local import LocalFileSystem

from fieldlog.errors import FieldlogError, StoreUnavailable
from fieldlog.store.session import room_at


class PhotosUnavailable(StoreUnavailable):
    """The place of the photos did not take or give one."""

    def __init__(self, reason: str) -> None:
        FieldlogError.__init__(
            self,
            f"The place where photos are kept does not answer ({reason}). "
            "The photo stays on the phone; records are not touched. Try again.",
        )


class Blobs:
    """Files named by the SHA-256 of what is in them; none is ever changed."""

    def __init__(self, files: Any, root: str) -> None:
        self._files = files
        self._root = root.rstrip("/")

    def keep(self, content: bytes) -> str:
        """Write the content, whole or not at all, and give its SHA-256; what is there is left alone."""
        name = hashlib.sha256(content).hexdigest()
        path = self._path(name)
        fresh = f"{path}.{secrets.token_hex(8)}"
        try:
            if not self._files.exists(path):
                self._write(fresh, content)
                self._files.mv(fresh, path)
                self._settle_folder(path)
        except OSError as error:
            with suppress(OSError):
                self._files.rm(fresh)
            raise PhotosUnavailable(error.strerror or str(error)) from error
        return name

    def read(self, name: str) -> bytes:
        """Give the content with this SHA-256; what is missing or damaged is not given."""
        try:
            content: bytes = self._files.cat_file(self._path(name))
        except OSError as error:
            raise PhotosUnavailable(error.strerror or "the photo is not there") from error
        if hashlib.sha256(content).hexdigest() != name:
            raise PhotosUnavailable("the photo is damaged there")
        return content

    def remove(self, name: str) -> None:
        """Take the content with this SHA-256 away; where it is gone already nothing is to be done."""
        try:
            if self._files.exists(self._path(name)):
                self._files.rm_file(self._path(name))
        except OSError as error:
            raise PhotosUnavailable(error.strerror or "the photo cannot be taken away") from error

    def are_there(self, names: Iterable[str]) -> bool:
        """Say whether there is something under each of these names."""
        try:
            return all(self._files.exists(self._path(name)) for name in names)
        except OSError as error:
            raise PhotosUnavailable(error.strerror or str(error)) from error

    def free_bytes(self) -> int | None:
        """Say how much room is left where photos lie; nothing where that is no folder of this machine."""
        return room_at(Path(self._root)) if isinstance(self._files, LocalFileSystem) else None

    def _path(self, name: str) -> str:
        return f"{self._root}/{name[:2]}/{name}.jpg"

    def _write(self, path: str, content: bytes) -> None:
        folder = path.rpartition("/")[0]
        if isinstance(self._files, LocalFileSystem):
            Path(self._root).mkdir(mode=0o700, parents=True, exist_ok=True)
        self._files.makedirs(folder, exist_ok=True)
        with self._files.open(path, "wb") as file:
            file.write(content)
            file.flush()
            with suppress(UnsupportedOperation):  # only a file of this machine has a number
                os.fsync(file.fileno())

    def _settle_folder(self, path: str) -> None:
        """Put the new name on the disk too, so that a power cut does not take it away again."""
        if isinstance(self._files, LocalFileSystem):
            folder = os.open(Path(path).parent, os.O_RDONLY)
            try:
                os.fsync(folder)
            finally:
                os.close(folder)


def open_blobs(address: str) -> Blobs:
    """Open the place at an address: a folder, or s3://bucket/photos with its package installed."""
    try:
        files, root = url_to_fs(address)
    except (ImportError, ValueError) as error:
        raise PhotosUnavailable(f"{address}: {error}") from error
    return Blobs(files, root)
