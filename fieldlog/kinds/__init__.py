"""The kinds of record: what each asks of a record and says of it, a file a kind, named as the kind is.

A kind has its schema in schemas/book/kinds, its file here and its page; nothing else lists the kinds.
"""

from collections.abc import Mapping
from functools import cache
from importlib import import_module
from typing import Any

from fieldlog.kinds.kind import NOTHING_KNOWN, Glossary, Kind
from fieldlog.model.record import Record
from fieldlog.words.kinds import RECORDS
from fieldlog.words.lines import LineGroup


@cache
def kinds() -> Mapping[str, Kind[Any]]:
    """Give every kind of record by its name, in the order of the book."""
    return {name: import_module(f"{__name__}.{name.replace('-', '_')}").KIND for name in RECORDS}


def kind_of(name: str) -> Kind[Any]:
    """Give a kind by its name."""
    return kinds()[name]


def parts_of_record(record: Record, known: Glossary = NOTHING_KNOWN) -> tuple[LineGroup, ...]:
    """Give everything that a record says, part by part, with names in place of ids."""
    return tuple(kind_of(record.kind).parts(record.body, known))
