"""Reads schemas/book: the kinds of record, a file a kind, and the kinds of flag; nowhere else lists them."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Final

from fieldlog.errors import TablesDamaged

FOLDER: Final = Path(__file__).resolve().parent.parent / "schemas" / "book" / "kinds"
FLAGS: Final = FOLDER.parent / "flags.json"
LAST: Final = 1000


@dataclass(frozen=True)
class KindEntry:
    """What the book says of a kind of record: its name, and what each place of its body is called."""

    id: str
    name: str
    source: str
    valid_from: str
    order: int
    places: Mapping[str, str]

    def as_labels(self) -> dict[str, Any]:
        """Give it as an entry of schemas/facts/labels.json."""
        about = {"source": self.source, "valid_from": self.valid_from, "places": self.places}
        return {"id": self.id, "of": [self.id], "unit": "1", **about}


@cache
def record_kinds() -> tuple[KindEntry, ...]:
    """Give the kinds of record in the order in which they came; the first came together and are numbered."""
    found = [_entry(path) for path in FOLDER.glob("*.json")]
    return tuple(sorted(found, key=lambda kind: (kind.order, kind.valid_from, kind.id)))


@cache
def flag_names() -> Mapping[str, str]:
    """Give what the server can notice of a record, and what each is called."""
    try:
        return {str(flag): str(name) for flag, name in json.loads(FLAGS.read_text(encoding="utf-8")).items()}
    except (OSError, ValueError, AttributeError) as error:
        raise TablesDamaged("book/flags.json", repr(error)) from error


def labels() -> list[dict[str, Any]]:
    """Give what each place of a body is called, kind by kind."""
    return [kind.as_labels() for kind in record_kinds() if kind.places]


def _entry(path: Path) -> KindEntry:
    try:
        read = json.loads(path.read_text(encoding="utf-8"))
        order = read.get("order", LAST)
        return KindEntry(read["id"], read["name"], read["source"], read["valid_from"], order, read["places"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise TablesDamaged(f"book/kinds/{path.name}", repr(error)) from error
