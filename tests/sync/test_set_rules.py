"""What makes a record of a cord set right: its number, its test, and that it guards nothing."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import (
    a_cord_set,
    a_device,
    a_look,
    a_rig,
    a_rig_map,
    a_round,
    a_set_test,
    a_trip_test,
    an_incident,
    an_outlet,
)
from tests.conftest import Person

Made = dict[str, Any]
WORN = {"of": "set-look", "points": {"cord-jacket": "bad"}, "not_tested": [], "note": ""}


def with_body(record: Made, **members: Any) -> Made:
    """Give the record with members of its body replaced, or taken out where they are None."""
    body = {name: each for name, each in (record["body"] | members).items() if each is not None}
    return record | {"body": body | {name: None for name in ("installed",) if name in record["body"]}}


@pytest.fixture
def things(owner: Person) -> dict[str, str]:
    """A rig with a cord set and a device, and a set of another rig: ids by name."""
    rig, other = a_rig(), a_rig("Other")
    made = {
        "rig": rig,
        "other": other,
        "set": a_cord_set(rig["id"]),
        "foreign set": a_cord_set(other["id"]),
        "device": a_device(rig["id"]),
    }
    receipts = owner.send(*made.values())
    assert [receipt["status"] for receipt in receipts] == ["stored"] * len(made), receipts
    return {name: record["id"] for name, record in made.items()}


RIGHT: list[Callable[[dict[str, str]], Made]] = [
    lambda t: with_body(a_cord_set(t["rig"], "C4"), type="adapter", hots=2, fixed=True, retired=True),
    lambda t: a_set_test(t["rig"], t["set"]),
    lambda t: with_body(a_set_test(t["rig"], t["set"]), ohms="1 ohm"),
    lambda t: with_body(a_set_test(t["rig"], t["set"]), ohms="1.1 ohm", points={"set-ground": "bad"}),
    lambda t: a_look(t["rig"], subject=t["set"]) | {"body": WORN},
    lambda t: an_incident(t["rig"], t["set"], what="pull"),
]


@pytest.mark.parametrize("make", RIGHT)
def test_a_cord_set_and_what_is_said_of_it_is_kept(
    owner: Person, things: dict[str, str], make: Callable[[dict[str, str]], Made]
) -> None:
    assert owner.send(make(things))[0]["status"] == "stored"


def test_a_step_of_a_round_may_be_the_test_of_a_cord_set(owner: Person, things: dict[str, str]) -> None:
    test = a_set_test(things["rig"], things["set"])
    walked = a_round(things["rig"], things["device"], None)
    walked["body"]["steps"] = [
        {
            "what": "look",
            "subject": things["set"],
            "of": "set",
            "record": test["id"],
            "skipped": False,
            "why": "",
        }
    ]

    assert [each["status"] for each in owner.send(test, walked)] == ["stored", "stored"]


WRONG: list[tuple[Callable[[dict[str, str]], Made], str, str]] = [
    (lambda t: with_body(a_cord_set(t["rig"]), number=None), "/body/number", "what is marked on it"),
    (lambda t: with_body(a_cord_set(t["rig"]), hots=None), "/body/hots", "how many hots"),
    (
        lambda t: with_body(a_device(t["rig"]), number="3"),
        "/body/number",
        "Only a cord, extension or adapter",
    ),
    (lambda t: with_body(a_device(t["rig"]), fixed=True), "/body/fixed", "Only a cord, extension or adapter"),
    (lambda t: a_set_test(t["rig"], t["device"]), "/subject", "not a cord set of this rig"),
    (lambda t: a_set_test(t["rig"], t["foreign set"]), "/subject", "not a cord set of this rig"),
    (lambda t: a_look(t["rig"]) | {"body": WORN}, "/subject", "not a cord set of this rig"),
    (lambda t: with_body(a_set_test(t["rig"], t["set"]), ohms="1.1 ohm"), "/body/ohms", "1.1 ohm is bad"),
    (
        lambda t: with_body(a_set_test(t["rig"], t["set"]), points={}, not_tested=["set-ground"]),
        "/body/ohms",
        "how the set’s ground is",
    ),
    (lambda t: with_body(a_look(t["rig"]), ohms="0.2 ohm"), "/body/ohms", "only with the test of a cord set"),
    (lambda t: a_trip_test(t["rig"], t["set"]), "/subject", "guards nothing"),
    (lambda t: an_outlet(t["rig"], guard=t["set"]), "/body/guard", "guards nothing"),
    (lambda t: a_map_with(t["rig"], t["set"]), "/body/parts/1/device", "guards nothing"),
]


def a_map_with(rig: str, device: str) -> Made:
    made = a_rig_map(rig)
    made["body"]["parts"][1]["device"] = device
    return made


@pytest.mark.parametrize(("make", "at", "words"), WRONG)
def test_what_does_not_fit_a_cord_set_is_refused_at_its_place(
    owner: Person, things: dict[str, str], make: Callable[[dict[str, str]], Made], at: str, words: str
) -> None:
    receipt = owner.send(make(things))[0]

    assert receipt["status"] == "refused"
    assert [each for each in receipt["problems"] if each["at"] == at and words in each["problem"]], receipt
