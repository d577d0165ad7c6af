"""Reads the tables of the electrical code in schemas/, which the engine takes as an argument."""

import json
from functools import cache
from pathlib import Path
from typing import Any

from fieldlog.errors import TablesDamaged
from fieldlog.model.code_tables import CodeEntry, CodeTables

SCHEMAS = Path(__file__).resolve().parent.parent / "schemas"
FILES = (
    "limits/conductors.json",
    "limits/supply.json",
    "facts/ampacity.json",
    "facts/box-fill.json",
    "facts/protection.json",
    "facts/planning.json",
)


@cache
def load() -> CodeTables:
    """Read the project's tables once."""
    return read(SCHEMAS)


def read(folder: Path) -> CodeTables:
    """Read the tables in a folder; of entries with one id the newest counts."""
    entries: dict[str, CodeEntry] = {}
    for name in FILES:
        try:
            table = json.loads((folder / name).read_text(encoding="utf-8"))
            entries |= {one["id"]: _entry(one) for one in table["entries"]}
        except (OSError, ValueError, KeyError, TypeError) as error:
            raise TablesDamaged(name, repr(error)) from error
    return CodeTables(entries)


@cache
def entries(name: str) -> tuple[dict[str, Any], ...]:
    """Read the entries of a table as they stand, such as "facts/due.json"."""
    try:
        return tuple(json.loads((SCHEMAS / name).read_text(encoding="utf-8"))["entries"])
    except (OSError, ValueError, KeyError, TypeError) as error:
        raise TablesDamaged(name, repr(error)) from error


def _entry(one: dict[str, Any]) -> CodeEntry:
    return CodeEntry(
        id=one["id"],
        unit=one["unit"],
        value=float(one.get("value", 0)),
        level=one.get("level", ""),
        says=one.get("says", ""),
        do=one.get("do", ""),
        source=one["source"],
        edition=one.get("edition", ""),
        known=one.get("known", ""),
    )
