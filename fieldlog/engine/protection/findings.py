"""Advice on a map: guards where practice wants them, and whether wire, breaker and receptacle go together."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Self

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.guards import guards_of, unpowered
from fieldlog.engine.protection.loads import load_findings
from fieldlog.engine.protection.map import NumberedMap
from fieldlog.engine.protection.one_more import one_more
from fieldlog.engine.protection.ratings import rating_findings
from fieldlog.engine.protection.shared_neutrals import neutral_findings
from fieldlog.engine.protection.sources import source_findings
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding

SHORE = ("supply", "cord-gfci", "inlet")


@dataclass(frozen=True)
class ModeMap:
    """A map in one mode, with its guards.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.
    guards : mapping of str to tuple of str
        By outlet with power, its guards, nearest first, without those that a trip disproved.
    disproved : mapping of str to mapping of str to int
        By outlet, the guards that the map says and a trip disproved, with the number of the trip.
    unpowered : tuple of str
        Outlets without power.
    """

    wiring: NumberedMap
    mode: str
    guards: Mapping[str, tuple[str, ...]]
    disproved: Mapping[str, Mapping[str, int]]
    unpowered: tuple[str, ...]

    @classmethod
    def of(cls, wiring: NumberedMap, mode: str, denied: Mapping[str, Mapping[str, int]]) -> Self:
        """Give how a map stands, by what its trips disprove of any part."""
        said = guards_of(wiring, mode)
        against = {
            outlet: {guard: denied[outlet][guard] for guard in by if guard in denied.get(outlet, ())}
            for outlet, by in said.items()
        }
        return cls(
            wiring,
            mode,
            guards={
                outlet: tuple(one for one in by if one not in against[outlet]) for outlet, by in said.items()
            },
            disproved={outlet: guards for outlet, guards in against.items() if guards},
            unpowered=tuple(part.id for part in unpowered(wiring, mode)),
        )


def find(standing: ModeMap, tables: CodeTables) -> list[MapFinding]:
    """Give the advice on a map in one mode.

    Parameters
    ----------
    standing : ModeMap
        The map in a mode.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    list of MapFinding
        Sources that feed at once first, then guards, bonds, ratings and what the map leaves open. What is
        not known is a note of its own, and no finding never means that something was found right where it
        is not noted.

    References
    ----------
    NEC 240.4(D), 210.21(B), 400.5, 551.40(C), 551.41(C), 551.54(C); how each is known stands in
    schemas/facts/protection.json.
    """
    wiring, mode = standing.wiring, standing.mode
    return [
        *source_findings(wiring, mode, tables),
        *_disproved(standing, tables),
        *_unguarded(standing, tables),
        *_one_circuit(standing, tables),
        *_bonded(wiring, tables),
        *neutral_findings(wiring, mode, tables),
        *rating_findings(wiring, mode, tables),
        *load_findings(wiring, mode, tables),
        *_open_questions(standing, tables),
        *_most_useful(standing, tables),
    ]


def _disproved(standing: ModeMap, tables: CodeTables) -> Iterator[MapFinding]:
    for outlet, guards in standing.disproved.items():
        yield advise(tables, "guard-disproved", part=outlet, among=tuple(guards))


def _unguarded(standing: ModeMap, tables: CodeTables) -> Iterator[MapFinding]:
    for part in standing.wiring.rig_map.parts:
        if standing.guards.get(part.id) == ():
            for place in part.where:
                yield advise(tables, f"unguarded-{place}", part=part.id)


def _one_circuit(standing: ModeMap, tables: CodeTables) -> Iterator[MapFinding]:
    entry = _entry_of_one_circuit(standing, tables.value("one-circuit-most"))
    if entry is None or not standing.guards:
        return
    unguarded = tuple(outlet for outlet, guards in standing.guards.items() if not guards)
    if unguarded:
        yield advise(tables, "one-circuit-unguarded", part=entry, among=unguarded)
    elif not any(_stands_at_entry(standing, guard) for guard in _shared_guards(standing)):
        yield advise(tables, "one-circuit-guard-further-in", part=entry, among=_shared_guards(standing))


def _entry_of_one_circuit(standing: ModeMap, most: float | None) -> str | None:
    """Give where the power comes in, of a rig with one circuit of known and small rating; None for others."""
    wiring, parts = standing.wiring, standing.wiring.rig_map.parts
    breakers = [parts[place] for place in sorted(wiring.breakers)]
    entries = [part for part in parts if part.kind == "inlet"] or [
        part for part in parts if part.kind in SHORE
    ]
    ratings = [part.amps for part in breakers or entries]
    is_small = most is not None and len(ratings) == 1 and ratings[0] is not None and ratings[0] <= most
    if not is_small or not entries or _is_fed_by_inverter(standing):
        return None
    return entries[0].id


def _is_fed_by_inverter(standing: ModeMap) -> bool:
    wiring = standing.wiring
    starts = wiring.drawn.starts
    ways = (wiring.way_up(standing.mode, wiring.drawn, wiring.number[outlet]) for outlet in standing.guards)
    return any(starts[run] in wiring.inverters for way in ways for run in way)


def _shared_guards(standing: ModeMap) -> tuple[str, ...]:
    """Give the guards that every outlet has."""
    first, *others = standing.guards.values()
    return tuple(guard for guard in first if all(guard in guards for guards in others))


def _stands_at_entry(standing: ModeMap, guard: str) -> bool:
    wiring = standing.wiring
    way = wiring.way_up(standing.mode, wiring.drawn, wiring.number[guard])
    kinds = (wiring.rig_map.parts[wiring.drawn.starts[run]].kind for run in way)
    return all(kind in (*SHORE, "breaker") for kind in kinds)


def _bonded(wiring: NumberedMap, tables: CodeTables) -> Iterator[MapFinding]:
    for part in wiring.rig_map.parts:
        if part.bonded and part.kind not in ("supply", "inverter"):  # a source makes its own bond
            yield advise(tables, "neutral-bonded", part=part.id)


def _open_questions(standing: ModeMap, tables: CodeTables) -> Iterator[MapFinding]:
    wiring, drawn = standing.wiring, standing.wiring.drawn
    parts, feed = wiring.rig_map.parts, wiring.feeds[standing.mode]
    for part, run in zip(parts, feed, strict=True):
        start = parts[drawn.starts[run]].kind if run >= 0 else ""
        if start == "cord-gfci" and not drawn.on_load[run]:
            yield advise(tables, "line-side-of-a-cord-device", part=parts[drawn.starts[run]].id, runs=(run,))
        if part.kind == "inverter" and run >= 0:
            yield advise(tables, "inverter-goes-on", part=part.id, runs=(run,))
    yield from _without_feed(wiring, tables)
    if standing.unpowered:
        yield advise(tables, "no-power", among=standing.unpowered)
    missing = sorted(wiring.rig_map.standings[standing.mode] - set(range(len(wiring.ends))))
    if missing:
        yield advise(tables, "mode-leaves-out-no-run", runs=tuple(missing))


def _without_feed(wiring: NumberedMap, tables: CodeTables) -> Iterator[MapFinding]:
    """Name the parts inside that no run leads to in any mode; where power comes in, none has to."""
    fed = set(wiring.ends)
    for place, part in enumerate(wiring.rig_map.parts):
        if place not in fed and part.kind not in (*SHORE, "inverter"):
            yield advise(tables, "feed-not-known", part=part.id)


def _most_useful(standing: ModeMap, tables: CodeTables) -> Iterator[MapFinding]:
    for best in one_more(standing.wiring, standing.mode)[:1]:
        yield advise(tables, "one-more-guard", part=best.part, among=best.guards)
