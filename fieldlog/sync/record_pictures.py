"""The pictures of a service record: found among the photos that are kept, for a page and for paper."""

from collections.abc import Iterable, Iterator
from typing import Final

from fieldlog.errors import BadInput
from fieldlog.reports.paper import PICTURE
from fieldlog.reports.pictures import Source
from fieldlog.store.blobs import Blobs, PhotosUnavailable
from fieldlog.store.photos import Photo, photo_with_hash
from fieldlog.store.session import Store
from fieldlog.sync.pictures import drawn_anew
from fieldlog.words.wording import NOT_ARRIVED, NOT_READABLE

PRINT_SIDE: Final = 1000
"""How long a picture on paper is at most [pixels]: 300 to the inch at half a page’s width; own choice."""
PRINT_QUALITY: Final = 75


def sources_on_screen(store: Store, blobs: Blobs, account: str, hashes: Iterable[str]) -> dict[str, Source]:
    """Say of each photo of an account where its page takes it from, or why it is not shown."""
    found = _found(store, blobs, account, hashes)
    return {
        name: _lacking(photo)
        if photo is None or not content
        else Source(f"/api/photos/{name}", photo.width, photo.height)
        for name, photo, content in found
    }


def drawn_for_paper(
    store: Store, blobs: Blobs, account: str, hashes: Iterable[str]
) -> tuple[dict[str, Source], dict[str, bytes]]:
    """Draw photos of an account as small as paper needs them; give their sources, and JPEGs by address."""
    sources: dict[str, Source] = {}
    drawn: dict[str, bytes] = {}
    for name, photo, content in _found(store, blobs, account, hashes):
        try:
            picture = drawn_anew(content, PRINT_SIDE, PRINT_QUALITY)
        except BadInput:
            sources[name] = _lacking(photo)
        else:
            sources[name] = Source(f"{PICTURE}{name}", picture.width, picture.height)
            drawn[sources[name].address] = picture.content
    return sources, drawn


def _found(
    store: Store, blobs: Blobs, account: str, hashes: Iterable[str]
) -> Iterator[tuple[str, Photo | None, bytes]]:
    """Give each photo, where it has arrived, and what is kept of it; nothing of what cannot be read."""
    with store.reading() as tx:
        photos = {name: photo_with_hash(tx, account, name) for name in hashes}
    for name, photo in photos.items():
        try:
            yield name, photo, b"" if photo is None else blobs.read(photo.kept_hash)
        except PhotosUnavailable:
            yield name, photo, b""


def _lacking(photo: Photo | None) -> Source:
    return Source(lacking=NOT_ARRIVED if photo is None else NOT_READABLE)
