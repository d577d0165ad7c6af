"""Box fill: laws, and what a bad input gets."""

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.engine.box import EDITIONS, GAUGES, box_fill
from fieldlog.errors import BadInput
from fieldlog.tables import load

gauges = st.sampled_from(GAUGES)
wires = st.lists(st.fixed_dictionaries({"awg": gauges, "count": st.integers(0, 6)}), max_size=3)
boxes = st.fixed_dictionaries(
    {
        "edition": st.sampled_from(EDITIONS),
        "volume_in3": st.integers(1, 400).map(lambda tenths: tenths / 10),
        "conductors": st.lists(
            st.fixed_dictionaries({"awg": gauges, "count": st.integers(1, 6)}), min_size=1
        ),
        "grounds": wires,
        "isolated_grounds": wires,
        "clamps": st.booleans(),
        "devices": st.lists(st.fixed_dictionaries({"awg": gauges, "gangs": st.integers(1, 2)}), max_size=3),
        "supports": st.integers(0, 2),
        "terminal_blocks": st.lists(st.fixed_dictionaries({"awg": gauges}), max_size=2),
    }
)
MORE = {
    "conductors": {"awg": 14, "count": 1},
    "grounds": {"awg": 14, "count": 1},
    "devices": {"awg": 14, "gangs": 1},
    "terminal_blocks": {"awg": 14},
}


def filled(value: Any) -> dict[str, Any]:
    return box_fill(value, load())


def a_box(**members: Any) -> dict[str, Any]:
    return {"edition": 2020, "volume_in3": 20.0, "conductors": [{"awg": 12, "count": 2}], **members}


@settings(deadline=None)
@given(boxes)
def test_the_parts_add_up_to_what_is_needed_and_decide(value: Any) -> None:
    found = filled(value)

    assert sum(one["in3"] for one in found["parts"]) == found["needed_in3"]
    assert found["fits"] is (found["needed_in3"] <= value["volume_in3"])


@settings(deadline=None)
@given(boxes, st.sampled_from(sorted(MORE)))
def test_one_thing_more_never_takes_less(value: Any, name: str) -> None:
    more = value | {name: [*value[name], MORE[name]]}

    assert filled(more)["needed_in3"] >= filled(value)["needed_in3"]


@settings(deadline=None)
@given(boxes)
def test_a_later_edition_never_takes_less(value: Any) -> None:
    in3 = [filled(value | {"edition": edition})["needed_in3"] for edition in EDITIONS]

    assert in3 == sorted(in3)


def test_what_is_left_out_counts_as_none() -> None:
    fuller = a_box(grounds=[], isolated_grounds=[], clamps=False, devices=[], supports=0, terminal_blocks=[])

    assert filled(a_box()) == filled(fuller)


def problems(value: Any) -> list[tuple[str, str]]:
    with pytest.raises(BadInput) as caught:
        filled(value)
    return [(one.at, one.problem) for one in caught.value.problems]


@pytest.mark.parametrize(
    ("members", "at", "words"),
    [
        ({"edition": 2016}, "/edition", "must be one of 2014, 2017, 2020, 2023"),
        ({"volume_in3": 0}, "/volume_in3", "above 0"),
        ({"volume_in3": None}, "/volume_in3", "is needed"),
        ({"conductors": [{"awg": 13, "count": 1}]}, "/conductors/0/awg", "must be one of 18"),
        ({"conductors": [{"count": 1}]}, "/conductors/0/awg", "is needed"),
        ({"conductors": [{"awg": 12, "count": 1.5}]}, "/conductors/0/count", "whole number"),
        ({"conductors": 4}, "/conductors", "must be a list"),
        ({"devices": [{"awg": 12, "count": 1}]}, "/devices/0/count", "not a field here"),
        ({"clamps": 1}, "/clamps", "true or false"),
        ({"supports": -1}, "/supports", "whole number"),
        ({"conductors": [], "clamps": True}, "/clamps", "no wire is noted"),
        ({"depth": 2}, "/depth", "not a field here"),
    ],
)
def test_a_bad_member_of_a_box_is_named(members: dict[str, Any], at: str, words: str) -> None:
    ((found_at, found_words),) = problems(a_box(**members))

    assert found_at == at
    assert words in found_words


@pytest.mark.parametrize("name", ["edition", "volume_in3", "conductors"])
def test_what_has_to_be_known_is_asked_for(name: str) -> None:
    assert problems({key: member for key, member in a_box().items() if key != name}) == [
        (f"/{name}", "is needed.")
    ]
