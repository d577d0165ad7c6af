"""Notices what befalls the database from outside: changed entries, a full disk, a folder to read only."""

import threading
from dataclasses import dataclass, field
from typing import Final

from fieldlog.errors import FieldlogError
from fieldlog.model.bounds import MB
from fieldlog.store.log import Break, breaks, ends_astray, newest_breaks
from fieldlog.store.session import Store

NEWEST: Final = 500


@dataclass
class Watch:
    """What was found to be wrong with the logs, since the app was started."""

    store: Store
    least_free_mb: int
    _found: list[str] = field(default_factory=list)

    def look_at_the_newest(self) -> list[str]:
        """Walk the newest entries of the logs; quick enough to wait for at the start."""
        with self.store.reading() as tx:
            self._found = _told(newest_breaks(tx, NEWEST))
        return self._found

    def walk_all(self) -> list[str]:
        """Walk every log from its start."""
        with self.store.reading() as tx:
            self._found = _told(breaks(tx) or ends_astray(tx))
        return self._found

    def walk_all_beside(self) -> threading.Thread:
        """Walk every log while requests are answered."""
        walking = threading.Thread(target=self._walk_quietly, name="walks every log", daemon=True)
        walking.start()
        return walking

    def wrong(self) -> list[str]:
        """Say what is wrong now: with the logs, with the room on the disk, with the right to write."""
        return [*self._found, *self._of_room(), *self._of_writing()]

    def _walk_quietly(self) -> None:
        try:
            self.walk_all()
        except FieldlogError as error:
            self._found = [str(error)]

    def _of_room(self) -> list[str]:
        free = self.store.free_bytes()
        if free is None or free >= self.least_free_mb * MB:
            return []
        return [f"Only {free // MB:,} MB are free on the disk of the database; make room on it."]

    def _of_writing(self) -> list[str]:
        try:
            with self.store.writing():
                return []
        except FieldlogError as error:
            return [f"Nothing can be written: {error}"]


def _told(found: list[Break]) -> list[str]:
    return [
        f"The log {each.log} does not hold at its entry {each.position} ({each.what}); "
        "put the last whole backup back."
        for each in found
    ]
