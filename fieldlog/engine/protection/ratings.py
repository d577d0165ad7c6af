"""Whether wire, cord, breaker and receptacle go together."""

from collections.abc import Iterable, Iterator

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.map import NumberedMap
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import MapFinding, MapPart

CORD_ENDS = ("cord-gfci", "inlet", "strip")
"""What a flexible cord leads to; the rule for fixed wire does not speak of it."""
SOURCES = ("supply", "inlet", "inverter")


def rating_findings(wiring: NumberedMap, mode: str, tables: CodeTables) -> list[MapFinding]:
    """Give what stands against gauges and ratings, and a note for each that is not noted.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.
    tables : CodeTables
        Ampacities and the largest breakers.

    Returns
    -------
    list of MapFinding
        In order of runs, then of parts; then what is not known, once for each breaker.

    References
    ----------
    NEC 240.4(D), 240.5(B)(3) and (4), Table 310.16, 110.14(C), Table 400.5(A)(1), 210.21(B).
    """
    runs = [run for run in wiring.feeds[mode] if run >= 0]
    before = {run: rating_before(wiring, mode, run) for run in sorted(runs)}
    return [
        *(one for run, part in before.items() for one in _one_run(wiring, run, part, tables)),
        *_receptacles(wiring, mode, tables),
        *_not_noted(wiring, before, tables),
    ]


def rating_before(wiring: NumberedMap, mode: str, run: int) -> MapPart | None:
    """Give the part whose rating stands before a run: the nearest breaker, else where the power comes from.

    Parameters
    ----------
    wiring : NumberedMap
        The map.
    mode : str
        Name of the mode.
    run : int
        Number of the run.

    Returns
    -------
    MapPart or None
        None where neither a breaker nor a rated source is before it.
    """
    parts, starts = wiring.rig_map.parts, wiring.drawn.starts
    above = [starts[run], *(starts[one] for one in wiring.way_up(mode, wiring.drawn, starts[run]))]
    breakers = (parts[place] for place in above if place in wiring.breakers)
    rated = (parts[place] for place in reversed(above) if parts[place].amps is not None)
    sources = (part for part in rated if part.kind in SOURCES)
    return next(breakers, next(sources, None))


def _one_run(
    wiring: NumberedMap, run: int, before: MapPart | None, tables: CodeTables
) -> Iterator[MapFinding]:
    awg = wiring.rig_map.runs[run].awg
    if awg is None or before is None or before.amps is None:
        return
    cord = wiring.rig_map.runs[run].cord
    if cord is not None:
        key, most = _most_before_cord_set(awg, before.amps, cord, tables)
    else:
        key, most = _most_before(awg, before.amps, _is_cord(wiring, run), tables)
    if key and most is None:
        yield advise(tables, key, part=before.id, runs=(run,))
    elif key:
        yield advise(tables, key, part=before.id, runs=(run,), value=before.amps, limit=most, unit="A")


def _is_cord(wiring: NumberedMap, run: int) -> bool:
    return wiring.rig_map.parts[wiring.ends[run]].kind in CORD_ENDS


def _most_before_cord_set(awg: int, amps: float, cord: str, tables: CodeTables) -> tuple[str, float | None]:
    """Give the finding on a cord set behind a rating, NEC 240.5(B)(3) and (4), and what it takes [A].

    A listed set is protected where it is used as its listing says; its ampacity still is what it carries. A
    set made up in the field may be 16 AWG or thicker behind up to 20 A.
    """
    plain = tables.value(f"cord-two-{awg}")
    if plain is None:
        return "gauge-not-in-table", None
    if cord == "listed":
        return ("cord-set-by-its-listing", plain) if amps > plain else ("", None)
    thinnest, most = (tables.value(f"field-made-cord-{what}") for what in ("thinnest", "most"))
    is_allowed = thinnest is not None and most is not None and awg <= thinnest and amps <= most
    return ("", None) if is_allowed or amps <= plain else ("field-made-cord-too-thin", plain)


def _most_before(awg: int, amps: float, is_cord: bool, tables: CodeTables) -> tuple[str, float | None]:
    """Give the finding on a gauge behind a rating, "" for none, and the most that may stand before it [A]."""
    if is_cord:
        return _above(amps, tables.value(f"cord-two-{awg}"), "cord-too-thin")
    most = tables.value(f"breaker-most-{awg}")
    if most is not None:
        return _above(amps, most, "breaker-too-big-for-wire")
    plain, marked = (tables.value(f"ampacity-{column}-{awg}") for column in (60, 75))
    if plain is None or marked is None:
        return "gauge-not-in-table", None
    if amps <= _next_standard(plain, tables):
        return "", None
    if amps <= _next_standard(marked, tables):
        return "breaker-needs-75-degrees", plain
    return "breaker-above-ampacity", marked


def _above(amps: float, most: float | None, key: str) -> tuple[str, float | None]:
    if most is None:
        return "gauge-not-in-table", None
    return (key, most) if amps > most else ("", None)


def _next_standard(ampacity: float, tables: CodeTables) -> float:
    """Give the next standard breaker from an ampacity up [A], NEC 240.4(B)."""
    standard = (entry.value for key, entry in tables.entries.items() if key.startswith("standard-breaker-"))
    return min((amps for amps in standard if amps >= ampacity), default=ampacity)


def _receptacles(wiring: NumberedMap, mode: str, tables: CodeTables) -> Iterator[MapFinding]:
    for circuit, receptacles in _by_circuit(wiring, mode):
        rated = [(part, part.amps) for part in receptacles if part.amps is not None]
        if circuit.amps is None or not rated:
            continue
        if len(receptacles) > 1 and not _fitting(circuit.amps, tables):
            among = tuple(part.id for part, _ in rated)
            yield advise(
                tables, "circuit-not-in-table", part=circuit.id, among=among, value=circuit.amps, unit="A"
            )
            continue
        for part, amps in rated:
            key = _misfit(amps, circuit.amps, len(receptacles), tables)
            if key:
                yield advise(tables, key, part=part.id, value=amps, limit=circuit.amps, unit="A")


def _by_circuit(wiring: NumberedMap, mode: str) -> Iterable[tuple[MapPart, list[MapPart]]]:
    found: dict[str, tuple[MapPart, list[MapPart]]] = {}
    for place, part in enumerate(wiring.rig_map.parts):
        run = wiring.feeds[mode][place]
        circuit = rating_before(wiring, mode, run) if run >= 0 else None
        if part.kind in ("receptacle", "gfci-receptacle") and circuit is not None:
            found.setdefault(circuit.id, (circuit, []))[1].append(part)
    return found.values()


def _fitting(circuit: float, tables: CodeTables) -> tuple[float, float] | None:
    """Give the least and the most rating of receptacles on a circuit [A], None where no table has it."""
    least, most = (tables.value(f"receptacle-{end}-{circuit:g}") for end in ("least", "most"))
    return None if least is None or most is None else (least, most)


def _misfit(amps: float, circuit: float, count: int, tables: CodeTables) -> str:
    if count == 1:
        return "receptacle-below-circuit" if amps < circuit else ""
    fitting = _fitting(circuit, tables)
    return "" if fitting is None or fitting[0] <= amps <= fitting[1] else "receptacle-not-for-circuit"


def _not_noted(
    wiring: NumberedMap, before: dict[int, MapPart | None], tables: CodeTables
) -> Iterator[MapFinding]:
    gauge: dict[str | None, list[int]] = {}
    rating: dict[str | None, list[int]] = {}
    for run, part in before.items():
        if wiring.rig_map.runs[run].awg is None:
            gauge.setdefault(part.id if part else None, []).append(run)
        if part is None or part.amps is None:
            rating.setdefault(part.id if part else None, []).append(run)
    for place, runs in gauge.items():
        yield advise(tables, "gauge-not-known", part=place, runs=tuple(runs))
    for place, runs in rating.items():
        yield advise(tables, "breaker-rating-not-known", part=place, runs=tuple(runs))
    receptacles = tuple(
        part.id
        for part in wiring.rig_map.parts
        if part.kind in ("receptacle", "gfci-receptacle") and part.amps is None
    )
    if receptacles:
        yield advise(tables, "receptacle-rating-not-known", among=receptacles)
