"""What makes a record right beyond its shape."""

from collections.abc import Callable
from typing import Any

import pytest

from tests.builders import (
    a_check,
    a_device,
    a_lamp_tester,
    a_meter,
    a_plug_in,
    a_rig,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_outlet,
    an_outlet_test,
)
from tests.conftest import Person

Made = dict[str, Any]


@pytest.fixture
def things(owner: Person) -> dict[str, Made]:
    """A rig with its parts, another rig, and instruments, all of them in the owner's log."""
    rig, other = a_rig(), a_rig("Other")
    made = {
        "rig": rig,
        "other rig": other,
        "device": a_device(rig["id"]),
        "other device": a_device(other["id"]),
        "outlet": an_outlet(rig["id"]),
        "other outlet": an_outlet(other["id"]),
        "meter": a_meter(),
        "lamps": a_lamp_tester(),
        "check": an_arrival_check(),
    }
    assert [receipt["status"] for receipt in owner.send(*made.values())] == ["stored"] * len(made)
    return made


def problems(person: Person, record: Made) -> list[str]:
    """Hand a record in and give where its problems are."""
    return [problem["at"] for problem in person.send(record)[0]["problems"]]


RIGHT: list[Callable[[dict[str, Made]], Made]] = [
    lambda t: an_arrival_check(instrument=t["meter"]["id"]),
    lambda t: an_arrival_check(instrument=t["lamps"]["id"], rig=t["rig"]["id"]),
    lambda t: an_outlet_test(t["rig"]["id"], t["outlet"]["id"]),
    lambda t: a_trip_test(t["rig"]["id"], t["device"]["id"]),
    lambda t: an_outlet(t["rig"]["id"], guard=t["device"]["id"]),
    lambda t: a_plug_in(t["check"]["id"]),
    lambda t: a_plug_in(t["check"]["id"], rig=t["rig"]["id"]),
    lambda t: t["check"] | {"id": an_id(), "corrects": t["check"]["id"], "reason": "typing"},
    lambda t: t["rig"] | {"id": an_id(), "corrects": t["rig"]["id"], "reason": "typing"},
    lambda t: t["outlet"] | {"id": an_id(), "corrects": t["outlet"]["id"], "reason": "typing"},
]


@pytest.mark.parametrize("make", RIGHT)
def test_a_record_that_speaks_of_what_is_there_is_kept(
    owner: Person, things: dict[str, Made], make: Callable[[dict[str, Made]], Made]
) -> None:
    assert owner.send(make(things))[0]["status"] == "stored"


WRONG: list[tuple[str, Callable[[dict[str, Made]], Made]]] = [
    ("/instrument", lambda t: an_arrival_check(instrument=an_id())),
    ("/instrument", lambda t: an_arrival_check(instrument=t["rig"]["id"])),
    ("/rig", lambda t: an_arrival_check(rig=an_id())),
    ("/rig", lambda t: an_arrival_check(rig=t["outlet"]["id"])),
    ("/rig", lambda t: a_rig(id=an_id(), rig=an_id())),
    ("/rig", lambda t: a_rig(id=an_id(), rig=t["rig"]["id"])),
    ("/rig", lambda t: an_outlet(an_id())),
    ("/subject", lambda t: an_outlet_test(t["rig"]["id"], t["device"]["id"])),
    ("/subject", lambda t: an_outlet_test(t["rig"]["id"], t["other outlet"]["id"])),
    ("/subject", lambda t: an_outlet_test(t["rig"]["id"], an_id())),
    ("/subject", lambda t: a_trip_test(t["rig"]["id"], t["outlet"]["id"])),
    ("/subject", lambda t: a_trip_test(t["rig"]["id"], t["other device"]["id"])),
    ("/subject", lambda t: a_plug_in(t["rig"]["id"])),
    ("/subject", lambda t: a_plug_in(an_id())),
    ("/body/guard", lambda t: an_outlet(t["rig"]["id"], guard=t["other device"]["id"])),
    ("/body/guard", lambda t: an_outlet(t["rig"]["id"], guard=t["outlet"]["id"])),
    ("/observed_at", lambda t: an_arrival_check(observed_at="2026-02-30T10:00:00Z")),
    ("/observed_at", lambda t: an_arrival_check(observed_at="0000-01-01T10:00:00Z")),
    ("/corrects", lambda t: t["check"] | {"id": an_id(), "corrects": an_id(), "reason": "x"}),
    ("/reason", lambda t: t["check"] | {"id": an_id(), "corrects": t["check"]["id"]}),
    ("/reason", lambda t: an_arrival_check(reason="for nothing")),
    ("/kind", lambda t: t["meter"] | {"id": an_id(), "corrects": t["check"]["id"], "reason": "x"}),
    (
        "/rig",
        lambda t: (
            t["outlet"]
            | {"id": an_id(), "rig": t["other rig"]["id"], "corrects": t["outlet"]["id"], "reason": "x"}
        ),
    ),
    ("/body/check/volts/h-n", lambda t: an_arrival_check(a_check(volts={"h-n": "1213 V"}))),
    ("/body/check/breaker_amps", lambda t: an_arrival_check(a_check(breaker_amps="0 A"))),
    ("/body/check/breaker_amps", lambda t: an_arrival_check(a_check(breaker_amps="101 A"))),
    ("/body/check/hertz", lambda t: an_arrival_check(a_check(hertz="6 Hz"))),
    (
        "/body/check/meter/accuracy_percent",
        lambda t: an_arrival_check(a_check(meter={"accuracy_percent": "21 %"})),
    ),
    (
        "/body/check/trip/0/milliamps",
        lambda t: an_arrival_check(a_check(trip=[{"by": "button", "device": "this", "milliamps": "501 mA"}])),
    ),
    (
        "/body/check/where",
        lambda t: an_outlet_test(t["rig"]["id"], t["outlet"]["id"], a_check(where="pedestal")),
    ),
]


@pytest.mark.parametrize(("at", "make"), WRONG)
def test_a_record_that_contradicts_the_log_or_itself_is_refused_at_the_place(
    owner: Person, things: dict[str, Made], at: str, make: Callable[[dict[str, Made]], Made]
) -> None:
    assert at in problems(owner, make(things))


@pytest.mark.parametrize("make", RIGHT)
def test_nobody_can_speak_of_what_is_in_somebody_elses_log(
    owner: Person, colleague: Person, things: dict[str, Made], make: Callable[[dict[str, Made]], Made]
) -> None:
    receipt = colleague.send(make(things))[0]

    assert receipt["status"] == "refused"


def test_the_answer_is_the_same_for_what_is_not_there_and_what_is_somebody_elses(
    owner: Person, colleague: Person, things: dict[str, Made]
) -> None:
    foreign = colleague.send(a_plug_in(things["check"]["id"]))[0]["problems"]
    missing = colleague.send(a_plug_in(an_id()))[0]["problems"]

    assert foreign == missing


@pytest.mark.parametrize(
    ("step", "place"),
    [("volts.h-n", 0), ("look", 0), ("meter_proved", 0), ("trip", None), ("lamps.h-n", None)],
)
def test_a_step_is_either_done_or_listed_as_not_tested(owner: Person, step: str, place: int | None) -> None:
    sent = an_arrival_check()
    sent["body"]["not_tested"] = [step]

    assert problems(owner, sent) == ([] if place is None else [f"/body/not_tested/{place}"])


def test_a_check_whose_device_was_reset_does_not_list_it_as_not_tested(owner: Person) -> None:
    sent = an_arrival_check(
        a_check(trip=[{"by": "button", "device": "this", "tripped": True, "reset": True}])
    )
    sent["body"]["not_tested"] = ["face_dead", "reset"]

    assert problems(owner, sent) == ["/body/not_tested/1"]


@pytest.mark.parametrize("step", ["tripped", "face_dead", "reset"])
def test_a_trip_test_says_of_a_step_only_one_thing(owner: Person, things: dict[str, Made], step: str) -> None:
    sent = a_trip_test(things["rig"]["id"], things["device"]["id"])
    sent["body"]["not_tested"] = [step]

    assert problems(owner, sent) == ["/body/not_tested/0"]


def test_an_outlet_is_not_dead_and_live_at_once(owner: Person, things: dict[str, Made]) -> None:
    sent = a_trip_test(things["rig"]["id"], things["device"]["id"])
    sent["body"] |= {"dead": [things["outlet"]["id"]], "live": [things["outlet"]["id"]], "not_tested": []}

    assert problems(owner, sent) == ["/body/live/0"]


def test_an_outlet_of_another_rig_neither_died_nor_stayed_live(
    owner: Person, things: dict[str, Made]
) -> None:
    sent = a_trip_test(things["rig"]["id"], things["device"]["id"])
    sent["body"] |= {"dead": [things["other outlet"]["id"]], "live": [an_id()], "not_tested": []}

    assert problems(owner, sent) == ["/body/dead/0", "/body/live/0"]


def test_a_correction_of_what_followed_may_name_the_corrected_check(
    owner: Person, things: dict[str, Made]
) -> None:
    plug_in = a_plug_in(things["check"]["id"])
    check = things["check"] | {"id": an_id(), "corrects": things["check"]["id"], "reason": "typing"}
    after = plug_in | {"id": an_id(), "subject": check["id"], "corrects": plug_in["id"], "reason": "typing"}

    assert [receipt["status"] for receipt in owner.send(plug_in, check, after)] == ["stored"] * 3


def test_a_part_of_a_rig_is_named_by_its_first_record(owner: Person, things: dict[str, Made]) -> None:
    outlet = things["outlet"] | {"id": an_id(), "corrects": things["outlet"]["id"], "reason": "typing"}
    owner.send(outlet)

    assert problems(owner, an_outlet_test(things["rig"]["id"], outlet["id"])) == ["/subject"]
