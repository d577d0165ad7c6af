"""What changed from one version of a map to the next."""

from typing import Any

import pytest

from fieldlog.reports.map_versions import differences
from tests.builders import a_rig_map, an_id

Body = dict[str, Any]


def a_body() -> Body:
    body: Body = a_rig_map(an_id())["body"]
    return body


def test_a_map_differs_in_nothing_from_itself() -> None:
    assert differences(a_body(), a_body()) == []


def test_another_order_of_parts_is_no_difference() -> None:
    turned = a_body()
    turned["parts"].reverse()

    assert differences(a_body(), turned) == []


def test_a_member_that_is_left_out_is_the_same_as_its_default() -> None:
    bare = a_body()
    for part in bare["parts"]:
        for name in ("bonded", "note", "gfci", "outlet", "device"):
            part.pop(name, None)
    for run in bare["runs"]:
        run.setdefault("from_side", "line")

    assert differences(a_body(), bare) == []


@pytest.mark.parametrize(
    ("part", "members", "sentence"),
    [
        (0, {"amps": 50}, "“Inlet”: rating 50 A, before 30 A."),
        (0, {"amps": None}, "“Inlet”: rating not noted, before 30 A."),
        (0, {"bonded": True}, "“Inlet”: neutral and ground are joined there now."),
        (1, {"where": []}, "“Galley”: neither outside nor near water, before near water."),
        (2, {"name": "Desk"}, "“Bunk” is now called “Desk”."),
        (2, {"note": "loose"}, "“Bunk”: another note."),
        (2, {"kind": "strip"}, "“Bunk” is now noted as Outlet strip, before as Outlet."),
    ],
)
def test_each_change_of_a_part_is_one_sentence(part: int, members: Body, sentence: str) -> None:
    after = a_body()
    after["parts"][part] |= members

    assert differences(a_body(), after) == [sentence]


@pytest.mark.parametrize(
    ("run", "members", "sentence"),
    [
        (0, {"awg": 12}, "The run from “Inlet” to “Galley”: 12 AWG, 10.5 ft, before 14 AWG, 10.5 ft."),
        (
            1,
            {"from_side": "line"},
            "“Bunk” is fed from the line side of “Galley”, before from its load side.",
        ),
    ],
)
def test_each_change_of_a_run_is_one_sentence(run: int, members: Body, sentence: str) -> None:
    after = a_body()
    after["runs"][run] |= members

    assert differences(a_body(), after) == [sentence]


def test_another_feed_names_the_old_one() -> None:
    after = a_body()
    after["modes"] = {}
    after["runs"][1] = {"from": "inlet", "to": "r"}

    assert differences(a_body() | {"modes": {}}, after) == [
        "“Bunk” is fed from “Inlet” (gauge not noted), not from “Galley” any more."
    ]


def test_what_came_and_went_is_told() -> None:
    after = a_body()
    after["parts"][2] = {"id": "s", "kind": "inverter", "name": "Station", "amps": 15}
    after["runs"], after["modes"] = after["runs"][:1], {"wet": {"without": [0]}}

    assert differences(a_body(), after) == [
        "“Bunk” was taken out.",
        "“Station” was added: Inverter or power station, 15 A.",
        "The mode “dry” was taken out.",
        "The mode “wet” was added.",
        "In mode “wet” the run from “Inlet” to “Galley” is not there.",
    ]
