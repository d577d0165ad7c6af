"""Finds, reads and checks schemas/rulebook.json, and hands it on typed."""

import json
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from fieldlog.engine.compile import FORMAT, compile_rulebook
from fieldlog.errors import RulebookDamaged
from fieldlog.model.canonical import canonical, sha256_hex
from fieldlog.model.rulebook import LampSet, Limit, MeterSet, NextTest, Rulebook, WiringEntry

SCHEMAS = Path(__file__).resolve().parent.parent / "schemas"
PATH = SCHEMAS / "rulebook.json"
NEEDED_LIMITS = (
    "low-stop",
    "low-limit",
    "low-note",
    "rig-low-limit",
    "high-note",
    "high-limit",
    "high-stop",
    "meter-coarse",
    "hertz-low",
    "hertz-high",
    "skin-utility",
    "trip-low-milliamps",
    "trip-high-milliamps",
)
_TABLES = {
    "world": "facts/world.json",
    "wirings": "facts/wirings.json",
    "outlets": "facts/outlets.json",
    "tests": "facts/tests.json",
    "inputs": "facts/inputs.json",
    "supply": "limits/supply.json",
    "words": "words.json",
}


@cache
def load() -> Rulebook:
    """Read the project's rulebook once."""
    return read(PATH)


def read(path: Path) -> Rulebook:
    """Read a rulebook file and check that its id is the hash of all the rest."""
    try:
        raw = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise RulebookDamaged(f"{path.name} cannot be read ({error}).") from error
    return checked(raw)


def checked(raw: Any) -> Rulebook:
    """Give the typed rulebook, or raise RulebookDamaged when its id does not match or a part is missing."""
    if not isinstance(raw, dict) or "id" not in raw:
        raise RulebookDamaged("it has no id.")
    body = {key: value for key, value in raw.items() if key != "id"}
    if raw["id"] != "sha256:" + sha256_hex(body):
        raise RulebookDamaged("its content does not match its id.")
    if raw.get("format") != FORMAT:
        raise RulebookDamaged("it is of another format.")
    missing = [name for name in NEEDED_LIMITS if name not in raw.get("limits", {})]
    if missing:
        raise RulebookDamaged(f"these limits are missing: {', '.join(missing)}.")
    try:
        return _typed(raw)
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise RulebookDamaged(f"a part is missing or wrong ({error!r}).") from error


def compiled_bytes() -> bytes:
    """Compile the rulebook from the tables in schemas/ and give the bytes of its file."""
    tables = {
        name: json.loads((SCHEMAS / file).read_text(encoding="utf-8")) for name, file in _TABLES.items()
    }
    return canonical(compile_rulebook(tables)) + b"\n"


def _typed(raw: Mapping[str, Any]) -> Rulebook:
    wirings = tuple(_wiring(entry) for entry in raw["wirings"])
    return Rulebook(
        id=raw["id"],
        raw=raw,
        wirings=wirings,
        meters={kind: tuple(_meter_set(one) for one in sets) for kind, sets in raw["meters"].items()},
        lamps=tuple(LampSet(one["classes"], tuple(one["table"])) for one in raw["lamps"]),
        limits={key: _limit(entry) for key, entry in raw["limits"].items()},
        tests=tuple(_test(entry, wirings) for entry in raw["tests"]),
    )


def _wiring(entry: Mapping[str, Any]) -> WiringEntry:
    return WiringEntry(
        id=entry["id"],
        is_named=entry["is_named"],
        is_dangerous=entry["is_dangerous"],
        is_decided_by_ohms=entry["is_decided_by_ohms"],
        prior=entry["prior"],
        usable=entry["usable"],
        sets=entry["sets"],
    )


def _meter_set(entry: Mapping[str, Any]) -> MeterSet:
    points = tuple(zip(*entry["columns"], strict=True))
    return MeterSet(entry["classes"], tuple(entry["spreads"]), points)


def _limit(entry: Mapping[str, Any]) -> Limit:
    return Limit(entry["id"], entry["unit"], float(entry["value"]), entry["source"], entry["valid_from"])


def _test(entry: Mapping[str, Any], wirings: tuple[WiringEntry, ...]) -> NextTest:
    named = [wiring.id for wiring in wirings if wiring.is_named]
    return NextTest(
        id=entry["id"],
        effort=float(entry["effort"]),
        is_harmless=entry["is_harmless"],
        dangerous_under=tuple(entry["dangerous_under"]),
        done_by=entry["done_by"],
        separates={(named[i], named[j]): share / 100.0 for i, j, share in entry["separates"]},
    )
