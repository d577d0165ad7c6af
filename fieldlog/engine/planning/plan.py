"""What can run here: the answer of a plan."""

from dataclasses import replace
from typing import Any

from fieldlog.engine.planning.circuit import amps_of, loop_ohms, node_volts, seen_by, start_volts
from fieldlog.engine.planning.findings import WorkedPlan, findings, told
from fieldlog.engine.planning.intake import read_plan
from fieldlog.engine.planning.legs import LegsAtOnce, together
from fieldlog.engine.planning.limits import binding, ratings
from fieldlog.engine.planning.loading import Circuit
from fieldlog.engine.planning.model import Legs, Load, Supply
from fieldlog.engine.planning.together import Sets, sets_together
from fieldlog.model.code_tables import CodeTables


def plan(value: Any, tables: CodeTables) -> dict[str, Any]:
    """Say what can run on a supply.

    Parameters
    ----------
    value : JSON object
        "volts" [V] of the supply with nothing on and "source_ohms" [ohm] are needed, unless there is a
        "battery"; "loads" are needed; "breaker_amps", "receptacle_amps", "limit_amps" [A], "supply" and
        "cords" where known; "branches" of the rig, each "name", "amps" and "loads" (numbers, from 0), and
        "ohms" [ohm] of its wire, there and back, where known; "legs" where the supply has two hots.
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    dict
        "limit_amps" [A] and "limited_by", the rating that binds; "amps" [A], "volts_at_rig" [V] and
        "drop_percent" with all loads on; "fits"; "loads", each with its "amps", "start_volts" and "runs";
        "runs_together", the best sets that can take no more; "runtime_hours" [h] on a battery; "findings".
        Where wires of the rig have ohms or there are two legs, "volts" [V] of each load as well; with two
        legs "legs", for each its "volts_at_rig" [V], "amps" [A] and "volts_alone" [V] with the other one off,
        and "neutral_amps" [A]: "volts_at_rig" and "amps" are then those of the leg that is worse. What cannot
        be told is null.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.

    Notes
    -----
    A plan is arithmetic on what was typed in; it proves no wiring. Loads fit where what runs for less than
    three hours, and a quarter more of what runs for longer, is within the smallest rating. With two legs
    nothing is built on the help of the other one, whose loads may switch themselves off: what fits, runs and
    runs together is judged leg by leg.

    Examples
    --------
    24 A of a resistance behind 0.15 ohm and 50 ft of 10 AWG:

    >>> from fieldlog.tables import load
    >>> asked = {"volts": 115.0, "source_ohms": 0.15, "breaker_amps": 30}
    >>> asked |= {"cords": [{"awg": 10, "feet": 50, "contacts_ohms": 0.0}]}
    >>> heater = {"name": "heater", "amps": 24.0, "rated_volts": 108.424, "kind": "resistive"}
    >>> answer = plan(asked | {"loads": [heater]}, load())
    >>> round(answer["volts_at_rig"], 3), answer["fits"], answer["limited_by"]
    (108.424, True, 'breaker')
    """
    supply, loads = read_plan(value, tables)
    if supply.legs is not None:
        return _of_two_legs(supply, supply.legs, loads, tables)
    planned, circuit = planned_of(supply, loads, tables)
    sets = sets_together(loads, [circuit])
    return {
        **_limit_answer(planned),
        "amps": planned.amps,
        "volts_at_rig": planned.volts,
        "drop_percent": planned.drop_percent,
        "fits": planned.fits,
        "loads": [_load_answer(load, planned) for load in loads],
        **_sets_answer(sets),
        "runtime_hours": runtime_hours(planned),
        "findings": [*findings(planned, tables), *_not_all_tried(sets, tables)],
    }


def planned_of(
    supply: Supply, loads: tuple[Load, ...], tables: CodeTables, leg: str = "x"
) -> tuple[WorkedPlan, Circuit]:
    """Work out what one hot of a supply gives with all its loads on."""
    ohms = loop_ohms(supply, tables)
    limit = binding(found := ratings(supply, tables))
    circuit = Circuit(
        volts=supply.volts,
        ohms=ohms,
        limit_amps=None if limit is None else limit.amps,
        tables=tables,
        branches=supply.branches,
        wires=supply.wires,
        leg=leg,
        factor=1.0 if supply.legs is None else supply.legs.factor,
    )
    own = tuple(each for each in map(circuit.own, loads) if each is not None)
    at = node_volts(own, supply.volts, ohms, supply.wires)
    starts = tuple(
        start_volts(load, [*own[:place], *own[place + 1 :]], supply.volts, ohms, supply.wires)
        for place, load in enumerate(own)
    )
    planned = WorkedPlan(
        supply=supply,
        loads=own,
        ohms=ohms,
        volts=None if at is None else at[0],
        amps=None if at is None else amps_of(own, seen_by(own, at)),
        ratings=tuple(found),
        limit=limit,
        at=tuple(at or ()),
        starts=starts,
        tables=tables,
    )
    return planned, circuit


def _of_two_legs(supply: Supply, legs: Legs, loads: tuple[Load, ...], tables: CodeTables) -> dict[str, Any]:
    """Answer leg by leg; what both give together stands beside it."""
    volts = {"x": supply.volts, "y": legs.volts_y}
    alone = [planned_of(_leg_of(supply, legs, leg, volts[leg]), loads, tables, leg) for leg in volts]
    plans = dict(zip(volts, (planned for planned, _ in alone), strict=True))
    sets = sets_together(loads, [circuit for _, circuit in alone])
    ohms = plans["x"].ohms
    neutral = tables.entries["neutral-share"].value * ohms
    both = together(loads, supply.volts, legs, ohms - neutral, neutral, supply.wires)
    worse = 0 if both is None or both.volts[0] / volts["x"] <= both.volts[1] / volts["y"] else 1
    opened = volts["xy"[worse]]
    at_rig = None if both is None else both.volts[worse]
    return {
        **_limit_answer(plans["x"]),
        "amps": None if both is None else max(both.amps[0], both.amps[1]),
        "volts_at_rig": at_rig,
        "drop_percent": None if at_rig is None else 100 * (opened - at_rig) / opened,
        "fits": all(each.fits for each in plans.values()),
        "loads": [_leg_load(place, loads, plans, both) for place in range(len(loads))],
        **_sets_answer(sets),
        "runtime_hours": None,
        "legs": {
            leg: {
                "volts_at_rig": None if both is None else both.volts[number],
                "amps": None if both is None else both.amps[number],
                "volts_alone": plans[leg].volts,
            }
            for number, leg in enumerate(volts)
        },
        "neutral_amps": None if both is None else both.amps[2],
        "findings": [
            *_leg_findings(plans, tables),
            *_together_findings(legs, loads, both, tables),
            *_not_all_tried(sets, tables),
        ],
    }


def _leg_of(supply: Supply, legs: Legs, leg: str, volts: float) -> Supply:
    """Give one hot as a supply by itself; what is lost between the hots is lost in the share of one."""
    wires = tuple(
        replace(wire, ohms=wire.ohms / legs.factor) if wire.leg == "both" else wire for wire in supply.wires
    )
    return replace(supply, volts=volts, wires=wires)


def _leg_load(
    place: int, loads: tuple[Load, ...], plans: dict[str, WorkedPlan], both: LegsAtOnce | None
) -> dict[str, Any]:
    """Answer for a load by the worse of the legs that it hangs on."""
    load = loads[place]
    starts: list[float | None] = []
    runs = True
    for leg, planned in plans.items():
        if load.leg in (leg, "both"):
            number = sum(each.leg in (leg, "both") for each in loads[:place])
            starts.append(planned.starts[number])
            runs = runs and planned.runs(planned.loads[number])
    known = [each for each in starts if each is not None]
    volts = None if both is None else both.volts_of(load)
    return {
        "name": load.name,
        "amps": None if volts is None else load.amps_at(volts),
        "start_volts": min(known) if len(known) == len(starts) else None,
        "runs": runs,
        "volts": volts,
    }


def _leg_findings(plans: dict[str, WorkedPlan], tables: CodeTables) -> list[dict[str, Any]]:
    """Give what speaks against each leg; what is the same of both is told once."""
    of_x, of_y = (findings(each, tables) for each in plans.values())
    same = [each for each in of_x if each in of_y]
    found = [("X", each) for each in of_x if each not in same] + [
        ("Y", each) for each in of_y if each not in same
    ]
    return [*same, *(each | {"says": f"Leg {leg}, the other one off: {each['says']}"} for leg, each in found)]


def _together_findings(
    legs: Legs, loads: tuple[Load, ...], both: LegsAtOnce | None, tables: CodeTables
) -> list[dict[str, Any]]:
    if both is None:
        return []
    found: list[dict[str, Any]] = []
    high = tables.entries["high-stop"].value
    if max(both.volts[0], both.volts[1]) > high:
        found.append(told("rig-volts-too-high", None, max(both.volts[0], both.volts[1]), high, tables))
    if legs.cosine > -1.0 and both.amps[2] > 0:
        found.append(told("neutral-carries", None, both.amps[2], None, tables))
    for load in loads:
        least = load.rated_volts * tables.entries["motor-least-share"].value
        if load.leg == "both" and both.volts_of(load) < least:
            found.append(told("between-hots-low", load.name, both.volts_of(load), least, tables))
    return found


def _limit_answer(planned: WorkedPlan) -> dict[str, Any]:
    limit = planned.limit
    return {
        "limit_amps": None if limit is None else limit.amps,
        "limited_by": "none" if limit is None else limit.what,
    }


def _sets_answer(sets: Sets) -> dict[str, Any]:
    return {"runs_together": [[load.name for load in each] for each in sets.best]}


def _not_all_tried(sets: Sets, tables: CodeTables) -> list[dict[str, Any]]:
    return [] if sets.is_exact else [told("sets-not-all-tried", None, None, None, tables)]


def _load_answer(load: Load, planned: WorkedPlan) -> dict[str, Any]:
    volts = planned.volts_of(load)
    answer = {
        "name": load.name,
        "amps": None if volts is None else load.amps_at(volts),
        "start_volts": planned.start_of(load),
        "runs": planned.runs(load),
    }
    return answer | {"volts": volts} if planned.supply.wires else answer


def runtime_hours(planned: WorkedPlan) -> float | None:
    """Give for how long the battery feeds all loads [h], None without one or where they do not fit.

    Notes
    -----
    Usable energy divided by what is taken: the loads' watts over the inverter's efficiency, and its own draw.

    References
    ----------
    Common practice: ampere hours × volts × depth of discharge × efficiency ÷ watts.
    """
    battery = planned.supply.battery
    if battery is None or not planned.fits:
        return None
    watts = 0.0
    for load in planned.loads:
        watts += load.watts
    taken = watts / battery.efficiency + battery.idle_watts
    return battery.usable_watt_hours / taken if taken > 0 else None
