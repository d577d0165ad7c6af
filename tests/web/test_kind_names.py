"""Each kind of part, device and record has one name, told in a table: on page, paper and phone."""

import html
import re
from typing import Any, Final

import pytest

from fieldlog.kinds import kinds
from fieldlog.words.kinds import DEVICES, GUARDS, PARTS, RECORDS
from fieldlog.words.wording import begun
from tests.builders import a_device, a_record, a_rig, an_outlet
from tests.conftest import Person
from tests.repository import ROOT

RIVALS: Final = re.compile(
    r"ground-fault (outlet|receptacle|breaker|plug)|GFCI (receptacle|plug|cord)"
    r"|ground-fault (device|protection) in (the|a|its) (cord|breaker)",
    re.IGNORECASE,
)
"""Other names that people give to these things; none of them is ours."""
SAID: Final = [
    path
    for folder in (
        "fieldlog/web",
        "fieldlog/reports",
        "fieldlog/cli",
        "fieldlog/sync",
        "static/js",
        "schemas/facts",
    )
    for path in sorted((ROOT / folder).rglob("*"))
    if path.suffix in (".py", ".html", ".js", ".json")
]


@pytest.fixture
def drawn(owner: Person) -> dict[str, str]:
    """Give addresses of a rig with every kind of part and device, whose names tell no kind."""
    rig = a_rig()
    devices = [a_device(rig["id"], f"Thing {kind}") for kind in range(len(DEVICES))]
    for device, kind in zip(devices, DEVICES, strict=True):
        device["body"]["type"] = kind
    outlet = an_outlet(rig["id"], "Nook")
    parts: list[dict[str, Any]] = [
        {"id": f"p{at}", "kind": kind, "name": f"Place {at}"} for at, kind in enumerate(PARTS)
    ]
    by_kind = {part["kind"]: part for part in parts}
    by_kind["receptacle"] |= {"outlet": outlet["id"], "outlet_type": "5-15"}
    parts.append({"id": "more", "kind": "breaker", "gfci": True, "name": "Place of the guard"})
    for device in devices:
        kind = device["body"]["type"]
        on_map = parts[-1] if kind == "gfci-breaker" else by_kind[kind]
        on_map["device"] = device["id"]
    runs = [{"from": "p0", "to": part["id"]} for part in parts[1:] if part["kind"] != "inverter"]
    shown = a_record("rig-map", {"parts": parts, "runs": runs, "modes": {}}, rig=rig["id"])
    receipts = owner.send(rig, outlet, *devices, shown)
    assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts
    at = f"/rigs/{rig['id']}"
    return {
        "rig": at,
        "paper": f"{at}/record",
        "table": f"{at}/map/table",
        "new part": f"{at}/map/parts/new",
        "new device": f"{at}/devices/new",
        "version": f"/history/{shown['id']}",
        "history": "/history",
        **{f"device {device['body']['type']}": f"/history/{device['id']}" for device in devices},
    }


def text_at(person: Person, address: str) -> str:
    answer = person.client.get(address)
    assert answer.status_code == 200, (address, answer.text)
    return html.unescape(answer.text)


@pytest.mark.parametrize(
    ("page", "names"),
    [
        ("rig", GUARDS.values()),
        ("paper", GUARDS.values()),
        ("new device", GUARDS.values()),
        ("table", [*PARTS.values(), GUARDS["gfci-breaker"]]),
        ("version", [*PARTS.values(), GUARDS["gfci-breaker"]]),
        ("new part", PARTS.values()),
        ("history", [RECORDS["rig-map"]]),
        *((f"device {kind}", [name, RECORDS["device"]]) for kind, name in DEVICES.items()),
    ],
)
def test_a_page_calls_each_kind_by_its_one_name(
    owner: Person, drawn: dict[str, str], page: str, names: Any
) -> None:
    text = text_at(owner, drawn[page])

    assert [name for name in names if begun(name) not in text] == []
    assert RIVALS.search(text) is None


def test_the_map_form_asks_for_a_breaker_that_guards_by_its_name(
    owner: Person, drawn: dict[str, str]
) -> None:
    text = text_at(owner, f"{drawn['new part']}?kind=breaker&start=p0")

    assert f"Is it a {GUARDS['gfci-breaker']}, with a TEST button?" in text


def test_no_file_that_speaks_to_people_has_another_name_for_a_kind() -> None:
    found = {path.relative_to(ROOT): RIVALS.search(path.read_text(encoding="utf-8")) for path in SAID}

    assert len(found) > 200
    assert [path for path, rival in found.items() if rival] == []


def test_each_kind_of_record_has_a_name() -> None:
    assert set(RECORDS) == set(kinds())
