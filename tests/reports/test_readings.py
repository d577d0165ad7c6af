"""The readings of a check in plain words."""

import re
from collections.abc import Iterator
from typing import Any

import pytest

from fieldlog.kinds import parts_of_record
from fieldlog.kinds.kind import Glossary
from fieldlog.model.record import Record
from fieldlog.words.readings import parts_of_check
from tests.builders import (
    a_14_50_check,
    a_check,
    a_device,
    a_floating_generator,
    a_full_check,
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

# What a member or a value is called in a record, and nowhere else: two words joined, or two contacts.
KEY = re.compile(
    r"\b[hxynge]-[hxynge]\b|[a-z]_[a-z]|\bg-frame\b|\bas-found\b|\bbreaker-off\b|\bthis\b(?! outlet)"
)


def text_of(check: Any) -> dict[str, dict[str, str]]:
    """Give what is said of a check, by part and label."""
    return {part.title: {line.label: line.value for line in part.lines} for part in parts_of_check(check)}


def measured_in(value: Any) -> Iterator[str]:
    """Go through every measured text of a body."""
    if isinstance(value, dict):
        for inner in value.values():
            yield from measured_in(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from measured_in(inner)
    elif isinstance(value, str) and re.match(r"[0-9.]+ (V|A|Hz|%|ms|mA)$", value):
        yield value


@pytest.mark.parametrize("check", [a_check(), a_full_check(), a_14_50_check(), a_floating_generator()])
def test_no_measured_value_is_left_out(check: Any) -> None:
    said = " ".join(part.text for part in parts_of_check(check))

    assert [value for value in measured_in(check) if value not in said] == []


def test_what_was_read_stands_under_what_it_was_read_in() -> None:
    said = text_of(a_full_check())

    assert list(said) == [
        "The outlet",
        "Read, as found",
        "Read, as found, under load",
        "Further set 1, everything else unplugged",
        "Further set 2, as found",
        "Further set 2, as found, under load",
        "Further set 3, breaker off",
        "Continuity, nothing live",
        "Non-contact detector",
        "Trip tests",
    ]
    assert said["The outlet"]["Damage looked for"] == "loose"
    assert said["Read, as found"]["Meter"] == "high-impedance meter, exact to 1.0 % + 0.3 V"
    assert said["Read, as found"]["Hot–earth"] == "121.2 V"
    assert said["Read, as found"]["Hot–ground lamp"] == "dim"
    assert said["Read, as found, under load"] == {
        "Load across hot–neutral": "12.0 A, known to 5 %",
        "Hot–neutral": "116.9 V",
        "Hot–ground": "119.2 V",
        "Neutral–ground": "2.2 V",
    }
    assert said["Further set 2, as found"]["Meter"] == "low-impedance meter, exact to 1.5 % + 0.5 V"
    assert said["Further set 3, breaker off"] == {"Hot–neutral lamp": "dark"}
    assert said["Continuity, nothing live"] == {
        "Neutral contact to ground contact": "open",
        "Ground contact to the source's frame": "joined",
    }
    assert said["Non-contact detector"]["At the hot contact"] == "found volts"
    assert said["Non-contact detector"]["At the rig's skin"] == "silent, which shows nothing: not tested"
    assert said["Trip tests"] == {
        "This outlet's device": "external tester: tripped, its own face went dead, reset, "
        "time to trip 24 ms, fault current 7 mA",
        "A device upstream": "TEST pressed: tripped, reset",
    }


def test_a_14_50_is_read_leg_by_leg() -> None:
    said = text_of(a_14_50_check(near={"x": True}))

    assert list(said["Read, as found"])[1:4] == ["Leg X–leg Y", "Leg X–neutral", "Leg Y–neutral"]
    assert said["Read, as found, under load"]["Load across leg X–neutral"] == "12.2 A, known to 5 %"
    assert said["Non-contact detector"] == {"At the leg X contact": "found volts"}


def test_an_old_check_reads_as_it_was_noted() -> None:
    """A check as phones made it when three volts and lamps were all that was read."""
    old = {
        "outlet": "TT-30",
        "supply": "utility",
        "where": "pedestal",
        "volts": {"h-n": "121.3 V", "n-g": "0.4 V"},
        "lamps": {"h-n": "lit"},
        "look": [],
    }

    assert text_of(old) == {
        "The outlet": {
            "Kind": "TT-30",
            "Supply": "shore power",
            "Where": "at the pedestal, or at the source's own outlet",
            "Damage looked for": "none seen",
        },
        "Read, as found": {"Hot–neutral": "121.3 V", "Neutral–ground": "0.4 V", "Hot–neutral lamp": "lit"},
    }


def test_a_check_without_readings_says_none() -> None:
    assert list(text_of({"outlet": "5-15", "look": ["burned"]})) == ["The outlet"]


RIG = an_id()
RECORDS = [
    an_arrival_check(a_full_check()),
    an_arrival_check(a_14_50_check()),
    an_outlet_test(RIG, an_id(), a_full_check(where="rig")),
    a_plug_in(an_id()),
    a_trip_test(RIG, an_id()),
    a_rig(),
    an_outlet(RIG, guard=an_id()),
    a_device(RIG, made="2021-02"),
    a_meter(),
    a_lamp_tester(),
]


@pytest.mark.parametrize("record", RECORDS, ids=lambda record: record["kind"])
def test_no_record_shows_a_key_or_an_id(record: dict[str, Any]) -> None:
    said = " ".join(part.text for part in parts_of_record(Record.from_json(record)))

    assert KEY.findall(said) == []
    assert not re.search(r"[0-9a-f]{8}-[0-9a-f]{4}", said)


def test_a_trip_test_names_the_outlets() -> None:
    galley = an_id()
    trip = a_trip_test(RIG, an_id())
    trip["body"] |= {"dead": [galley], "not_tested": []}

    (part,) = parts_of_record(Record.from_json(trip), Glossary({galley: "Galley"}))

    assert [line.value for line in part.lines][1:] == ["“Galley”", "not noted"]


@pytest.mark.parametrize(
    ("skin", "said"),
    [
        (None, "not tested"),
        ({"by": "meter", "volts": "0.4 V"}, "0.4 V to earth, by meter"),
        ({"by": "detector", "detected": True}, "a non-contact detector found volts"),
        ({"by": "detector", "detected": False}, "not tested, a silent detector shows nothing"),
        (
            {"by": "meter", "volts": "0.4 V", "earth_proved": False},
            "0.4 V to earth, by meter, the earth was not proved",
        ),
        (
            {"by": "meter", "volts": "48 V", "low_impedance": "0.9 V"},
            "48 V to earth, by meter, 0.9 V by a low-impedance meter",
        ),
    ],
)
def test_what_was_seen_after_plugging_in_is_told(skin: dict[str, Any] | None, said: str) -> None:
    record = a_plug_in(an_id())
    record["body"]["skin"] = skin

    (part,) = parts_of_record(Record.from_json(record))

    assert part.lines[0].value == said


@pytest.mark.parametrize(
    ("level", "said"),
    [
        ("none", ""),
        ("note", ", nothing shows that it is harmless: not read by a low-impedance meter"),
        ("limit", ", check the ground before you go on"),
        ("stop", ", live: breaker off, do not touch the rig"),
        ("not-tested", ", not tested"),
    ],
)
def test_the_level_of_the_skin_is_told_beside_its_volts(level: str, said: str) -> None:
    record = a_plug_in(an_id())
    record["body"]["judgement"]["level"] = level

    (part,) = parts_of_record(Record.from_json(record))

    assert part.lines[0].value == f"0.4 V to earth, by meter{said}"
