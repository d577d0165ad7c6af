"""What a change to the wiring touches: the parts themselves and all that hangs on them, in any mode."""

from collections.abc import Collection, Iterable, Mapping, Sequence

from fieldlog.engine.protection.guards import guards_of
from fieldlog.engine.protection.map import wire
from fieldlog.model.proving import Touched
from fieldlog.model.rig_map import RigMap


def touched_by(rig_map: RigMap, parts: Collection[str], pairs: Mapping[str, Sequence[str]]) -> Touched:
    """Give what has to be proved after a change.

    Parameters
    ----------
    rig_map : RigMap
        As it is after the change.
    parts : collection of str
        Ids of the parts that were changed; those that the map does not have are passed over.
    pairs : mapping of str to sequence of str
        By id, the pairs of contacts of every part that can be probed.

    Returns
    -------
    Touched
        Outlets that were changed or lie beyond what was; devices that were changed, lie beyond, or guard
        such an outlet; every inverter, since it may start by itself. In the order of the map.

    Examples
    --------
    >>> from fieldlog.model.rig_map import Part, Run
    >>> parts = (Part("inlet", "inlet"), Part("g", "gfci-receptacle"), Part("r", "receptacle"))
    >>> rig = RigMap(parts, (Run("inlet", "g"), Run("g", "r", "load")))
    >>> three = ("h-n", "h-g", "n-g")
    >>> found = touched_by(rig, ["r"], {"g": three, "r": three})
    >>> [part for part, _ in found.outlets], found.devices
    (['r'], ('g',))
    """
    wiring = wire(rig_map)
    known = wiring.number.keys() & set(parts)
    touched = below(((run.start, run.end) for run in rig_map.runs), known)
    guards = {
        guard
        for mode in wiring.feeds
        for outlet, by in guards_of(wiring, mode).items()
        if outlet in touched
        for guard in by
    }
    return Touched(
        outlets=tuple(
            (part.id, tuple(pairs[part.id])) for part in rig_map.parts if part.id in touched & pairs.keys()
        ),
        devices=tuple(
            part.id for part in rig_map.parts if part.is_guard and (part.id in touched or part.id in guards)
        ),
        sources=tuple(part.id for part in rig_map.parts if part.kind == "inverter"),
    )


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
