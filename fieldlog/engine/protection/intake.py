"""From a JSON object to a RigMap: every problem is found at once, in a fixed order."""

from collections.abc import Mapping, Sequence
from typing import Any

from fieldlog.engine.fields import Fields, escaped, is_object
from fieldlog.engine.protection.problems import find_problems
from fieldlog.errors import BadInput
from fieldlog.model.part_kinds import CORDS, KINDS, LEGS, PLACES, SIDES, WAYS
from fieldlog.model.rig_map import (
    MOST_PARTS,
    MapPart,
    MapTrip,
    RigMap,
    Run,
)
from fieldlog.model.spans import SPANS

PART_MEMBERS = ("id", "kind", "amps", "gfci", "where", "bonded", "name", "watts", "continuous")
OF_BREAKERS = ("leg", "shares_neutral", "tied")
ALL_MEMBERS = (*PART_MEMBERS, *OF_BREAKERS)
MEMBERS = ("parts", "runs", "trips", "modes")
MOST_RUNS = 1000
MOST_TRIPS = 1000
MOST_MODES = 20
"""Own choices, far above any rig."""
THICKEST, THINNEST = 1, 40


def read_map(value: Any) -> RigMap:
    """Give the RigMap that a JSON object stands for.

    Parameters
    ----------
    value : JSON value
        With "parts", and where noted "runs", "trips" and "modes".

    Returns
    -------
    RigMap
        With defaults filled in.

    Raises
    ------
    BadInput
        With every problem found, each naming its member and its part: unknown fields and kinds, amounts out
        of range, an id twice, a run to nowhere, a part that feeds itself, too many parts.
    """
    fields = Fields()
    found = fields.members(value, "", MEMBERS, ("parts",))
    rig_map = RigMap(
        parts=tuple(_part(fields, one, f"/parts/{place}") for place, one in _some(fields, found, "parts")),
        runs=tuple(_run(fields, one, f"/runs/{place}") for place, one in _some(fields, found, "runs")),
        trips=tuple(_trip(fields, one, f"/trips/{place}") for place, one in _some(fields, found, "trips")),
        modes=_modes(fields, found),
    )
    if not fields.problems:
        fields.problems.extend(find_problems(rig_map))
    if fields.problems:
        raise BadInput(fields.problems)
    return rig_map


def map_of_body(body: Mapping[str, Any], trips: Sequence[Mapping[str, Any]] = ()) -> RigMap:
    """Give the RigMap of a rig-map record.

    Parameters
    ----------
    body : mapping
        Of the record; members of its parts that bear on nothing here, such as a note, are left out.
    trips : sequence of mapping
        As `read_map` takes them.

    Returns
    -------
    RigMap
        With defaults filled in.

    Raises
    ------
    BadInput
        As `read_map` does.
    """
    parts = [{name: part[name] for name in ALL_MEMBERS if name in part} for part in body["parts"]]
    return read_map({**body, "parts": parts, "trips": list(trips)})


_MOST = {"parts": MOST_PARTS, "runs": MOST_RUNS, "trips": MOST_TRIPS}


def _some(fields: Fields, found: Mapping[str, Any], name: str) -> list[tuple[int, Any]]:
    items, most = fields.items(found, name), _MOST[name]
    if len(items) > most:
        extra: Any = items[most]
        called = f"“{extra.get('id')}”" if is_object(extra) and name == "parts" else "This"
        words = f"{called} is one of {len(items)} {name}; a map takes at most {most}. Make two maps of it."
        fields.problem(f"/{name}/{most}", words)
        return []
    return list(enumerate(items))


def _part(fields: Fields, value: Any, at: str) -> MapPart:
    found = fields.members(value, at, ALL_MEMBERS, ("id", "kind"))
    return MapPart(
        id=fields.text(found, "id", at),
        kind=fields.choice(found, "kind", at, KINDS) or "",
        amps=fields.spanned(found, "amps", at, SPANS["part-amps"]),
        gfci=fields.flag(found, "gfci", at),
        where=_where(fields, found, at),
        bonded=fields.flag(found, "bonded", at),
        name=fields.text(found, "name", at),
        watts=fields.spanned(found, "watts", at, SPANS["part-watts"]),
        continuous=fields.flag(found, "continuous", at),
        leg=None if found.get("leg") is None else fields.choice(found, "leg", at, LEGS),
        shares_neutral=found.get("shares_neutral") and fields.text(found, "shares_neutral", at),
        tied=None if found.get("tied") is None else fields.flag(found, "tied", at),
    )


def _where(fields: Fields, found: Mapping[str, Any], at: str) -> tuple[str, ...]:
    places: list[str] = []
    for place, one in enumerate(fields.items(found, "where", at)):
        if isinstance(one, str) and one in PLACES:
            places.append(one)
        else:
            fields.problem(f"{at}/where/{place}", f"must be one of {', '.join(PLACES)}.")
    return tuple(places)


def _run(fields: Fields, value: Any, at: str) -> Run:
    found = fields.members(value, at, ("from", "to", "from_side", "awg", "feet", "cord"), ("from", "to"))
    return Run(
        start=fields.text(found, "from", at),
        end=fields.text(found, "to", at),
        side=fields.choice(found, "from_side", at, SIDES) or "line",
        awg=fields.whole(found, "awg", at, THICKEST, THINNEST),
        feet=fields.spanned(found, "feet", at, SPANS["feet"]),
        cord=None if found.get("cord") is None else fields.choice(found, "cord", at, CORDS),
    )


def _trip(fields: Fields, value: Any, at: str) -> MapTrip:
    found = fields.members(value, at, ("device", "by", "dead", "live", "mode"), ("device",))
    return MapTrip(
        device=fields.text(found, "device", at),
        by=fields.choice(found, "by", at, WAYS) or "button",
        dead=_ids(fields, found, "dead", at),
        live=_ids(fields, found, "live", at),
        mode=found.get("mode") and fields.text(found, "mode", at),
    )


def _ids(fields: Fields, found: Mapping[str, Any], name: str, at: str) -> tuple[str, ...]:
    ids: list[str] = []
    for place, one in enumerate(fields.items(found, name, at)):
        if isinstance(one, str):
            ids.append(one)
        else:
            fields.problem(f"{at}/{name}/{place}", "must be the id of a part.")
    return tuple(dict.fromkeys(ids))


def _modes(fields: Fields, found: Mapping[str, Any]) -> dict[str, frozenset[int]]:
    modes = fields.named(found, "modes")
    if len(modes) > MOST_MODES:
        fields.problem("/modes", f"holds {len(modes)} modes; a map takes at most {MOST_MODES}.")
        return {}
    return {name: _without(fields, mode, f"/modes/{escaped(name)}") for name, mode in modes.items()}


def _without(fields: Fields, value: Any, at: str) -> frozenset[int]:
    mode = fields.members(value, at, ("without",), ())
    numbers = [
        fields.one_whole(one, f"{at}/without/{place}", 0, MOST_RUNS)
        for place, one in enumerate(fields.items(mode, "without", at))
    ]
    return frozenset(number for number in numbers if number is not None)
