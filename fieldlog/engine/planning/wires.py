"""The wires inside the rig whose ohms count, from the branches that have them."""

from collections.abc import Mapping, Sequence

from fieldlog.engine.fields import Fields
from fieldlog.engine.planning.model import Load, Wire

Told = Mapping[int, tuple[float, float, Sequence[int]]]
"""By number of a branch, its ohms, its amps and the places of its loads; only of branches with ohms."""


def wires_of(told: Told, loads: Sequence[Load], fields: Fields) -> tuple[list[Wire], dict[int, int]]:
    """Give the wires, each after the one that it begins at, and by place of a load the wire that it hangs on.

    Parameters
    ----------
    told : mapping
        By number of a branch, its ohms [ohm], its rating [A] and the places of its loads.
    loads : sequence of Load
        In the order of the input.
    fields : Fields
        Where problems go: two branches that share only some of their loads, or one with loads of two hots.

    Returns
    -------
    list of Wire, dict of int to int
        A branch with all the loads of another, and more, lies before it; of two with the same loads the one
        that is told first.

    Examples
    --------
    >>> wires, within = wires_of({0: (0.1, 15.0, [0]), 1: (0.2, 20.0, [0, 1])}, [], Fields())
    >>> [(wire.ohms, wire.parent) for wire in wires], within
    ([(0.2, -1), (0.1, 0)], {0: 1, 1: 0})
    """
    wires: list[Wire] = []
    within: dict[int, int] = {}
    for number in sorted(told, key=lambda each: (-len(told[each][2]), each)):
        ohms, amps, places = told[number]
        parents = {within.get(place, -1) for place in places}
        if len(parents) > 1:
            fields.problem(
                f"/branches/{number}/loads",
                "must be all the loads of another branch with ohms, some of them, or none.",
            )
            continue
        legs = {loads[place].leg for place in places if place < len(loads)}
        if len(legs) > 1:
            fields.problem(f"/branches/{number}/loads", "must be of one leg where the branch has ohms.")
            continue
        wires.append(Wire(ohms, amps, next(iter(parents), -1), next(iter(legs), "x")))
        within |= dict.fromkeys(places, len(wires) - 1)
    return wires, within
