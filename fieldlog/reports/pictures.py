"""Which photos a service record shows as pictures, in which order, and what it says of each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from fieldlog.kinds.paper import head_of
from fieldlog.model.bodies import PHOTO, BodyPhoto
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Chain, Rig
from fieldlog.words.kinds import entry_name

MOST_PICTURES: Final = 24
"""So many a record shows at most and names the rest; own choice: some four pages more."""
GROUPS: Final[Mapping[str, tuple[str, ...]]] = {
    "The rig and its identification plate": ("rig",),
    "Incidents": ("incident",),
    "Changes and repairs": ("change", "proof"),
    "Outlets, devices and the rest": (),
}
"""The headings, and of which kinds the records are that their photos belong to; the last takes all others."""
ALWAYS_TOLD: Final = next(iter(GROUPS))
# A picture of a pedestal tells where the rig stood, which no record tells.
WITH_A_PLACE: Final = ("arrival-check", "plug-in", "site-note")


@dataclass(frozen=True)
class Source:
    """Where a picture is taken from and its size [pixels], or why it cannot be shown."""

    address: str = ""
    width: int = 0
    height: int = 0
    lacking: str = ""


@dataclass(frozen=True)
class PictureLine:
    """One picture: day and entry of its photo, what that belongs to, what it shows as noted, its source."""

    head: str
    about: str
    shows: str
    source: Source


@dataclass(frozen=True)
class PictureGroup:
    """The pictures below one heading; with none of them it says that none is noted."""

    title: str
    lines: tuple[PictureLine, ...]


@dataclass(frozen=True)
class Pictures:
    """The pictures of a record, the entries of photos beyond the most, and of those that tell a place."""

    groups: tuple[PictureGroup, ...]
    beyond: tuple[int, ...]
    with_a_place: tuple[int, ...]
    most: int = MOST_PICTURES


def hashes_shown(rig: Rig) -> tuple[str, ...]:
    """Give the photos that a record of the rig shows, by their hashes, each once."""
    return tuple(dict.fromkeys(str(photo.body["hash"]) for photo in _shown(rig)))


def pictures_of(rig: Rig, sources: Mapping[str, Source]) -> Pictures:
    """Put what a record shows under its headings, with a source for each of `hashes_shown`."""
    first = _first_entries(rig)
    below: dict[str, list[PictureLine]] = {ALWAYS_TOLD: []}
    for photo in _shown(rig):
        source = sources[str(photo.body["hash"])]
        below.setdefault(_title(first, photo), []).append(_line(rig, _about(first, photo), photo, source))
    return Pictures(
        groups=tuple(PictureGroup(title, tuple(lines)) for title, lines in below.items()),
        beyond=_positions(_in_order(rig)[MOST_PICTURES:]),
        with_a_place=_positions(each for each in rig.newest(PHOTO) if _tells_a_place(first, each)),
    )


def _shown(rig: Rig) -> list[Chain[BodyPhoto]]:
    return _in_order(rig)[:MOST_PICTURES]


def _in_order(rig: Rig) -> list[Chain[BodyPhoto]]:
    """Give all that tell no place: by heading, the newest records first, the photos of each oldest first."""
    first, titles = _first_entries(rig), list(GROUPS)
    oldest_first = [each for each in reversed(rig.newest(PHOTO)) if not _tells_a_place(first, each)]
    oldest_first.sort(key=lambda each: (titles.index(_title(first, each)), -_about(first, each).position))
    return oldest_first


def _first_entries(rig: Rig) -> dict[str, StoredRecord]:
    return {entry.record.id: entry for entry in rig.log}


def _about(first: Mapping[str, StoredRecord], photo: Chain[BodyPhoto]) -> StoredRecord:
    return first[str(photo.entry.record.subject)]


def _title(first: Mapping[str, StoredRecord], photo: Chain[BodyPhoto]) -> str:
    kind, *_, rest = _about(first, photo).record.kind, *GROUPS
    return next((title for title, kinds in GROUPS.items() if kind in kinds), rest)


def _tells_a_place(first: Mapping[str, StoredRecord], photo: Chain[BodyPhoto]) -> bool:
    about = first.get(str(photo.entry.record.subject))
    return about is None or about.record.kind in WITH_A_PLACE


def _line(rig: Rig, about: StoredRecord, photo: Chain[BodyPhoto], source: Source) -> PictureLine:
    told = f"{entry_name(rig, about)}, entry {about.position}"
    return PictureLine(head_of(photo), told, str(photo.body["what"]), source)


def _positions(photos: Iterable[Chain[BodyPhoto]]) -> tuple[int, ...]:
    return tuple(sorted(photo.entry.position for photo in photos))
