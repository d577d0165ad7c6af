"""Which records are looked for, and what one of them says in a line, a row or a member of JSON Lines."""

import csv
import io
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.model.record import StoredRecord
from fieldlog.words.kinds import RECORDS
from fieldlog.words.wording import begun

COLUMNS: Final = (
    *("id", "kind", "observed_at", "received_at", "about", "park", "site", "verdict", "made_by"),
    *("corrects", "reason", "flags", "hash", "body"),
)
ANY: Final = "any"
# A program of tables takes a cell that begins so for a formula.
FORMULA: Final = ("=", "+", "-", "@", "\t", "\r", "\n")


@dataclass(frozen=True)
class Query:
    """What a record has to be to be found; what is empty asks for nothing.

    Every word has to stand somewhere in it; days are those of the clock beside the person. A flag is that of
    one kind, or ANY.
    """

    words: tuple[str, ...] = ()
    kind: str = ""
    verdict: str = ""
    first: str = ""
    last: str = ""
    flag: str = ""
    rig: str = ""

    def finds(self, entry: StoredRecord, about: str) -> bool:
        """Say whether a record is among what is looked for."""
        record = entry.record
        day = record.observed_at[:10]
        return (
            self.kind in ("", record.kind)
            and self.verdict in ("", verdict_of(entry))
            and (not self.first or self.first <= day)
            and (not self.last or day <= self.last)
            and self.rig in ("", record.rig)
            and (not self.flag or any(self.flag in (ANY, each.flag) for each in entry.flags))
            and self._has_words(entry, about)
        )

    def _has_words(self, entry: StoredRecord, about: str) -> bool:
        if not self.words:
            return True
        record = entry.record
        told = (about, RECORDS.get(record.kind, ""), record.made_by, record.reason or "", record.observed_at)
        flags = (flag.detail for flag in entry.flags)
        text = _folded(" ".join((*told, *flags, *_texts(record.body))))
        return all(word in text for word in self.words)


def words_of(text: str) -> tuple[str, ...]:
    """Give the words that somebody typed, as they are looked for."""
    return tuple(_folded(text).split())


def verdict_of(entry: StoredRecord) -> str:
    """Give the verdict that a check said, "" where the record is none."""
    return str(entry.record.body["judgement"]["verdict"]) if entry.record.is_check else ""


def title_of(entry: StoredRecord, about: str) -> str:
    """Say in a line what a record is of."""
    body = entry.record.body
    place = body.get("place") or {}
    named = [
        *((f"“{about}”",) if about else ()),
        *(str(place[name]) if name == "park" else f"site {place[name]}" for name in place if place[name]),
        *(str(body[name]) for name in ("name", "what") if isinstance(body.get(name), str) and body[name]),
    ]
    return ", ".join([begun(RECORDS.get(entry.record.kind, entry.record.kind)), *dict.fromkeys(named)])


def table_lines(columns: Sequence[str], rows: Iterable[Mapping[str, object]]) -> Iterator[str]:
    """Give any rows as a table, a line at a time; no cell is a formula."""
    yield _csv(columns)
    for row in rows:
        yield _csv([str(row[name]) for name in columns])


def csv_lines(found: Iterable[tuple[StoredRecord, str]]) -> Iterator[str]:
    """Give a table, a line at a time; no cell is a formula."""
    yield from table_lines(COLUMNS, (_row(entry, about) for entry, about in found))


def json_lines(found: Iterable[tuple[StoredRecord, str]]) -> Iterator[str]:
    """Give a JSON object a line: the record as it is, and beside it what the server added."""
    for entry, about in found:
        beside = {"received_at": entry.received_at.isoformat(), "hash": entry.hash, "about": about}
        flags = [{"flag": flag.flag, "detail": flag.detail} for flag in entry.flags]
        line = {"record": entry.record.as_json(), **beside, "flags": flags}
        yield json.dumps(line, ensure_ascii=False, sort_keys=True) + "\n"


def _row(entry: StoredRecord, about: str) -> Mapping[str, str]:
    record = entry.record
    place = record.body.get("place") or {}
    return {
        "id": record.id,
        "kind": record.kind,
        "observed_at": record.observed_at,
        "received_at": entry.received_at.isoformat(),
        "about": about,
        "park": str(place.get("park", "")),
        "site": str(place.get("site", "")),
        "verdict": verdict_of(entry),
        "made_by": record.made_by,
        "corrects": record.corrects or "",
        "reason": record.reason or "",
        "flags": "; ".join(flag.detail for flag in entry.flags),
        "hash": entry.hash,
        "body": json.dumps(record.body, ensure_ascii=False, sort_keys=True),
    }


def _csv(cells: Iterable[str]) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\r\n").writerow([_harmless(cell) for cell in cells])
    return text.getvalue()


def _harmless(cell: str) -> str:
    """Give a cell that is text to any program: an apostrophe goes before what begins as a formula does."""
    return f"'{cell}" if cell.lstrip(" ").startswith(FORMULA) or cell.startswith(FORMULA) else cell


def _folded(text: str) -> str:
    """Give a text in small letters, with the apostrophe that a keyboard has."""
    return text.casefold().replace("’", "'")


def _texts(value: Any) -> Iterator[str]:
    """Give every name and text in a body."""
    if isinstance(value, Mapping):
        for name, each in value.items():
            yield str(name)
            yield from _texts(each)
    elif isinstance(value, list | tuple):
        for each in value:
            yield from _texts(each)
    elif isinstance(value, str):
        yield value
