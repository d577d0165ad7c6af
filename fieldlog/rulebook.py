"""Finds, reads and checks schemas/rulebook.json, and hands it on typed."""

import json
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import Any

from fieldlog.engine.compile import FORMAT, compile_rulebook
from fieldlog.engine.families import FAMILIES
from fieldlog.errors import RulebookDamaged
from fieldlog.model.canonical import canonical, sha256_hex
from fieldlog.model.check import LAMP_STATES, METER_INPUTS
from fieldlog.model.rulebook import (
    LampSet,
    Limit,
    LoadSet,
    MeterSet,
    NextTest,
    OutletFamily,
    Rulebook,
    Variant,
    WiringEntry,
)

SCHEMAS = Path(__file__).resolve().parent.parent / "schemas"
PATH = SCHEMAS / "rulebook.json"
_TABLES = {
    "world": "facts/world.json",
    "three-wire": "facts/wirings-three-wire.json",
    "split-phase": "facts/wirings-split-phase.json",
    "deviations": "facts/deviations.json",
    "outlets": "facts/outlets.json",
    "tests": "facts/tests.json",
    "inputs": "facts/inputs.json",
    "signs": "facts/signs.json",
    "misread": "facts/misread.json",
    "supply": "limits/supply.json",
    "judging": "limits/judging.json",
    "words": "words.json",
}
_LIMITS = ("supply", "judging")


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
    if raw["id"] != "sha256:" + _hash_of_the_rest(raw):
        raise RulebookDamaged("its content does not match its id.")
    if raw.get("format") != FORMAT:
        raise RulebookDamaged("it is of another format.")
    missing = [name for name in _needed_limits() if name not in raw.get("limits", {})]
    if missing:
        raise RulebookDamaged(f"these limits are missing: {', '.join(missing)}.")
    try:
        return _typed(raw)
    except (KeyError, TypeError, ValueError, IndexError) as error:
        raise RulebookDamaged(f"a part is missing or wrong ({error!r}).") from error


def _hash_of_the_rest(raw: Mapping[str, Any]) -> str:
    try:
        return sha256_hex({key: value for key, value in raw.items() if key != "id"})
    except ValueError as error:
        raise RulebookDamaged(f"it holds what no JSON can ({error}).") from error


@cache
def _needed_limits() -> tuple[str, ...]:
    """Give the limits of the tables that a rulebook is compiled from."""
    return tuple(dict.fromkeys(str(entry["id"]) for name in _LIMITS for entry in _table(name)["entries"]))


def _table(name: str) -> Any:
    return json.loads((SCHEMAS / _TABLES[name]).read_text(encoding="utf-8"))


def compiled_bytes() -> bytes:
    """Compile the rulebook from the tables in schemas/ and give the bytes of its file."""
    tables = {name: _table(name) for name in _TABLES}
    return canonical(compile_rulebook(tables)) + b"\n"


def _typed(raw: Mapping[str, Any]) -> Rulebook:
    families = {name: _whole(_family(name, raw["families"][name])) for name in FAMILIES}
    for outlet in raw["outlets"].values():
        _ = families[outlet["family"]], outlet["rating_amps"]
    return Rulebook(
        id=raw["id"],
        raw=raw,
        families=families,
        limits={key: _limit(entry) for key, entry in raw["limits"].items()},
        signs=dict(raw["signs"]),
        misread={state: tuple(raw["misread"][state]) for state in LAMP_STATES},
    )


def _family(name: str, entry: Mapping[str, Any]) -> OutletFamily:
    return OutletFamily(
        id=name,
        contacts=tuple(entry["contacts"]),
        pairs=tuple(entry["pairs"]),
        acrosses=tuple(entry["acrosses"]),
        testers={name: tuple(pairs) for name, pairs in entry["testers"].items()},
        mirror=entry["mirror"],
        wirings=tuple(_wiring(one) for one in entry["wirings"]),
        meters={kind: tuple(_meter_set(one) for one in sets) for kind, sets in entry["meters"].items()},
        lamps={name: tuple(_lamp_set(one) for one in sets) for name, sets in entry["lamps"].items()},
        loads={across: tuple(_load_set(one) for one in sets) for across, sets in entry["loads"].items()},
        tests=tuple(_test(one) for one in entry["tests"]),
    )


def _whole(family: OutletFamily) -> OutletFamily:
    """Give a family in which every variant's points are there, or raise IndexError or KeyError."""
    kinds: dict[str, Sequence[Any]] = {
        **{kind: family.meters[kind] for kind in METER_INPUTS},
        **{name: family.lamps[name] for name in family.testers},
        **{f"load {across}": family.loads[across] for across in family.acrosses},
    }
    for wiring in family.wirings:
        for variant in wiring.variants:
            for kind, points in kinds.items():
                if not 0 <= variant.sets[kind] < len(points):
                    raise IndexError(f"{wiring.id} has no points for {kind}")
    return family


def _wiring(entry: Mapping[str, Any]) -> WiringEntry:
    return WiringEntry(
        id=entry["id"],
        is_named=entry["is_named"],
        is_dangerous=entry["is_dangerous"],
        is_decided_by_ohms=entry["is_decided_by_ohms"],
        prior=entry["prior"],
        usable=entry["usable"],
        when_unplugged=entry["when_unplugged"],
        variants=tuple(
            Variant(joined, sets, continuity)
            for joined, sets, continuity in zip(
                entry["variants"], entry["sets"], entry["continuity"], strict=True
            )
        ),
    )


def _meter_set(entry: Mapping[str, Any]) -> MeterSet:
    columns = [_column(column, entry["count"]) for column in entry["columns"]]
    return MeterSet(entry["classes"], tuple(entry["spreads"]), tuple(zip(*columns, strict=True)))


def _column(column: Sequence[int], count: int) -> tuple[int, ...]:
    """Give a column in full; one that never changes is kept as its one value."""
    full = tuple(column) * count if len(column) == 1 else tuple(column)
    if len(full) != count:
        raise ValueError(f"a column holds {len(full)} points in place of {count}")
    return full


def _lamp_set(entry: Mapping[str, Any]) -> LampSet:
    return LampSet(
        entry["classes"], tuple((pattern, millionths) for pattern, millionths in entry["patterns"])
    )


def _load_set(entry: Mapping[str, Any]) -> LoadSet:
    low, high = entry["ohms"]
    return LoadSet(
        classes=entry["classes"],
        steady=tuple(bool(is_steady) for is_steady in entry["steady"]),
        ratio_spreads=tuple(entry["ratio_spreads"]),
        ohms=(low, high),
        ratios=tuple(_column(column, entry["count"]) for column in entry["ratios"]),
        shares=tuple(_column(column, entry["count"]) for column in entry["shares"]),
    )


def _limit(entry: Mapping[str, Any]) -> Limit:
    return Limit(entry["id"], entry["unit"], float(entry["value"]), entry["source"], entry["valid_from"])


def _test(entry: Mapping[str, Any]) -> NextTest:
    return NextTest(
        id=entry["id"],
        effort=float(entry["effort"]),
        is_harmless=entry["is_harmless"],
        dangerous_under=frozenset(entry["dangerous_under"]),
        supplies=tuple(entry["supplies"]),
        places=tuple(entry["places"]),
        done_by=entry["done_by"],
        separates={(one, two): share / 100.0 for one, two, share in entry["separates"]},
    )
