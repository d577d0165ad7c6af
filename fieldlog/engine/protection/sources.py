"""Where more than one feed reaches the same wiring, and where a source feeds itself."""

from collections.abc import Iterator

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.map import NumberedMap
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding


def source_findings(wiring: NumberedMap, mode: str, tables: CodeTables) -> Iterator[MapFinding]:
    """Give the stops on what several runs feed at once, then the inverters that feed themselves.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Yields
    ------
    MapFinding
        In the order of the map; `among` names the sources, or where bare pins are live.

    References
    ----------
    NEC 551.30(B), 551.31, 310.10(G), 240.8; how each is known stands in schemas/facts/protection.json.
    """
    parts = wiring.rig_map.parts
    for part, runs in wiring.joins[mode].items():
        key, among = _stop(wiring, mode, part)
        if key:
            yield advise(
                tables, key, part=parts[part].id, runs=runs, among=tuple(parts[one].id for one in among)
            )
    for part in sorted(wiring.inverters):
        if part in _above(wiring, mode, part):
            yield advise(tables, "inverter-feeds-itself", part=parts[part].id)


def _stop(wiring: NumberedMap, mode: str, part: int) -> tuple[str, list[int]]:
    """Give the stop on a part with several feeds, "" where none has power, and the ends that it speaks of."""
    above = _above(wiring, mode, part)
    ends = [one for one in sorted(above) if one in wiring.inverters or not _feeds(wiring, mode, one)]
    sources = [one for one in ends if one in wiring.inverters or wiring.sources[mode][one]]
    bare = [one for one in ends if one not in sources]
    if len(sources) > 1:
        return "two-sources-at-once", sources
    if sources and bare:
        return "pins-live-backwards", bare
    return ("fed-twice" if sources else ""), sources


def _above(wiring: NumberedMap, mode: str, part: int) -> set[int]:
    """Give the parts on any way from a part up to its sources; what feeds an inverter is not among them."""
    found, waiting = set[int](), [part]
    while waiting:
        one = waiting.pop()
        new = {wiring.drawn.starts[run] for run in _feeds(wiring, mode, one)} - found
        found |= new
        waiting += new - wiring.inverters
    return found


def _feeds(wiring: NumberedMap, mode: str, part: int) -> tuple[int, ...]:
    feed = wiring.feeds[mode][part]
    return wiring.joins[mode].get(part, () if feed < 0 else (feed,))
