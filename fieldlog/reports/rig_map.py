"""A rig's map as it stands: the newest version or what its list stands for, held against its trip tests."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fieldlog.engine.protection import judge, map_of_body
from fieldlog.engine.protection.touched import below
from fieldlog.model.code_tables import CodeTables
from fieldlog.model.derived_map import map_of_list
from fieldlog.model.rig import Chain, Rig
from fieldlog.model.rig_map import Contradiction, Protection, RigMap


@dataclass(frozen=True)
class DrawnRig:
    """A rig's map, judged.

    Parameters
    ----------
    body : mapping
        Body of a rig-map record.
    is_drawn : bool
        Whether its owner drew it; False where it is what the list of outlets and devices stands for.
    trips : tuple of Chain
        The trip test behind each trip of the map, in the map's order.
    rig_map : RigMap
        The same for the engine, with the trips.
    protections : mapping of str to Protection
        By mode; under "" where the map has none.
    """

    body: Mapping[str, Any]
    is_drawn: bool
    trips: tuple[Chain, ...]
    rig_map: RigMap
    protections: Mapping[str, Protection]

    @property
    def contradictions(self) -> tuple[Contradiction, ...]:
        """Give what the trips left otherwise than the map says, of all modes."""
        return tuple(each for one in self.protections.values() for each in one.contradictions)

    def name_of(self, part_id: str) -> str:
        """Give what the owner calls a part."""
        return next((str(part["name"]) for part in self.body["parts"] if part["id"] == part_id), part_id)

    def guards_of(self, outlet_id: str) -> dict[str, tuple[str, ...]]:
        """Give by mode the names of the guards of an outlet record, nearest first."""
        parts = [part["id"] for part in self.body["parts"] if part.get("outlet") == outlet_id]
        return {
            mode: tuple(self.name_of(guard) for part in parts for guard in one.protected_by.get(part, ()))
            for mode, one in self.protections.items()
            if any(part in (*one.protected_by, *one.unprotected) for part in parts)
        }


def drawn(rig: Rig, tables: CodeTables) -> DrawnRig:
    """Give the rig's map and what it says, with what trip tests told since the wiring was last changed."""
    body = map_of_list(rig) if rig.map is None else rig.map.body
    told = list(_trips(rig, body))
    rig_map = map_of_body(body, [trip for trip, _ in told])
    return DrawnRig(
        body=body,
        is_drawn=rig.map is not None,
        trips=tuple(chain for _, chain in told),
        rig_map=rig_map,
        protections=judge(rig_map, tables),
    )


def _trips(rig: Rig, body: Mapping[str, Any]) -> Iterator[tuple[dict[str, Any], Chain]]:
    """Give what each device's newest trips say of each part; an older word about a part is passed over."""
    changed_at = _changed_at(rig, body)
    parts = {part["outlet"]: part["id"] for part in body["parts"] if part.get("outlet")}
    for part in body["parts"]:
        device = rig.device(part.get("device"))
        spoken: set[str] = set()
        for chain in () if device is None else device.trips:
            trip = _trip(part, chain, parts, spoken, changed_at)
            if trip is not None:
                yield trip, chain


def _changed_at(rig: Rig, body: Mapping[str, Any]) -> dict[str, datetime]:
    """Give when each part, or what it hangs on, was last changed; what was seen before tells nothing."""
    found: dict[str, datetime] = {}
    ways = [(run["from"], run["to"]) for run in body["runs"]]
    for change in rig.changes:
        for part in below(ways, change.parts):
            found.setdefault(part, change.chain.at)
    return found


def _trip(
    part: Mapping[str, Any],
    chain: Chain,
    parts: Mapping[str, str],
    spoken: set[str],
    changed_at: Mapping[str, datetime],
) -> dict[str, Any] | None:
    body = chain.body
    if body["tripped"] is not True:
        return None
    dead, live = ([parts[one] for one in body[seen] if one in parts] for seen in ("dead", "live"))
    if part["kind"] == "gfci-receptacle" and body["face_dead"] is not None:
        (dead if body["face_dead"] else live).append(part["id"])
    old = spoken | {one for one, at in changed_at.items() if chain.at < at}
    dead, live = ([one for one in dict.fromkeys(seen) if one not in old] for seen in (dead, live))
    spoken.update(dead, live)
    return {"device": part["id"], "by": body["by"], "dead": dead, "live": live} if dead or live else None
