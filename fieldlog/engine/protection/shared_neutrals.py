"""Two breakers that share a neutral: their legs, their handles, and a ground-fault device among them."""

from collections.abc import Iterator

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.loads import TWO_LEGS
from fieldlog.engine.protection.map import NumberedMap
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding, MapPart


def neutral_findings(wiring: NumberedMap, mode: str, tables: CodeTables) -> Iterator[MapFinding]:
    """Give what stands against two circuits on one neutral, in the order of the map.

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
        Of the breaker that names the other one, which stands among.

    Notes
    -----
    On two legs the neutral carries the difference of both currents; on one leg their sum, and no breaker
    stands before it. Behind a supply with one hot every breaker is on one leg, whatever is noted.

    References
    ----------
    NEC 210.4(B); how it is known stands in schemas/facts/protection.json.
    """
    for one, other in _pairs(wiring):
        among = (other.id,)
        if _are_on_one_leg(wiring, mode, one, other, tables.entries[TWO_LEGS].value):
            known = one.amps is not None and other.amps is not None
            value = (one.amps or 0) + (other.amps or 0) if known else None
            limit = max(one.amps or 0, other.amps or 0) if known else None
            key = "shared-neutral-on-one-leg"
            yield advise(
                tables, key, part=one.id, among=among, value=value, limit=limit, unit="A" if known else None
            )
        elif one.leg is None or other.leg is None:
            yield advise(tables, "shared-neutral-legs-not-known", part=one.id, among=among)
        tied = {one.tied, other.tied} - {None}
        if False in tied:
            yield advise(tables, "shared-neutral-not-tied", part=one.id, among=among)
        elif not tied:
            yield advise(tables, "shared-neutral-tie-not-known", part=one.id, among=among)
        for breaker in (one, other):
            if breaker.gfci:
                yield advise(tables, "gfci-with-shared-neutral", part=breaker.id, among=among)


def _pairs(wiring: NumberedMap) -> Iterator[tuple[MapPart, MapPart]]:
    """Give each two breakers that share a neutral, once."""
    parts, told = wiring.rig_map.parts, set[frozenset[str]]()
    for part in parts:
        pair = frozenset((part.id, part.shares_neutral or part.id))
        if len(pair) > 1 and pair not in told:
            told.add(pair)
            yield part, parts[wiring.number[part.shares_neutral or ""]]


def _are_on_one_leg(
    wiring: NumberedMap, mode: str, one: MapPart, other: MapPart, two_legs_from_amps: float
) -> bool:
    if one.leg is not None and one.leg == other.leg and one.leg != "both":
        return True
    places = (wiring.number[part.id] for part in (one, other))
    return any(_has_one_hot(wiring, mode, place, two_legs_from_amps) for place in places)


def _has_one_hot(wiring: NumberedMap, mode: str, place: int, two_legs_from_amps: float) -> bool:
    """Say whether power comes through an inlet or a pedestal outlet that is noted as one with one hot."""
    ways = (wiring.drawn.starts[run] for run in wiring.way_up(mode, wiring.drawn, place))
    entries = (
        part for part in (wiring.rig_map.parts[one] for one in ways) if part.kind in ("inlet", "supply")
    )
    return any(part.amps is not None and part.amps < two_legs_from_amps for part in entries)
