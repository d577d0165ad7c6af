"""What a change to the wiring touches: the parts themselves and all that hangs on them, in any mode."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from fieldlog.engine.protection.guards import guards_of
from fieldlog.engine.protection.map import wire
from fieldlog.model.contacts import THREE_WIRE, contacts_of_inlet
from fieldlog.model.proving import ChangeScope
from fieldlog.model.rig_map import RigMap

Ways = Sequence[tuple[str, str]]


def touched_by(
    rig_map: RigMap,
    parts: Collection[str],
    pairs: Mapping[str, Sequence[str]],
    earlier: Iterable[Ways] = (),
    guards: Mapping[str, Collection[str]] | None = None,
    *,
    two_legs_amps: float,
) -> ChangeScope:
    """Give what has to be proved after a change.

    Parameters
    ----------
    rig_map : RigMap
        As it is after the change.
    parts : collection of str
        Ids of the parts that were changed; where the map no longer has one, what once hung on it counts.
    pairs : mapping of str to sequence of str
        By id, the pairs of contacts of every part that can be probed.
    earlier : iterable of sequence of (str, str)
        From which part to which each run led, in each version of the map from the one before the change on.
    guards : mapping of str to collection of str, optional
        What `guards_of_outlets` gives, where several changes are asked about.
    two_legs_amps : float
        The rating at which an inlet has two hots [A].

    Returns
    -------
    ChangeScope
        Outlets and appliances that were changed or lie beyond what was, now or in an earlier version;
        devices that were changed, lie beyond, or guard such an outlet; every inverter, since it may start by
        itself; every inlet, relay and branch breaker. In the order of the map.

    Notes
    -----
    A change may take a part out, or feed what hung on it from elsewhere; what hung on it was worked on.

    Examples
    --------
    >>> from fieldlog.model.rig_map import MapPart, Run
    >>> parts = (MapPart("inlet", "inlet"), MapPart("g", "gfci-receptacle"), MapPart("r", "receptacle"))
    >>> rig = RigMap(parts, (Run("inlet", "g"), Run("g", "r", "load")))
    >>> three = ("h-n", "h-g", "n-g")
    >>> found = touched_by(rig, ["r"], {"g": three, "r": three}, two_legs_amps=50)
    >>> [part for part, _ in found.outlets], found.devices
    (['r'], ('g',))
    >>> without = RigMap((parts[0], parts[2]), (Run("inlet", "r"),))
    >>> once = [[("inlet", "g"), ("g", "r")]]
    >>> found = touched_by(without, ["g"], {"r": three}, once, two_legs_amps=50)
    >>> [part for part, _ in found.outlets]
    ['r']
    """
    now = [(run.start, run.end) for run in rig_map.runs]
    once = set(parts).union(*(below(ways, parts) for ways in earlier))
    touched = below(now, {part.id for part in rig_map.parts} & once)
    known = guards_of_outlets(rig_map) if guards is None else guards
    guarding = {guard for outlet in touched for guard in known.get(outlet, ())}
    return ChangeScope(
        outlets=tuple(
            (part.id, tuple(pairs[part.id])) for part in rig_map.parts if part.id in touched & pairs.keys()
        ),
        devices=tuple(
            part.id for part in rig_map.parts if part.is_guard and (part.id in touched or part.id in guarding)
        ),
        sources=tuple(part.id for part in rig_map.parts if part.kind == "inverter"),
        frames=tuple(part.id for part in rig_map.parts if part.kind == "appliance" and part.id in touched),
        inlets=_inlets(rig_map, pairs, two_legs_amps),
        outputs=tuple(
            (part.id, tuple(pairs.get(part.id) or THREE_WIRE.usual))
            for part in rig_map.parts
            if part.kind == "inverter"
        ),
        relays=tuple(part.id for part in rig_map.parts if part.kind == "relay"),
        branches=_branches(rig_map, now),
    )


def guards_of_outlets(rig_map: RigMap) -> dict[str, set[str]]:
    """Give what guards each outlet of a map in any of its modes.

    Parameters
    ----------
    rig_map : RigMap
        With up to 150 modes or so; each is gone through once.

    Returns
    -------
    dict of str to set of str
        Ids of devices by the ids of outlets.
    """
    wiring = wire(rig_map)
    found: dict[str, set[str]] = {}
    for mode in wiring.feeds:
        for outlet, by in guards_of(wiring, mode).items():
            found.setdefault(outlet, set()).update(by)
    return found


def _branches(rig_map: RigMap, ways: Ways) -> tuple[str, ...]:
    """Give the breakers with no other breaker beyond them, in any mode."""
    breakers = {part.id for part in rig_map.parts if part.kind == "breaker"}
    above = below([(end, start) for start, end in ways], {start for start, end in ways if end in breakers})
    return tuple(part.id for part in rig_map.parts if part.id in breakers - above)


def _inlets(
    rig_map: RigMap, pairs: Mapping[str, Sequence[str]], two_legs_amps: float
) -> tuple[tuple[str | None, tuple[str, ...]], ...]:
    """Give every inlet with its pairs; one without an id where the map has none: a cord enters somewhere."""
    found = tuple(
        (part.id, tuple(pairs.get(part.id) or contacts_of_inlet(part.amps, two_legs_amps).usual))
        for part in rig_map.parts
        if part.kind == "inlet"
    )
    return found or ((None, THREE_WIRE.usual),)


def below(ways: Iterable[tuple[str, str]], parts: Collection[str]) -> set[str]:
    """Give parts and all that hangs on them, whatever the mode.

    Parameters
    ----------
    ways : iterable of (str, str)
        From which part to which each run leads.
    parts : collection of str
        Ids of parts.

    Returns
    -------
    set of str

    Examples
    --------
    >>> sorted(below([("a", "b"), ("b", "c"), ("x", "y")], ["a"]))
    ['a', 'b', 'c']
    """
    known = list(ways)
    found, waiting = set(parts), list(parts)
    while waiting:
        start = waiting.pop()
        new = {end for begin, end in known if begin == start} - found
        found |= new
        waiting += new
    return found
