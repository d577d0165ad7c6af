"""Physics to rulebook: tables and circuits in, one canonical JSON object out."""

from collections.abc import Mapping, Sequence
from typing import Any, TypeVar

from fieldlog.engine.instruments import PAIRS
from fieldlog.engine.sampling import lamp_set, meter_set
from fieldlog.engine.separation import separation_by_lamps, separation_by_volts
from fieldlog.engine.wiring import NAMED, Wiring, unnamed_wirings
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.rulebook import LampSet, MeterSet

FORMAT = 1
Shown = TypeVar("Shown", MeterSet, LampSet)
Tables = Mapping[str, Any]
"""The files of schemas/ by name: world, wirings, outlets, tests, inputs, supply, words."""


def compile_rulebook(tables: Tables) -> dict[str, Any]:
    """Compile the rulebook.

    Parameters
    ----------
    tables : mapping of str to JSON value
        "world", "wirings", "outlets", "tests", "inputs", "supply" (limits) and "words".

    Returns
    -------
    dict
        The rulebook, its "id" included; the same for the same tables on every machine.

    Raises
    ------
    KeyError
        When a table lacks a wiring, a range or a word.

    Notes
    -----
    Each wiring is solved as a circuit over the plausible world for each instrument. Wirings that show the
    same to an instrument share one set of points, so that nothing is kept twice.
    """
    ranges = {entry["id"]: (entry["low"], entry["high"]) for entry in tables["world"]["entries"]}
    wirings = _kept_wirings(tables["wirings"])
    high = [meter_set(wiring, ranges, low_impedance=False) for wiring, _ in wirings]
    low = [meter_set(wiring, ranges, low_impedance=True) for wiring, _ in wirings]
    lamps = [lamp_set(wiring, ranges) for wiring, _ in wirings]
    body = {
        "format": FORMAT,
        "pairs": list(PAIRS),
        "outlets": {entry["id"]: entry for entry in tables["outlets"]["entries"]},
        "inputs": {entry["id"]: entry for entry in tables["inputs"]["entries"]},
        "limits": {entry["id"]: entry for entry in tables["supply"]["entries"]},
        "wirings": [
            {**entry, "sets": {"high-impedance": h, "low-impedance": w, "lamps": lamp}}
            for (_, entry), h, w, lamp in zip(
                wirings, _places(high), _places(low), _places(lamps), strict=True
            )
        ],
        "meters": {
            "high-impedance": [_meter_json(one) for one in _distinct(high)],
            "low-impedance": [_meter_json(one) for one in _distinct(low)],
        },
        "lamps": [{"classes": one.classes, "table": list(one.table)} for one in _distinct(lamps)],
        "tests": [_test_json(entry, wirings, high, low, lamps) for entry in tables["tests"]["entries"]],
        "words": tables["words"],
    }
    return {"id": "sha256:" + sha256_hex(body), **body}


def _kept_wirings(table: Any) -> list[tuple[Wiring, dict[str, Any]]]:
    by_id = {entry["id"]: entry for entry in table["entries"]}
    chances = {entry["id"]: float(entry["value"]) for entry in table["contact_priors"]}
    kept = [(wiring, _named_entry(by_id[wiring.name])) for wiring in NAMED]
    for wiring in unnamed_wirings():
        prior = _unnamed_prior(wiring, chances)
        if prior >= chances["cut-below"]:
            kept.append((wiring, _unnamed_entry(wiring, prior)))
    return kept


def _named_entry(entry: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "id": entry["id"],
        "is_named": True,
        "is_dangerous": entry["is_dangerous"],
        "is_decided_by_ohms": entry.get("decided_by_ohms", False),
        "prior": entry["prior"],
        "usable": entry.get("usable", {}),
        "source": entry["source"],
    }


def _unnamed_entry(wiring: Wiring, prior: float) -> dict[str, Any]:
    return {
        "id": wiring.name,
        "is_named": False,
        "is_dangerous": True,
        "is_decided_by_ohms": False,
        "prior": {"utility": prior, "generator": prior, "inverter": prior},
        "usable": {},
        "source": "generated from single deviations",
    }


def _unnamed_prior(wiring: Wiring, chances: Mapping[str, float]) -> float:
    prior = 1.0
    for own, found in zip("HNG", wiring.joins, strict=True):
        if found != own:
            prior *= chances["open"] if found == "-" else chances["wrong-conductor"]
    return prior


def _distinct(items: Sequence[Shown]) -> list[Shown]:
    kept: list[Shown] = []
    for item in items:
        if item not in kept:
            kept.append(item)
    return kept


def _places(items: Sequence[Shown]) -> list[int]:
    kept = _distinct(items)
    return [kept.index(item) for item in items]


def _meter_json(one: MeterSet) -> dict[str, Any]:
    return {
        "classes": one.classes,
        "spreads": list(one.spreads),
        "columns": [list(column) for column in zip(*one.points, strict=True)],
    }


def _test_json(
    entry: Mapping[str, Any],
    wirings: Sequence[tuple[Wiring, Mapping[str, Any]]],
    high: Sequence[MeterSet],
    low: Sequence[MeterSet],
    lamps: Sequence[LampSet],
) -> dict[str, Any]:
    """Join a test's table entry with how surely it separates each pair of named wirings, in hundredths."""
    names = [wiring.name for wiring, _ in wirings if wiring.is_named]
    triples: list[list[int]] = []
    for second in range(len(names)):
        for first in range(second):
            share = _separation(entry, first, second, names, high, low, lamps)
            hundredths = int(share * 100.0 + 0.5)
            if hundredths >= 5:
                triples.append([first, second, hundredths])
    kept = {
        key: entry[key] for key in ("id", "effort", "is_harmless", "dangerous_under", "done_by", "source")
    }
    return {**kept, "separates": triples}


def _separation(
    entry: Mapping[str, Any],
    first: int,
    second: int,
    names: Sequence[str],
    high: Sequence[MeterSet],
    low: Sequence[MeterSet],
    lamps: Sequence[LampSet],
) -> float:
    match entry["by"]:
        case "high-impedance":
            return separation_by_volts(high[first], high[second], (0, 1, 2))
        case "low-impedance":
            return separation_by_volts(low[first], low[second], (0, 1, 2))
        case "earth":
            return separation_by_volts(high[first], high[second], (3, 4, 5))
        case "lamps":
            return separation_by_lamps(lamps[first], lamps[second])
        case _:
            return _listed_separation(entry["separates"], names[first], names[second])


def _listed_separation(rows: Sequence[Mapping[str, Any]], first: str, second: str) -> float:
    for row in rows:
        if (first in row["one"] and second in row["from"]) or (second in row["one"] and first in row["from"]):
            return float(row["how_surely"])
    return 0.0
