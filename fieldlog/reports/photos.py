"""Which photos belong to the records of a rig, for its service record."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from fieldlog.model.rig import Rig
from fieldlog.reports.open_points import entry_name
from fieldlog.reports.overview import day_of


@dataclass(frozen=True)
class PhotoLine:
    """One photo: when it was taken, of what, what it shows, and the hash by which it can be known again."""

    day: str
    of: str
    shows: str
    hash: str
    number: int


def photo_lines(rig: Rig, since: datetime | None = None) -> Iterator[PhotoLine]:
    """List the photos that belong to records of the rig, newest first, on demand from a moment on."""
    taken = [chain for chain in rig.chains if chain.entry.record.kind == "photo"]
    taken = [chain for chain in taken if since is None or chain.at >= since]
    subjects = {chain.entry.record.subject for chain in taken}
    about = {entry.record.id: entry_name(rig, entry) for entry in rig.log if entry.record.id in subjects}
    for chain in sorted(taken, key=lambda each: (each.at, each.entry.seq), reverse=True):
        body = chain.body
        yield PhotoLine(
            day=day_of(chain),
            of=about.get(chain.entry.record.subject or "", "a record that is not of this rig"),
            shows=str(body["what"]),
            hash=str(body["hash"]),
            number=chain.entry.position,
        )
