"""A rig map, judged: guards, contradictions, explanations and advice, mode by mode."""

from typing import Any

from fieldlog.engine.protection.advice import advise
from fieldlog.engine.protection.contradictions import (
    contradictions,
    modes_of_trips,
    sightings,
    trips_that_contradict,
)
from fieldlog.engine.protection.disproved import disproved
from fieldlog.engine.protection.explanations import Amendments, explain
from fieldlog.engine.protection.findings import ModeMap, find
from fieldlog.engine.protection.intake import read_map
from fieldlog.engine.protection.map import wire
from fieldlog.engine.protection.one_more import DevicePlace, one_more
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.rig_map import Amendment, Contradiction, MapFinding, Protection, RigMap


def answer(value: Any, tables: CodeTables) -> dict[str, object]:
    """Judge a rig map that comes as JSON.

    Parameters
    ----------
    value : JSON object
        With "parts", and where noted "runs", "trips" and "modes"; fieldlog protect --help has all members.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    dict
        "protected_by", "unprotected", "contradictions", "explanations" and "findings"; with modes one such
        object for each, under "modes".

    Raises
    ------
    BadInput
        With every problem found, each naming its member and its part.

    Examples
    --------
    A GFCI receptacle guards its own face and what lies on its load side, and not what shares its feed:

    >>> from fieldlog.tables import load
    >>> parts = [{"id": "inlet", "kind": "inlet"}, {"id": "g", "kind": "gfci-receptacle"}]
    >>> parts += [{"id": "r1", "kind": "receptacle"}, {"id": "r2", "kind": "receptacle"}]
    >>> runs = [{"from": "inlet", "to": "g"}, {"from": "g", "from_side": "load", "to": "r1"}]
    >>> runs += [{"from": "g", "to": "r2"}]
    >>> found = answer({"parts": parts, "runs": runs}, load())
    >>> found["protected_by"], found["unprotected"]
    ({'g': ['g'], 'r1': ['g']}, ['r2'])
    """
    rig_map = read_map(value)
    judged = {mode: one.as_json() for mode, one in judge(rig_map, tables).items()}
    return {"modes": judged} if rig_map.modes else judged[""]


def judge(rig_map: RigMap, tables: CodeTables) -> dict[str, Protection]:
    """Judge a rig map.

    Parameters
    ----------
    rig_map : RigMap
        As `read_map` gives it.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    dict of str to Protection
        By mode; under "" where the map has none.

    Notes
    -----
    A trip is held against the map in its own mode, one that names none in the mode that it fits best. An
    explanation has to leave no contradiction in any mode, and stands with each mode that has some. None is
    looked for where two runs feed one part at once: that comes first. A guard that a trip disproved guards
    nothing; the map says otherwise, so it is a finding.
    """
    wiring = wire(rig_map)
    modes = modes_of_trips(wiring)
    against = {mode: tuple(contradictions(wiring, modes, mode)) for mode in wiring.feeds}
    notes = {mode: list[MapFinding]() for mode in wiring.feeds}
    for _, later, part in trips_that_contradict(wiring, modes):
        notes[modes[later]].append(advise(tables, "trips-disagree", part=part))
    found = Amendments((), True)
    if any(wiring.joins.values()):
        found = Amendments((), False)
    elif any(against.values()) and not any(notes.values()):
        found = explain(wiring, sightings(wiring, modes))
    for mode, contradicted in against.items():
        if contradicted and not found.is_whole:
            notes[mode].append(advise(tables, "explanations-not-all-tried"))
    denied = {mode: disproved(wiring, mode, modes, against[mode]) for mode in wiring.feeds}
    return {
        mode: _protection(
            ModeMap.of(wiring, mode, denied[mode]),
            tables,
            against[mode],
            found.told if against[mode] else (),
            notes[mode],
        )
        for mode in wiring.feeds
    }


def places_for_one_more(rig_map: RigMap) -> dict[str, list[DevicePlace]]:
    """Give, by mode, where one more ground-fault device would guard something, best first.

    Parameters
    ----------
    rig_map : RigMap
        As `read_map` gives it.

    Returns
    -------
    dict of str to list of DevicePlace
        Under "" where the map has no modes.
    """
    wiring = wire(rig_map)
    return {mode: one_more(wiring, mode) for mode in wiring.feeds}


def _protection(
    standing: ModeMap,
    tables: CodeTables,
    against: tuple[Contradiction, ...],
    explanations: tuple[Amendment, ...],
    notes: list[MapFinding],
) -> Protection:
    return Protection(
        protected_by={outlet: by for outlet, by in standing.guards.items() if by},
        unguarded=tuple(outlet for outlet, by in standing.guards.items() if not by),
        contradictions=against,
        explanations=explanations,
        findings=(*notes, *find(standing, tables)),
        disproved=standing.disproved,
    )
