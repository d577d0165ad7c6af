"""What can run here: the answer of a plan."""

from typing import Any

from fieldlog.engine.planning.circuit import amps_of, loop_ohms, start_volts, volts_with
from fieldlog.engine.planning.findings import Planned, findings
from fieldlog.engine.planning.intake import read_plan
from fieldlog.engine.planning.limits import binding, ratings
from fieldlog.engine.planning.loading import Circuit
from fieldlog.engine.planning.model import Load, Supply
from fieldlog.engine.planning.together import sets_together
from fieldlog.model.code_tables import CodeTables


def plan(value: Any, tables: CodeTables) -> dict[str, Any]:
    """Say what can run on a supply.

    Parameters
    ----------
    value : JSON object
        "volts" [V] of the supply with nothing on and "source_ohms" [ohm] are needed, unless there is a
        "battery"; "loads" are needed; "breaker_amps", "receptacle_amps", "limit_amps" [A], "supply" and
        "cords" where known; "branches" of the rig, each "name", "amps" and "loads" (numbers, from 0).
    tables : CodeTables
        As fieldlog.tables.load gives them.

    Returns
    -------
    dict
        "limit_amps" [A] and "limited_by", the rating that binds; "amps" [A], "volts_at_rig" [V] and
        "drop_percent" with all loads on; "fits"; "loads", each with its "amps", "start_volts" and "runs";
        "runs_together", the best sets that can take no more; "runtime_hours" [h] on a battery; "findings".
        What cannot be told is null.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.

    Notes
    -----
    A plan is arithmetic on what was typed in; it proves no wiring. Loads fit where what runs for less than
    three hours, and a quarter more of what runs for longer, is within the smallest rating.

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
    planned = planned_of(supply, loads, tables)
    limit = planned.limit
    return {
        "limit_amps": None if limit is None else limit.amps,
        "limited_by": "none" if limit is None else limit.what,
        "amps": planned.amps,
        "volts_at_rig": planned.volts,
        "drop_percent": planned.drop_percent,
        "fits": planned.fits,
        "loads": [_load_answer(load, planned) for load in loads],
        "runs_together": [[load.name for load in each] for each in planned.sets.best],
        "runtime_hours": runtime_hours(planned),
        "findings": findings(planned, tables),
    }


def planned_of(supply: Supply, loads: tuple[Load, ...], tables: CodeTables) -> Planned:
    """Work out what a supply gives with all loads on."""
    ohms = loop_ohms(supply, tables)
    volts = volts_with(loads, supply.volts, ohms)
    found = ratings(supply, tables)
    limit = binding(found)
    circuit = Circuit(supply.volts, ohms, None if limit is None else limit.amps, tables, supply.branches)
    starts = tuple(
        start_volts(load, [*loads[:place], *loads[place + 1 :]], supply.volts, ohms)
        for place, load in enumerate(loads)
    )
    return Planned(
        supply=supply,
        loads=loads,
        ohms=ohms,
        volts=volts,
        amps=None if volts is None else amps_of(loads, volts),
        ratings=tuple(found),
        limit=limit,
        starts=starts,
        sets=sets_together(loads, circuit),
        tables=tables,
    )


def _load_answer(load: Load, planned: Planned) -> dict[str, Any]:
    volts = planned.volts
    return {
        "name": load.name,
        "amps": None if volts is None else load.amps_at(volts),
        "start_volts": planned.start_of(load),
        "runs": planned.runs(load),
    }


def runtime_hours(planned: Planned) -> float | None:
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
