"""Physics to rulebook: tables and circuits in, one canonical JSON object out."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import asdict
from functools import partial
from typing import Any

from fieldlog.engine.circuit import EARTH, ports
from fieldlog.engine.families import FAMILIES, Explanation, Family, generated
from fieldlog.engine.kernel import Kernel, kernel_of_limits
from fieldlog.engine.sampling import lamp_set, load_set, meter_set
from fieldlog.engine.separation import separation_by_lamps, separations_by_volts
from fieldlog.engine.wiring import Wiring, circuit
from fieldlog.engine.world import Ranges, sampled_world
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.rulebook import LampSet, LoadSet, MeterSet

FORMAT = 2
CLOSED_BELOW_OHMS = 20.0
"""What a continuity tester calls closed, common practice."""
METERS = ("high-impedance", "low-impedance")
Tables = Mapping[str, Any]
"""The files of schemas/ by name, as compile_rulebook lists them."""


def compile_rulebook(tables: Tables) -> dict[str, Any]:
    """Compile the rulebook.

    Parameters
    ----------
    tables : mapping of str to JSON value
        "world", "three-wire" and "split-phase" (wirings), "deviations", "outlets", "tests", "inputs",
        "signs", "misread", "supply" and "judging" (limits), "words".

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
    limits = _by_id(tables["supply"]) | _by_id(tables["judging"])
    kernel = kernel_of_limits({name: float(entry["value"]) for name, entry in limits.items()})
    body = {
        "format": FORMAT,
        "outlets": _by_id(tables["outlets"]),
        "inputs": _by_id(tables["inputs"]),
        "limits": limits,
        "signs": [[entry["id"], entry["level"]] for entry in tables["signs"]["entries"]],
        "misread": {entry["id"]: entry["noted"] for entry in tables["misread"]["entries"]},
        "families": {name: _family(family, tables, kernel) for name, family in FAMILIES.items()},
        "words": tables["words"],
    }
    return {"id": "sha256:" + sha256_hex(body), **body}


def _by_id(table: Mapping[str, Any]) -> dict[str, Any]:
    return {entry["id"]: entry for entry in table["entries"]}


def _family(family: Family, tables: Tables, kernel: Kernel) -> dict[str, Any]:
    ranges = {entry["id"]: (entry["low"], entry["high"]) for entry in tables["world"]["entries"]}
    kept = list(_kept(family, tables))
    all_named = [named for named, _ in kept]
    shown = _shown(family, all_named, ranges)
    distinct = {kind: _distinct(sets) for kind, sets in shown.items()}
    return {
        "contacts": list(family.contacts),
        "pairs": list(family.pairs),
        "acrosses": list(family.acrosses),
        "testers": {name: list(pairs) for name, pairs in family.testers.items()},
        "mirror": dict(family.mirror),
        "wirings": [
            {
                **entry,
                "variants": [_variant_json(wiring) for wiring in named.variants],
                "sets": [
                    {kind: distinct[kind].index(sets[place][variant]) for kind, sets in shown.items()}
                    for variant in range(len(named.variants))
                ],
                "continuity": [_continuity(wiring, ranges) for wiring in named.variants],
            }
            for place, (named, entry) in enumerate(kept)
        ],
        "meters": {kind: [_meter_json(one) for one in distinct[kind]] for kind in METERS},
        "lamps": {
            name: [
                {"classes": one.classes, "patterns": [list(each) for each in one.patterns]}
                for one in distinct[name]
            ]
            for name in family.testers
        },
        "loads": {
            across: [_load_json(one) for one in distinct[f"load {across}"]] for across in family.acrosses
        },
        "tests": _tests(family, tables["tests"], [one for one in all_named if one.is_named], shown, kernel),
    }


def _shown(family: Family, all_named: Sequence[Explanation], ranges: Ranges) -> dict[str, list[list[Any]]]:
    """Give what each instrument shows under each variant of each explanation."""

    def each(sample: Callable[[Explanation, Wiring], Any]) -> list[list[Any]]:
        return [[sample(named, wiring) for wiring in named.variants] for named in all_named]

    meters = {
        kind: each(partial(_meter_sample, family=family, ranges=ranges, is_low=kind != METERS[0]))
        for kind in METERS
    }
    lamps = {
        name: each(partial(_lamp_sample, pairs=pairs, ranges=ranges))
        for name, pairs in family.testers.items()
    }
    loads = {
        f"load {across}": each(partial(_load_sample, family=family, across=across, ranges=ranges))
        for across in family.acrosses
    }
    return {**meters, **lamps, **loads}


def _meter_sample(
    named: Explanation, wiring: Wiring, *, family: Family, ranges: Ranges, is_low: bool
) -> MeterSet:
    return meter_set(named, wiring, family, ranges, is_low)


def _lamp_sample(named: Explanation, wiring: Wiring, *, pairs: Sequence[str], ranges: Ranges) -> LampSet:
    return lamp_set(named, wiring, pairs, ranges)


def _load_sample(
    named: Explanation, wiring: Wiring, *, family: Family, across: str, ranges: Ranges
) -> LoadSet:
    return load_set(named, wiring, family, across, ranges)


def _variant_json(wiring: Wiring) -> dict[str, Any]:
    """Say what is joined to what; what is as in right wiring is left out."""
    usual = asdict(Wiring(wiring.joins))
    return {key: value for key, value in asdict(wiring).items() if key == "joins" or value != usual[key]}


def _kept(family: Family, tables: Tables) -> Iterator[tuple[Explanation, dict[str, Any]]]:
    by_id = _by_id(tables[family.id])
    for named in (*family.named, *family.known_unnamed):
        yield named, _entry(by_id[named.id], is_named=named.is_named)
    chances = {entry["id"]: float(entry["value"]) for entry in tables["deviations"]["entries"]}
    for named, prior in generated(family, chances):
        priors = {"utility": prior, "generator": prior, "inverter": prior}
        found = {
            "id": named.id,
            "prior": priors,
            "is_dangerous": True,
            "source": "generated from single deviations",
        }
        yield named, _entry(found, is_named=False)


def _entry(entry: Mapping[str, Any], *, is_named: bool) -> dict[str, Any]:
    return {
        "id": entry["id"],
        "is_named": is_named,
        "is_dangerous": entry["is_dangerous"],
        "is_decided_by_ohms": entry.get("decided_by_ohms", False),
        "prior": entry["prior"],
        "usable": entry.get("usable", {}),
        "when_unplugged": entry.get("when_unplugged", ""),
        "source": entry["source"],
    }


def _continuity(wiring: Wiring, ranges: Ranges) -> dict[str, dict[str, str]]:
    """Tell what a continuity tester shows with the source stopped (pedestal) or the cord unplugged (rig)."""
    return {
        place: {
            pair: "closed" if _is_closed(wiring, ranges, place, pair) else "open"
            for pair in ("n-g", "g-frame")
        }
        for place in ("pedestal", "rig")
    }


def _is_closed(wiring: Wiring, ranges: Ranges, place: str, pair: str) -> bool:
    """Take the ohms between neutral and ground contact, or ground contact and frame."""
    world = sampled_world(1, ranges, low_impedance=False, wires=len(wiring.joins))
    branches = circuit(wiring, world)
    if place == "rig":
        branches = [
            one
            for one in branches
            if "star" not in (one.start, one.end) and EARTH not in (one.start, one.end)
        ]
    start, end = ("n", "g") if pair == "n-g" else ("g", "G")
    return abs(ports(branches, (start, end)).ohms_between(start, end)) < CLOSED_BELOW_OHMS


def _distinct(sets: Sequence[Sequence[Any]]) -> list[Any]:
    kept: list[Any] = []
    for variants in sets:
        for one in variants:
            if one not in kept:
                kept.append(one)
    return kept


def _meter_json(one: MeterSet) -> dict[str, Any]:
    return {
        "classes": one.classes,
        "spreads": list(one.spreads),
        "columns": [_column(column) for column in zip(*one.points, strict=True)],
        "count": len(one.points),
    }


def _load_json(one: LoadSet) -> dict[str, Any]:
    return {
        "classes": one.classes,
        "steady": [int(is_steady) for is_steady in one.steady],
        "ratio_spreads": list(one.ratio_spreads),
        "ohms": list(one.ohms),
        "ratios": [_column(column) for column in one.ratios],
        "shares": [_column(column) for column in one.shares],
        "count": len(one.ratios[0]),
    }


def _column(column: Sequence[int]) -> list[int]:
    """Keep a column that never changes as its one value."""
    return [column[0]] if len(set(column)) == 1 else list(column)


def _tests(
    family: Family,
    table: Mapping[str, Any],
    named: Sequence[Explanation],
    shown: Mapping[str, Sequence[Sequence[Any]]],
    kernel: Kernel,
) -> list[dict[str, Any]]:
    count = len(named)
    bare = [place for place, pair in enumerate(family.pairs) if not pair.endswith("-e")]
    earth = [place for place, pair in enumerate(family.pairs) if pair.endswith("-e")]
    mirror = [family.pairs.index(family.mirror.get(pair, pair)) for pair in family.pairs]
    high, low = (shown[kind][:count] for kind in METERS)
    lamps = shown[list(family.testers)[-1]][:count]
    told = separations_by_volts(high, bare, mirror, kernel)
    drained = separations_by_volts(low, bare, mirror, kernel)
    by = {
        "high-impedance": told,
        "low-impedance": _beyond(drained, told),
        "earth": separations_by_volts(high, earth, mirror, kernel),
        "lamps": [[separation_by_lamps(one, two) for two in lamps] for one in lamps],
    }
    names = [one.id for one in named]
    found: list[dict[str, Any]] = []
    for entry in table["entries"]:
        rows = by.get(entry["by"]) or _listed(entry["separates"], names)
        triples = [
            [one, two, int(rows[one][two] * 100.0 + 0.5)]
            for two in range(count)
            for one in range(two)
            if int(rows[one][two] * 100.0 + 0.5) >= 5
        ]
        if triples:
            own = {**entry, "effort": entry.get("effort_by_family", {}).get(family.id, entry["effort"])}
            found.append(_test_json(own, triples, set(names)))
    return found


def _beyond(test: Sequence[Sequence[float]], other: Sequence[Sequence[float]]) -> list[list[float]]:
    """Give what a test tells that another, which comes before it, does not."""
    return [
        [max(0.0, one - two) for one, two in zip(own, before, strict=True)]
        for own, before in zip(test, other, strict=True)
    ]


def _test_json(entry: Mapping[str, Any], triples: list[list[int]], names: set[str]) -> dict[str, Any]:
    return {
        **{
            key: entry[key]
            for key in ("id", "effort", "is_harmless", "supplies", "places", "done_by", "source")
        },
        "dangerous_under": [name for name in entry["dangerous_under"] if name in names],
        "separates": triples,
    }


def _listed(rows: Sequence[Mapping[str, Any]], names: Sequence[str]) -> list[list[float]]:
    """Give the separations that a table lists, as a square over the named wirings."""
    square = [[0.0] * len(names) for _ in names]
    for row in rows:
        for one in row["one"]:
            for two in row["from"]:
                if one in names and two in names:
                    first, second = names.index(one), names.index(two)
                    square[first][second] = square[second][first] = float(row["how_surely"])
    return square
