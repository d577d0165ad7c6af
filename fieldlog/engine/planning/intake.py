"""A JSON object to a Supply and its Loads, or every problem in it."""

from collections.abc import Mapping
from dataclasses import replace
from math import sqrt
from typing import Any, Final

from fieldlog.engine.fields import Fields, is_object
from fieldlog.engine.planning.model import Battery, Branch, Cord, Legs, Load, Supply
from fieldlog.engine.planning.wires import wires_of
from fieldlog.errors import BadInput
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.part_kinds import CORD_GAUGES, LEGS
from fieldlog.model.spans import SPANS

SUPPLIES: Final = ("utility", "generator", "inverter")
KINDS: Final = ("resistive", "motor", "electronic")
MOST_LOADS: Final = 100
MOST_CORDS: Final = 10
MOST_BRANCHES: Final = 100
"""Own choices, far above any trailer."""
_BATTERY_VOLTS: Final = 120.0
"""What an inverter gives where nothing else is said."""
MEMBERS: Final = (
    *("volts", "source_ohms", "breaker_amps", "receptacle_amps", "supply", "limit_amps"),
    *("cords", "loads", "battery", "branches", "legs"),
)
_LOAD_MEMBERS: Final = (
    *("name", "watts", "amps", "rated_volts", "continuous", "kind", "start_multiple", "priority", "hours"),
    "leg",
)


def read_plan(value: Any, tables: CodeTables) -> tuple[Supply, tuple[Load, ...]]:
    """Give the supply and the loads that a JSON object stands for.

    Parameters
    ----------
    value : JSON value
        As for `plan`.
    tables : CodeTables
        What stands in for what is not told: ohms of contacts, how a motor starts, what runs for hours.

    Returns
    -------
    Supply, tuple of Load
        The loads in their order.

    Raises
    ------
    BadInput
        With every problem found, each naming its member.
    """
    fields = Fields()
    needed = ("loads",) if is_object(value) and value.get("battery") else ("volts", "source_ohms", "loads")
    plan = fields.members(value, "", MEMBERS, needed)
    battery = _battery(plan.get("battery"), fields)
    volts = fields.spanned(plan, "volts", "", SPANS["supply-volts"])
    ohms = fields.spanned(plan, "source_ohms", "", SPANS["ohms"])
    branches, within, told = _branches(plan, fields)
    legs = _legs(plan, volts, fields, tables)
    if legs and battery:
        fields.problem("/legs", "must not stand beside a battery: its inverter has one hot here.")
    loads = list(_loads(plan, fields, tables, within))
    for place, one in enumerate(fields.items(plan, "loads")[:MOST_LOADS]):
        if is_object(one) and (legs is None) is ("leg" in one):
            says = "is needed: x, y or both." if legs else "needs the legs of the supply beside it."
            fields.problem(f"/loads/{place}/leg", says)
    wires, hung = wires_of(told, loads, fields)
    supply = Supply(
        kind=fields.choice(plan, "supply", "", SUPPLIES) or ("inverter" if battery else "utility"),
        volts=_BATTERY_VOLTS if volts is None else volts,
        source_ohms=0.0 if ohms is None else ohms,
        breaker_amps=fields.spanned(plan, "breaker_amps", "", SPANS["supply-amps"]),
        receptacle_amps=fields.spanned(plan, "receptacle_amps", "", SPANS["supply-amps"]),
        limit_amps=fields.spanned(plan, "limit_amps", "", SPANS["supply-amps"]),
        cords=tuple(_cords(plan, fields, tables)),
        battery=battery,
        branches=tuple(branches),
        wires=tuple(wires),
        legs=legs,
    )
    _not_null(plan, "", needed, fields)
    if fields.problems:
        raise BadInput(fields.problems)
    return supply, tuple(replace(load, wire=hung.get(place, -1)) for place, load in enumerate(loads))


def _legs(plan: Mapping[str, Any], volts_x: float | None, fields: Fields, tables: CodeTables) -> Legs | None:
    """Give the second hot; the volts between the two tell how they stand to each other."""
    if plan.get("legs") is None:
        return None
    told = fields.members(plan["legs"], "/legs", ("volts_y", "volts_xy"), ("volts_y",))
    _not_null(told, "/legs", ("volts_y",), fields)
    volts_y = fields.spanned(told, "volts_y", "/legs", SPANS["supply-volts"]) or 120.0
    between = fields.spanned(told, "volts_xy", "/legs", SPANS["between-volts"])
    share = 1.0 if between is None else between / ((volts_x or 120.0) + volts_y)
    if share >= tables.entries["legs-opposed-from"].value:
        return Legs(volts_y, 2.0, -1.0)
    if share < tables.entries["legs-three-phase-from"].value:
        fields.problem(
            "/legs/volts_xy",
            "is no 120/240 or 120/208 V: both hots may be one. Do not plug in before an arrival check.",
        )
    return Legs(volts_y, sqrt(3.0), -0.5)


def _not_null(value: Mapping[str, Any], at: str, needed: tuple[str, ...], fields: Fields) -> None:
    """Name what is needed and null, as if it were missing."""
    for name in needed:
        if name in value and value[name] is None:
            fields.problem(f"{at}/{name}", "is needed.")


def _cords(plan: Mapping[str, Any], fields: Fields, tables: CodeTables) -> list[Cord]:
    found = fields.items(plan, "cords")
    if len(found) > MOST_CORDS:
        fields.problem("/cords", f"must be at most {MOST_CORDS} cords.")
    usual = tables.entries["contact-ohms"].value
    cords: list[Cord] = []
    for index, one in enumerate(found[:MOST_CORDS]):
        at = f"/cords/{index}"
        cord = fields.members(one, at, ("awg", "feet", "contacts_ohms"), ("awg", "feet"))
        awg = fields.choice(cord, "awg", at, CORD_GAUGES)
        feet = fields.spanned(cord, "feet", at, SPANS["feet"])
        _not_null(cord, at, ("awg", "feet"), fields)
        contacts = fields.spanned(cord, "contacts_ohms", at, SPANS["contacts-ohms"])
        cords.append(Cord(awg or CORD_GAUGES[0], feet or 0.0, usual if contacts is None else contacts))
    return cords


def _branches(
    plan: Mapping[str, Any], fields: Fields
) -> tuple[list[Branch], dict[int, list[int]], dict[int, tuple[float, float, list[int]]]]:
    """Give the branches, by number of a load those that it hangs on, and by number those with ohms."""
    found = fields.items(plan, "branches")
    if len(found) > MOST_BRANCHES:
        fields.problem("/branches", f"must be at most {MOST_BRANCHES} branches.")
    count = len(fields.items(plan, "loads"))
    branches: list[Branch] = []
    within: dict[int, list[int]] = {}
    told: dict[int, tuple[float, float, list[int]]] = {}
    for index, one in enumerate(found[:MOST_BRANCHES]):
        at = f"/branches/{index}"
        needed = ("name", "amps", "loads")
        branch = fields.members(one, at, (*needed, "ohms"), needed)
        amps = fields.spanned(branch, "amps", at, SPANS["supply-amps"])
        _not_null(branch, at, needed, fields)
        branches.append(Branch(fields.text(branch, "name", at), amps or 1.0))
        places = _places(branch.get("loads"), count, at, fields)
        for place in places:
            within.setdefault(place, []).append(index)
        if ohms := fields.spanned(branch, "ohms", at, SPANS["branch-ohms"]):
            told[index] = ohms, amps or 1.0, places
    return branches, within, told


def _places(value: Any, count: int, at: str, fields: Fields) -> list[int]:
    if value is None:
        return []
    given: list[Any] = value if _is_list(value) else [None]
    places = [one for one in given if type(one) is int and 0 <= one < count]
    if len(places) < len(given) or len(set(places)) < len(places):
        fields.problem(f"{at}/loads", "must be a list of numbers of loads, each once; the first is 0.")
        return []
    return places


def _is_list(value: Any) -> bool:
    return isinstance(value, list)


def _loads(
    plan: Mapping[str, Any], fields: Fields, tables: CodeTables, within: Mapping[int, list[int]]
) -> list[Load]:
    found = fields.items(plan, "loads")
    if len(found) > MOST_LOADS:
        fields.problem("/loads", f"must be at most {MOST_LOADS} loads.")
    return [
        replace(_load(one, f"/loads/{index}", fields, tables), within=tuple(within.get(index, ())))
        for index, one in enumerate(found[:MOST_LOADS])
    ]


def _load(one: Any, at: str, fields: Fields, tables: CodeTables) -> Load:
    load = fields.members(one, at, _LOAD_MEMBERS, ("name",))
    leg = fields.choice(load, "leg", at, LEGS) or "x"
    usual_volts = 240.0 if leg == "both" else 120.0
    rated = fields.spanned(load, "rated_volts", at, SPANS["supply-volts"]) or usual_volts
    watts = fields.spanned(load, "watts", at, SPANS["load-watts"])
    amps = fields.spanned(load, "amps", at, SPANS["load-amps"])
    kind = fields.choice(load, "kind", at, KINDS) or "resistive"
    hours = fields.spanned(load, "hours", at, SPANS["load-hours"])
    multiple = fields.spanned(load, "start_multiple", at, SPANS["start-multiple"])
    if load and watts is None and amps is None:
        fields.problem(f"{at}/watts", "is needed, or amps; read the plate of the appliance.")
    if watts is not None and amps is not None and amps * rated < watts:
        fields.problem(f"{at}/amps", "at its rated volts gives less than its watts; read the plate again.")
    drawn = watts / rated if amps is None and watts is not None else amps or 0.0
    long = hours is not None and hours >= tables.entries["continuous-hours"].value
    usual = tables.entries["start-multiple"].value if kind == "motor" else None
    return Load(
        name=fields.text(load, "name", at),
        watts=drawn * rated if watts is None else watts,
        amps=drawn,
        rated_volts=rated,
        kind=kind,
        is_continuous=long if load.get("continuous") is None else fields.flag(load, "continuous", at),
        start_multiple=usual if multiple is None else multiple,
        priority=fields.whole(load, "priority", at, 1, 9) or 1,
        hours=hours,
        leg=leg,
    )


def _battery(value: Any, fields: Fields) -> Battery | None:
    if value is None:
        return None
    names = ("watt_hours", "usable", "efficiency", "idle_watts", "inverter_watts")
    battery = fields.members(value, "/battery", names, names)
    _not_null(battery, "/battery", names, fields)
    return Battery(
        watt_hours=fields.spanned(battery, "watt_hours", "/battery", SPANS["battery-watt-hours"]) or 1.0,
        usable=fields.spanned(battery, "usable", "/battery", SPANS["battery-usable"]) or 1.0,
        efficiency=fields.spanned(battery, "efficiency", "/battery", SPANS["inverter-efficiency"]) or 1.0,
        idle_watts=fields.spanned(battery, "idle_watts", "/battery", SPANS["idle-watts"]) or 0.0,
        inverter_watts=fields.spanned(battery, "inverter_watts", "/battery", SPANS["inverter-watts"]) or 1.0,
    )
