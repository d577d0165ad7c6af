"""A guard that a trip test disproved is stated as a fact by no page, no paper and no command.

Facts of the trade: what stays live when a device trips is not guarded by it (CPSC staff paper of 2001-04-20
for the face of a miswired device; common practice for what hangs on one).
"""

import html
import json
import re
from typing import Any, Final

import pytest
from click.testing import CliRunner

from fieldlog.cli import main
from fieldlog.model.rig import rig_of
from fieldlog.reports.contents import contents
from fieldlog.rulebook import load
from tests.builders import NOON, a_device, a_record, a_rig, a_trip_test, an_outlet
from tests.conftest import Person
from tests.model.log import a_log
from tests.node import answers_of_node

GUARD: Final = "Entry breaker"
DAY: Final = re.compile(r"2026-11-25|25 November|Nov(ember)? 25|today|yesterday", re.IGNORECASE)
CLAIM: Final = re.compile(rf"(?<!not )(?:guarded by|guards)\b[^\n]*{GUARD}", re.IGNORECASE)
CELL: Final = re.compile(rf"<td[^>]*>[^<]*{GUARD}[^<]*</td>")

Records = list[dict[str, Any]]


@pytest.fixture
def rig() -> Records:
    """Give a rig whose bunk and the berth beyond it stayed live when its only ground-fault device tripped."""
    rig = a_rig()
    device = {**a_device(rig["id"], GUARD)}
    device["body"] |= {"type": "gfci-breaker"}
    bunk, berth = (an_outlet(rig["id"], name, guard=device["id"]) for name in ("Bunk", "Berth"))
    parts = [
        {"id": "inlet", "kind": "inlet", "name": "Inlet", "amps": 30},
        {"id": "b", "kind": "breaker", "name": GUARD, "amps": 15, "gfci": True, "device": device["id"]},
        {"id": "r1", "kind": "receptacle", "name": "Bunk", "outlet": bunk["id"], "where": ["near-water"]},
        {"id": "r2", "kind": "receptacle", "name": "Berth", "outlet": berth["id"]},
    ]
    runs = [{"from": "inlet", "to": "b"}, {"from": "b", "to": "r1"}, {"from": "r1", "to": "r2"}]
    drawing = a_record("rig-map", {"parts": parts, "runs": runs, "modes": {}}, rig=rig["id"])
    trip = a_trip_test(rig["id"], device["id"])
    trip["body"] |= {"dead": [], "live": [bunk["id"]], "not_tested": []}
    return [rig, device, bunk, berth, drawing, trip]


def assert_no_claim(where: str, told: str, outlets: int) -> None:
    """Refuse a sentence or a cell that says it guards without saying that a trip shows otherwise."""
    cells = [cell for cell in CELL.findall(told) if "stayed live" not in cell]
    lines = html.unescape(re.sub(r"<(?!/?(?:b|i|span)\b)[^>]+>", "\n", told)).split("\n")
    claims = [line for line in lines if CLAIM.search(line) and "Treat it as" not in line]
    for each in (*cells, *claims):
        assert "shows otherwise" in each and DAY.search(each), (where, each)
    assert len([line for line in lines if "shows otherwise" in line]) >= outlets, (where, told)


def test_no_page_says_it_guards(owner: Person, rig: Records) -> None:
    receipts = owner.send(*rig)
    assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts
    page = f"/rigs/{rig[0]['id']}"

    for path, outlets in {
        page: 2,
        f"{page}/map/advice": 2,
        f"{page}/map/parts/r1": 1,
        f"{page}/map/parts/r2": 1,
        f"{page}/map/parts/b": 0,
        f"{page}/map/table": 0,
        f"{page}/map/versions": 0,
        f"{page}/record": 0,
        f"/history/{rig[2]['id']}": 1,
        f"{page}/labels": 0,
        f"{page}/devices/{rig[1]['id']}/trip-tests/new": 0,
    }.items():
        answer = owner.client.get(path)
        assert answer.status_code == 200, path
        assert_no_claim(path, answer.text, outlets)


def test_no_page_of_the_phone_says_it_guards(rig: Records) -> None:
    (line,) = answers_of_node("rig-pages.mjs", [rig])
    told = json.loads(line)

    assert_no_claim("map", told["map"], 2)
    for story in told["stories"]:
        assert_no_claim("story", story, 1)
        assert "Press TEST at" in story
    assert "rig-map__run--guarded" not in told["map"]


def test_no_paper_says_it_guards(rig: Records) -> None:
    found = rig_of(a_log(*rig), rig[0]["id"])
    assert found is not None

    told = contents(found, load(), made_at=NOON, address="https://fieldlog.invalid")

    for line in told.outlets:
        assert line.guard == f"nothing, but the map says {GUARD}, a trip test on 2026-11-25 shows otherwise"


def test_no_command_says_it_guards(rig: Records) -> None:
    body = rig[4]["body"]
    parts = [
        {name: part[name] for name in part if name in ("id", "kind", "amps", "gfci")}
        for part in body["parts"]
    ]
    sent = {"parts": parts, "runs": body["runs"], "trips": [{"device": "b", "live": ["r1"]}]}

    found = json.loads(CliRunner().invoke(main, ["protect"], input=json.dumps(sent)).stdout)

    assert (found["protected_by"], found["unprotected"]) == ({}, ["r1", "r2"])
    denied = [(one["part"], one["among"]) for one in found["findings"] if one["id"] == "guard-disproved"]
    assert denied == [("r1", ["b"]), ("r2", ["b"])]
