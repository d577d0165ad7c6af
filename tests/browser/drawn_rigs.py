"""Rigs with a drawn map: the templates, with an outlet or a device behind each part that has one."""

import json
from copy import deepcopy
from dataclasses import dataclass
from typing import Any, Final

from fieldlog.clock import now
from fieldlog.config import ROOT
from fieldlog.model.account import Account
from fieldlog.sync.inbox import Inbox
from tests.browser.served import Server
from tests.builders import a_device, a_record, a_rig, an_outlet

TEMPLATES: Final = {
    entry["id"]: entry["map"]
    for entry in json.loads((ROOT / "schemas/facts/rig-templates.json").read_text(encoding="utf-8"))[
        "entries"
    ]
}
DEVICES: Final = {"gfci-receptacle": "gfci-receptacle", "breaker": "gfci-breaker", "cord-gfci": "cord-gfci"}

Json = dict[str, Any]


@dataclass(frozen=True)
class DrawnRig:
    """A rig's records, and the ids in them by the parts' own."""

    id: str
    body: Json
    records: list[Json]
    outlets: dict[str, str]
    devices: dict[str, str]


def a_drawn_rig(template: str, name: str = "Wren") -> DrawnRig:
    """Give a rig whose map is a template."""
    rig = a_rig(name)
    body, records = deepcopy(TEMPLATES[template]), [rig]
    outlets: dict[str, str] = {}
    devices: dict[str, str] = {}
    for part in body["parts"]:
        if part.get("outlet_type"):
            records.append(an_outlet(rig["id"], part["name"]))
            part["outlet"] = outlets[part["id"]] = records[-1]["id"]
        if part["kind"] in ("gfci-receptacle", "cord-gfci") or part.get("gfci"):
            records.append(a_device(rig["id"], part["name"]))
            records[-1]["body"]["type"] = DEVICES[part["kind"]]
            part["device"] = devices[part["id"]] = records[-1]["id"]
    records.append(a_record("rig-map", body, rig=rig["id"]))
    return DrawnRig(rig["id"], body, records, outlets, devices)


def a_big_map(parts: int) -> Json:
    """Give a map of so many parts: five breakers, and under each outlets one after the other."""
    made = [{"id": "p0", "kind": "inlet", "name": "Inlet", "amps": 50}]
    runs = []
    for number in range(1, parts):
        is_first = number <= 5
        kind = "breaker" if is_first else "gfci-receptacle" if number % 9 == 0 else "receptacle"
        made.append({"id": f"p{number}", "kind": kind, "name": f"Part number {number}", "amps": 15})
        before = "p0" if is_first else f"p{number - 5}"
        runs.append({"from": before, "to": f"p{number}", "from_side": "load", "awg": 14, "feet": number})
    return {"parts": made, "runs": runs, "modes": {}}


def hand_in(server: Server, name: str, records: list[Json]) -> None:
    """Keep records as if another device of that account had sent them."""
    parts = server.app.extensions["fieldlog"]
    inbox = Inbox(parts.store, parts.rulebook_or_damage, Account(server.accounts[name], name))
    assert {receipt.status for receipt in inbox.receive(records, now())} == {"stored"}
