"""Readings that no instrument can have shown, or that lie between contacts that the outlet does not have."""

from typing import Any

import pytest

from fieldlog.model.contacts import OF_OUTLET, contacts_of
from fieldlog.model.record import Record
from fieldlog.rulebook import load
from fieldlog.sync.rules import problems_by_itself
from fieldlog.sync.shape import problems_of_shape
from tests.builders import (
    a_14_50_check,
    a_check,
    a_device,
    a_full_check,
    a_meter,
    a_trip_test,
    an_arrival_check,
    an_id,
)
from tests.conftest import Person

LOW_IMPEDANCE = {"input": "low-impedance"}


def problems(record: dict[str, Any]) -> dict[str, str]:
    """Give what is wrong with a record by itself, by place."""
    assert problems_of_shape(record) == []
    return {found.at: found.problem for found in problems_by_itself(Record.from_json(record))}


def problems_of(check: dict[str, Any]) -> dict[str, str]:
    """Give what is wrong with a check."""
    return problems(an_arrival_check(check))


def test_contacts_are_those_that_the_rulebook_judges() -> None:
    rulebook = load()

    assert set(OF_OUTLET) == set(rulebook.raw["outlets"])
    for outlet in OF_OUTLET:
        family, ours = rulebook.family_of(outlet), contacts_of(outlet)
        assert (ours.pairs, ours.usual) == (family.pairs, family.lamp_pairs)
        assert set(ours.acrosses) == set(family.acrosses)
        assert set(family.contacts) < set(ours.detector_places)


def test_every_kind_of_reading_is_kept(owner: Person) -> None:
    sent = [an_arrival_check(check) for check in (a_full_check(), a_14_50_check())]

    assert [receipt["status"] for receipt in owner.send(*sent)] == ["stored"] * 2


@pytest.mark.parametrize(
    ("check", "at", "sentence"),
    [
        (
            a_check(volts={"x-n": "121 V"}),
            "volts/x-n",
            "Leg X–neutral is not read at a TT-30: correct the outlet, or the contacts, which are "
            "hot–neutral, hot–ground, neutral–ground, hot–earth, neutral–earth or ground–earth.",
        ),
        (
            a_14_50_check(lamps={"h-n": "lit"}),
            "lamps/h-n",
            "Hot–neutral is not read at a 14-50: correct the outlet, or the contacts, which are leg X–leg Y, "
            "leg X–neutral, leg Y–neutral, leg X–ground, leg Y–ground or neutral–ground.",
        ),
        (
            a_check(loaded={"across": "x-y", "amps": "12 A"}),
            "loaded/across",
            "On a TT-30 a load does not hang across leg X–leg Y; it hangs across hot–neutral.",
        ),
        (
            a_14_50_check(loaded={"amps": "12 A"}),
            "loaded/across",
            "Say which two contacts the load hangs across: leg X–neutral, leg Y–neutral or leg X–leg Y.",
        ),
        (
            a_check(near={"x": True}),
            "near/x",
            "A TT-30 has no leg X contact; correct the outlet, or take it out.",
        ),
    ],
)
def test_a_reading_between_contacts_that_are_not_there_is_named(
    check: dict[str, Any], at: str, sentence: str
) -> None:
    assert problems_of(check) == {f"/body/check/{at}": sentence}


@pytest.mark.parametrize(
    ("check", "at"),
    [
        (a_check(lamps={"h-e": "lit"}), "lamps/h-e"),
        (a_check(loaded={"amps": "9 A", "volts": {"y-n": "120 V"}}), "loaded/volts/y-n"),
        (a_check(more=[{"volts": {"h-n": "1 V"}}, {"lamps": {"x-y": "lit"}}]), "more/1/lamps/x-y"),
        (
            a_check(more=[{"loaded": {"across": "y-n", "amps": "9 A", "volts": {"h-n": "1 V"}}}]),
            "more/0/loaded/across",
        ),
        (a_14_50_check(more=[{"loaded": {"amps": "9 A"}}]), "more/0/loaded/across"),
        (a_14_50_check(more=[{"volts": {"h-g": "120 V"}}]), "more/0/volts/h-g"),
    ],
)
def test_it_is_named_in_every_set(check: dict[str, Any], at: str) -> None:
    assert list(problems_of(check)) == [f"/body/check/{at}"]


@pytest.mark.parametrize(
    ("check", "at"),
    [
        (a_check(meter=LOW_IMPEDANCE, volts={"h-e": "120 V"}), "volts/h-e"),
        (
            a_check(meter=LOW_IMPEDANCE, loaded={"amps": "9 A", "volts": {"g-e": "1 V"}}),
            "loaded/volts/g-e",
        ),
        (a_14_50_check(more=[{"meter": LOW_IMPEDANCE, "volts": {"x-e": "120 V"}}]), "more/0/volts/x-e"),
    ],
)
def test_an_earth_is_not_read_with_a_meter_that_drives_current_into_the_stake(
    check: dict[str, Any], at: str
) -> None:
    """Common practice: only a high-impedance meter leaves the stake at earth."""
    found = problems_of(check)

    assert list(found) == [f"/body/check/{at}"]
    assert "drives current into the stake" in found[f"/body/check/{at}"]


def test_an_earth_is_read_with_the_other_meter() -> None:
    earth = {"meter": {"input": "high-impedance"}, "volts": {"h-e": "120 V"}}

    assert problems_of(a_check(meter=LOW_IMPEDANCE, more=[earth])) == {}


def test_twenty_further_sets_are_kept_and_one_more_is_not() -> None:
    one = {"state": "unplugged", "volts": {"h-n": "120 V"}}

    assert problems_of(a_check(more=[one] * 20)) == {}
    assert [found.at for found in problems_of_shape(an_arrival_check(a_check(more=[one] * 21)))] == [
        "/body/check/more"
    ]


def test_what_a_load_is_on_need_not_be_read() -> None:
    """An upstream device that holds a load tells by holding it."""
    assert problems_of(a_check(loaded={"amps": "1.2 A"})) == {}


@pytest.mark.parametrize(
    ("wrong", "at"),
    [
        ({"milliseconds": "20001 ms"}, "milliseconds"),
        ({"milliamps": "501 mA"}, "milliamps"),
        ({"tripped": False, "milliseconds": "24 ms"}, "milliseconds"),
        ({"tripped": None, "milliseconds": "24 ms"}, "milliseconds"),
    ],
)
def test_a_trip_test_says_only_what_can_be(wrong: dict[str, Any], at: str) -> None:
    sent = a_trip_test(an_id(), an_id())
    sent["body"] |= {"by": "external", **wrong}

    assert list(problems(sent)) == [f"/body/{at}"]


def test_an_instrument_is_as_exact_as_one_can_be() -> None:
    meter = a_meter()
    meter["body"]["accuracy_percent"] = "25 %"

    assert list(problems(meter)) == ["/body/accuracy_percent"]


def test_a_device_is_made_before_it_is_installed() -> None:
    assert list(problems(a_device(an_id(), made="2021-06"))) == ["/body/made"]
    assert problems(a_device(an_id(), made="2021-05")) == {}
    assert problems(a_device(an_id())) == {}
