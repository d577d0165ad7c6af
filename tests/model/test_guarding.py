"""What the owner noted as guarding an outlet, held against what went dead."""

from typing import Any

import pytest

from fieldlog.model.guarding import Disagreement, contradictions
from fieldlog.model.rig import rig_of
from tests.builders import a_device, a_rig, a_trip_test, an_outlet
from tests.model.log import a_log, at

RIG = a_rig()
ONE, OTHER = a_device(RIG["id"], "One"), a_device(RIG["id"], "Other")


def a_trip(outlet: dict[str, Any], seen: str, day: str = "2026-11-20", **body: Any) -> dict[str, Any]:
    """Give a trip test of the first device in which the outlet was seen dead or live."""
    trip = a_trip_test(RIG["id"], ONE["id"], observed_at=at(day))
    trip["body"] |= {"dead": [], "live": [], "not_tested": []} | {seen: [outlet["id"]]} | body
    return trip


def found(*records: dict[str, Any]) -> list[Disagreement]:
    """Give how the records disagree."""
    rig = rig_of(a_log(RIG, ONE, OTHER, *records), RIG["id"])
    assert rig is not None
    return [each.kind for each in contradictions(rig)]


@pytest.mark.parametrize(
    ("guard", "seen", "kinds"),
    [
        (ONE["id"], "dead", []),
        (ONE["id"], "live", [Disagreement.STAYED_LIVE]),
        (OTHER["id"], "dead", [Disagreement.WENT_DEAD]),
        (OTHER["id"], "live", []),
        (None, "dead", [Disagreement.NOT_NOTED]),
        (None, "live", []),
    ],
)
def test_a_note_that_the_trip_test_does_not_bear_out_is_shown(
    guard: str | None, seen: str, kinds: list[Disagreement]
) -> None:
    outlet = an_outlet(RIG["id"], guard=guard)

    assert found(outlet, a_trip(outlet, seen)) == kinds


def test_an_outlet_that_was_not_looked_at_contradicts_nothing() -> None:
    outlet = an_outlet(RIG["id"], guard=ONE["id"])

    assert found(outlet, a_trip_test(RIG["id"], ONE["id"])) == []


def test_a_device_that_did_not_trip_shows_nothing_about_what_it_guards() -> None:
    outlet = an_outlet(RIG["id"], guard=ONE["id"])

    assert found(outlet, a_trip(outlet, "live", tripped=False)) == []


def test_a_newer_trip_test_settles_an_older_one() -> None:
    outlet = an_outlet(RIG["id"], guard=ONE["id"])

    assert found(outlet, a_trip(outlet, "live", "2026-10-20"), a_trip(outlet, "dead", "2026-11-20")) == []


def test_a_newer_trip_test_that_skips_the_outlet_settles_nothing() -> None:
    outlet = an_outlet(RIG["id"], guard=ONE["id"])
    skipped = a_trip_test(RIG["id"], ONE["id"], observed_at=at("2026-11-20"))

    assert found(outlet, a_trip(outlet, "live", "2026-10-20"), skipped) == [Disagreement.STAYED_LIVE]


def test_the_sentence_names_the_outlet_and_the_device() -> None:
    outlet = an_outlet(RIG["id"], "Above the bunk", guard=ONE["id"])
    rig = rig_of(a_log(RIG, ONE, OTHER, outlet, a_trip(outlet, "live")), RIG["id"])

    assert rig is not None
    assert contradictions(rig)[0].sentence == (
        "“Above the bunk” stayed live when “One” tripped, though you noted it as guarded by “One”. "
        "Treat it as unguarded until a new trip test shows it dead."
    )
