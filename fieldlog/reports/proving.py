"""What a rig's changes touch, and how far each is proved."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from fieldlog.engine.protection import map_of_body
from fieldlog.engine.protection.touched import Ways, guards_of_outlets, touched_by
from fieldlog.model.bodies import BodyRigMap
from fieldlog.model.contacts import contacts_of
from fieldlog.model.derived_map import map_of_list
from fieldlog.model.part_kinds import PLUGS
from fieldlog.model.proving import (
    ChangeScope,
    ChangeState,
    Proof,
    Step,
    StepsStanding,
    StepState,
    standing_of,
)
from fieldlog.model.record import Record
from fieldlog.model.rig import Chain, Change, Rig
from fieldlog.tables import load

USUAL_OUTLET: Final = "5-15"
"""What an outlet without a type counts as; own choice: the usual one of a 120 V circuit."""


@dataclass(frozen=True)
class ChangeScopes:
    """What each change of a rig touches, by the map as it is now and as it was since before the change."""

    body: BodyRigMap
    touched: Mapping[str, ChangeScope]
    changes: tuple[Change, ...]

    def parts_of_outlet(self, outlet_id: str) -> set[str]:
        """Give the ids of the parts that an outlet record stands for."""
        return {part["id"] for part in self.body["parts"] if part.get("outlet") == outlet_id}

    def is_exposed(self, outlet_id: str) -> bool:
        """Say whether an outlet is outside or near water, as far as the map tells."""
        return any(part.get("where") for part in self.body["parts"] if part.get("outlet") == outlet_id)

    def changes_of_outlet(self, outlet_id: str) -> list[Change]:
        """Give the changes that touch an outlet, newest first."""
        parts = self.parts_of_outlet(outlet_id)
        return [
            change for change in self.changes if parts & {part for part, _ in self.touched[change.id].outlets}
        ]

    def changes_of_device(self, device_id: str) -> list[Change]:
        """Give the changes that touch a device or what it guards, newest first."""
        parts = {part["id"] for part in self.body["parts"] if part.get("device") == device_id}
        return [change for change in self.changes if parts & set(self.touched[change.id].devices)]


@dataclass(frozen=True)
class ProvedChange:
    """A change with its steps and how each stands, by the list of steps that counts for it."""

    change: Change
    standing: StepsStanding

    @property
    def states(self) -> Mapping[Step, StepState]:
        """Give how each step stands."""
        return self.standing.states

    @property
    def state(self) -> ChangeState:
        """Say whether the change is proved."""
        return self.standing.state


def touching(rig: Rig) -> ChangeScopes:
    """Give what each change of the rig touches."""
    body = map_of_list(rig) if rig.map is None else rig.map.body
    rig_map = map_of_body(body)
    types = {part["id"]: _outlet_type(part) for part in body["parts"]}
    pairs = {part: contacts_of(outlet).usual for part, outlet in types.items() if outlet is not None}
    drawn = [entry.record for entry in rig.log if entry.record.kind == "rig-map"]
    guards = guards_of_outlets(rig_map)
    touched = {
        change.id: touched_by(
            rig_map,
            change.parts,
            pairs,
            _ways_since(change, rig, drawn),
            guards,
            two_legs_amps=two_legs_amps(),
        )
        for change in rig.changes
    }
    if rig.map is None:  # the list of outlets and devices tells of no relay
        touched = {change: replace(found, relays=None) for change, found in touched.items()}
    return ChangeScopes(body, touched, rig.changes)


def two_legs_amps() -> float:
    """Give the rating at which an inlet has two hots [A]."""
    return load().entries["two-legs-from"].value


def proved_changes(
    rig: Rig, rules: Sequence[Mapping[str, Any]], touched: Mapping[str, ChangeScope]
) -> tuple[ProvedChange, ...]:
    """Say of each change, newest first, how far it is proved by the entries of schemas/facts/proving.json."""
    return tuple(ProvedChange(change, _standing(change, touched[change.id], rules)) for change in rig.changes)


def step_of(proof: Chain) -> Step:
    """Give the step that a proof is of."""
    return Step(proof.body["step"], proof.body["part"], proof.body["pair"])


def _outlet_type(part: Mapping[str, Any]) -> str | None:
    noted = part.get("outlet_type")
    return str(noted) if noted else USUAL_OUTLET if part["kind"] in PLUGS else None


def _ways_since(change: Change, rig: Rig, drawn: Sequence[Record]) -> list[Ways]:
    """Give the ways of each version of the map from the one before a change on; of all, if none is named."""
    place = {record.id: at for at, record in enumerate(drawn)}
    shown = place.get(change.chain.body["map"] or "")
    before = () if shown is None else drawn[shown].stands_in_for
    first = min((place[one] for one in before if one in place), default=None)
    if first is None:
        return [_ways_of_list(rig), *(_ways(record.body["runs"]) for record in drawn)]
    return [_ways(record.body["runs"]) for record in drawn[first:]]


def _ways(runs: Iterable[Mapping[str, Any]]) -> list[tuple[str, str]]:
    return [(run["from"], run["to"]) for run in runs]


def _ways_of_list(rig: Rig) -> list[tuple[str, str]]:
    """Give the ways that the list of outlets and devices stands for, by every guard that was ever noted."""
    guards = [
        (str(version.record.body["guard"]), outlet.id)
        for outlet in rig.outlets
        for version in outlet.chain.versions
        if version.record.body["guard"] is not None
    ]
    return [*_ways(map_of_list(rig)["runs"]), *guards]


def _standing(change: Change, touched: ChangeScope, rules: Sequence[Mapping[str, Any]]) -> StepsStanding:
    proofs = [(chain.day, Proof(step_of(chain), chain.body["outcome"])) for chain in change.proofs]
    return standing_of(touched, proofs, rules)
