"""What a page says of what fits the readings, and of what they cannot show."""

from typing import Any

import pytest

from fieldlog import rulebook
from tests.builders import a_check, an_arrival_check
from tests.conftest import Person
from tests.web.test_reading_history import shown


@pytest.mark.parametrize(
    "members",
    [
        {"near": {"g": True}},
        {"look": ["loose"]},
        {"trip": [{"by": "button", "device": "this", "tripped": True, "face_dead": False}]},
    ],
)
def test_that_right_wiring_harms_nobody_is_said_only_where_nothing_else_was_found(
    owner: Person, members: dict[str, Any]
) -> None:
    plain, marked = an_arrival_check(), an_arrival_check(a_check(**members))
    owner.send(plain, marked)

    said = rulebook.load().raw["words"]["explanations"]["correct"]

    assert said["people"] in shown(owner, plain) and said["appliances"] in shown(owner, plain)
    assert said["sentence"] in shown(owner, marked)
    assert said["people"] not in shown(owner, marked) and said["appliances"] not in shown(owner, marked)


def test_a_fault_that_was_ruled_out_is_no_longer_among_what_cannot_be_seen(owner: Person) -> None:
    volts = {
        "h-n": "121.3 V",
        "h-g": "121.0 V",
        "n-g": "0.4 V",
        "h-e": "120.9 V",
        "n-e": "0.5 V",
        "g-e": "0.1 V",
    }
    sent = an_arrival_check(a_check(volts=volts))
    owner.send(sent)

    page = shown(owner, sent)

    words = rulebook.load().raw["words"]
    names = {id: words["explanations"][id]["name"] for id in words["twins_shown"]}
    seen = page.split("What this cannot show")[1]
    assert (
        names["neutral-ground-reversed"] in seen and words["twins_shown"]["neutral-ground-reversed"] in seen
    )
    assert names["reversed-with-bonded-ground"] not in seen
    assert words["twins_shown"]["reversed-with-bonded-ground"] not in seen


@pytest.mark.parametrize(
    ("members", "verdict"),
    [
        ({}, "use"),
        ({"look": ["loose"]}, "use-limited"),
        ({"volts": {"h-n": "121.3 V"}}, "test-more"),
        ({"look": ["burned"]}, "do-not-use"),
    ],
)
def test_a_check_that_is_looked_at_later_orders_nothing_of_before_plugging_in(
    owner: Person, members: dict[str, Any], verdict: str
) -> None:
    sent = an_arrival_check(a_check(**members))
    owner.send(sent)

    page = shown(owner, sent)

    said = rulebook.load().raw["words"]["verdicts"][verdict]
    assert said["word"] in page and said["kept"] in page
    assert "What to do now" not in page
    assert not [order for order in said["do_now"] if order in page]
