"""Which things of a rig an incident touches, until a later test shows them again."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any, Final

from fieldlog.engine.protection import map_of_body
from fieldlog.engine.protection.touched import touched_by
from fieldlog.errors import BadInput
from fieldlog.model.bodies import INCIDENT, BodyRigMap
from fieldlog.model.due_items import Impact
from fieldlog.model.rig import Chain, Rig
from fieldlog.reports.proving import two_legs_amps

NONE: Final = "none"
UNKNOWN: Final = "incident"
_PROBED: Final = ("h-n",)


@dataclass(frozen=True)
class Incidents:
    """What went wrong with a rig, by the map's body as it is now and the entries of incidents.json."""

    rig: Rig
    body: BodyRigMap
    rules: Sequence[Mapping[str, Any]]
    today: date

    def since(self, what: str, subject: str | None, last: Chain | None) -> Impact | None:
        """Give the newest incident that touches a thing and came after its last good test."""
        for chain in self.rig.newest(INCIDENT):
            if last is not None and chain.at <= last.at:
                return None
            if self._touches(chain, what, subject):
                return self._struck(chain, what)
        return None

    def _touches(self, chain: Chain, what: str, subject: str | None) -> bool:
        body = chain.body
        if body["what"] == NONE:
            return False
        rule = self._known.get(str(body["what"]))
        if rule is None:
            return True
        cord_set = self._set_of(chain)
        if what == "set" and cord_set is not None:
            return subject == cord_set and any("set" in rule[member] for member in ("rig", "cord", "there"))
        if what in rule["rig"] or (what in rule["cord"] and (body["at"] != "thing" or cord_set is not None)):
            return True
        reach = self._reach[chain.id]
        return what in rule["there"] and (reach is None or subject in reach)

    def _set_of(self, chain: Chain) -> str | None:
        """Give the cord set where it happened, if it was at one."""
        thing = _thing(self.rig, chain)
        return thing if any(thing == each.id for each in self.rig.sets) else None

    def _struck(self, chain: Chain, what: str) -> Impact:
        rule = self._known.get(str(chain.body["what"]), {"name": UNKNOWN})
        clears = next((str(one["clears"]) for one in self._of("thing") if one["id"] == what), "it is tested")
        return Impact(str(chain.body["what"]), str(rule["name"]), min(chain.at.date(), self.today), clears)

    @cached_property
    def _known(self) -> dict[str, Mapping[str, Any]]:
        return {str(rule["id"]): rule for rule in self._of("incident")}

    @cached_property
    def _reach(self) -> dict[str, set[str] | None]:
        """Give by incident the outlets and devices that it reaches; None is all of them."""
        return {chain.id: self._reach_of(chain) for chain in self.rig.newest(INCIDENT)}

    def _of(self, sort: str) -> Iterator[Mapping[str, Any]]:
        return (rule for rule in self.rules if rule["of"] == sort)

    def _reach_of(self, chain: Chain) -> set[str] | None:
        if chain.body["at"] == "cord" or self._set_of(chain) is not None:
            return set()
        thing = _thing(self.rig, chain)
        parts = {
            str(part["id"])
            for part in self.body["parts"]
            if thing is not None and thing in (part.get("outlet"), part.get("device"))
        }
        if not parts or thing is None:
            return None
        try:
            probed = {str(part["id"]): _PROBED for part in self.body["parts"]}
            found = touched_by(map_of_body(self.body), parts, probed, two_legs_amps=two_legs_amps())
        except BadInput:
            return None
        reached = parts | {part for part, _ in found.outlets} | set(found.devices)
        return {
            str(part[kind])
            for part in self.body["parts"]
            for kind in ("outlet", "device")
            if part["id"] in reached and part.get(kind)
        }


def _thing(rig: Rig, chain: Chain) -> str | None:
    """Give the first id of the outlet, device or cord set where it happened; any version may be named."""
    if chain.body["at"] != "thing":
        return None
    thing = rig.thing(chain.entry.record.subject)
    return None if thing is None else thing.id
