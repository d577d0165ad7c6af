"""What the fixed loads of a circuit draw together, and how a main breaker stands to inlet and branches."""

from collections.abc import Iterator

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.map import NO_POWER, NumberedMap
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding, MapPart

VOLTS = 120.0
"""Of a branch circuit [V]; ANSI C84.1."""
TWO_LEGS = "two-legs-from"
"""By the tables, from which rating on an inlet or a breaker has two hots [A]."""


Above = dict[int, frozenset[int]]
"""By part, the breakers before it."""


def load_findings(wiring: NumberedMap, mode: str, tables: CodeTables) -> Iterator[MapFinding]:
    """Give the breakers that fixed loads or a bigger inlet outgrow, in the order of the map.

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
        A load of which neither watts nor amperes are noted is left out of a sum, which then says so.

    Notes
    -----
    I = P / 120 V; loads that run for three hours and more count 1.25 times. A breaker for both hots of a
    14-50 carries its rating on each of them.

    References
    ----------
    NEC 210.20(A), 210.23, 551.42, 551.45; how each is known stands in schemas/facts/protection.json.
    """
    above = {place: _breakers_above(wiring, mode, place) for place in range(len(wiring.bits))}
    at_line, _ = wiring.cuts(mode, wiring.drawn)
    for breaker in sorted(wiring.breakers):
        if at_line[breaker] != NO_POWER:
            yield from _loads(wiring, breaker, above, tables)
            yield from _main(wiring, mode, breaker, above, tables)
    yield from _without_main(wiring, mode, above, tables)


def _loads(wiring: NumberedMap, breaker: int, above: Above, tables: CodeTables) -> Iterator[MapFinding]:
    parts = wiring.rig_map.parts
    fixed = [part for place, part in enumerate(parts) if part.kind == "appliance" and breaker in above[place]]
    drawn = [(part, amps) for part in fixed if (amps := amps_of(part)) is not None]
    own, is_both = parts[breaker], parts[breaker].leg == "both"
    if own.amps is None or not fixed:
        return
    most = own.amps * (2 if is_both or own.amps >= tables.entries[TWO_LEGS].value else 1)
    factor = tables.entries["continuous-factor"].value
    total = sum(amps * (factor if part.continuous else 1) for part, amps in drawn)
    among = tuple(part.id for part, _ in drawn)
    if total > most:
        key = "continuous-loads-above-breaker" if total > most >= sum(a for _, a in drawn) else ""
        key = key or "fixed-loads-above-breaker"
        value = round(total, 1)
        yield advise(tables, key, part=own.id, among=among, value=value, limit=most, unit="A")
    unknown = tuple(part.id for part in fixed if amps_of(part) is None)
    if unknown:
        yield advise(tables, "fixed-load-not-noted", part=own.id, among=unknown)


def amps_of(part: MapPart) -> float | None:
    """Give what an appliance draws [A], None where neither watts nor amperes are noted."""
    return part.watts / VOLTS if part.watts is not None else part.amps


def _main(
    wiring: NumberedMap, mode: str, breaker: int, above: Above, tables: CodeTables
) -> Iterator[MapFinding]:
    parts = wiring.rig_map.parts
    main, inlet = parts[breaker], _entry(wiring, mode, breaker)
    if main.amps is None or above[breaker]:
        return
    branches = [parts[one] for one in sorted(wiring.breakers) if breaker in above[one]]
    if branches and inlet is not None and inlet.amps is not None and main.amps > inlet.amps:
        yield advise(
            tables,
            "main-above-inlet",
            part=main.id,
            among=(inlet.id,),
            value=main.amps,
            limit=inlet.amps,
            unit="A",
        )
    for branch in branches:
        if branch.amps is not None and branch.amps > main.amps:
            yield advise(
                tables,
                "branch-above-main",
                part=branch.id,
                among=(main.id,),
                value=branch.amps,
                limit=main.amps,
                unit="A",
            )


def _without_main(wiring: NumberedMap, mode: str, above: Above, tables: CodeTables) -> Iterator[MapFinding]:
    """Name the breakers that together let through more than the inlet takes, with no main before them."""
    parts, groups = wiring.rig_map.parts, dict[str, list[MapPart]]()
    for breaker in sorted(wiring.breakers):
        inlet = _entry(wiring, mode, breaker)
        if inlet is not None and not above[breaker]:
            groups.setdefault(inlet.id, []).append(parts[breaker])
    for inlet_id, firsts in groups.items():
        inlet = parts[wiring.number[inlet_id]]
        total = sum(part.amps or 0 for part in firsts)
        if (
            len(firsts) > 1
            and inlet.amps is not None
            and inlet.amps < tables.entries[TWO_LEGS].value
            and total > inlet.amps
        ):
            among = tuple(part.id for part in firsts)
            yield advise(
                tables,
                "branches-without-main",
                part=inlet_id,
                among=among,
                value=total,
                limit=inlet.amps,
                unit="A",
            )


def _breakers_above(wiring: NumberedMap, mode: str, place: int) -> frozenset[int]:
    starts = wiring.drawn.starts
    return frozenset(starts[run] for run in wiring.way_up(mode, wiring.drawn, place)) & wiring.breakers


def _entry(wiring: NumberedMap, mode: str, place: int) -> MapPart | None:
    """Give the inlet that a part is fed through, None where it is not."""
    ways = (wiring.drawn.starts[run] for run in wiring.way_up(mode, wiring.drawn, place))
    return next((part for part in (wiring.rig_map.parts[one] for one in ways) if part.kind == "inlet"), None)
