"""A record held against its schema: every member, wrong in every way, gets a sentence at its place."""

import copy
import json
import re
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from fieldlog.sync.shape import SCHEMA, _quick_validator, _validator, pointer, problems_of_shape
from fieldlog.words.kinds import RECORDS as RECORD_KINDS
from tests.builders import (
    a_14_50_check,
    a_change,
    a_check,
    a_device,
    a_full_check,
    a_hand_over,
    a_lamp_tester,
    a_look,
    a_meter,
    a_photo,
    a_plan,
    a_plan_on_both_legs,
    a_plug_in,
    a_proof,
    a_record,
    a_rig,
    a_rig_map,
    a_round,
    a_site_note,
    a_trip_test,
    an_arrival_check,
    an_id,
    an_incident,
    an_outlet,
    an_outlet_test,
)

RECORDS = {
    "arrival-check": an_arrival_check(a_full_check()),
    "outlet-test": an_outlet_test(an_id(), an_id(), a_14_50_check(near={"x": True, "y": True})),
    "plug-in": a_plug_in(an_id()),
    "trip-test": a_trip_test(an_id(), an_id()),
    "rig": a_rig(),
    "outlet": an_outlet(an_id(), guard=an_id()),
    "device": a_device(an_id(), made="2021-02"),
    "meter": a_meter(),
    "lamp-tester": a_lamp_tester(),
    "photo": a_photo(an_id()),
    "rig-map": a_rig_map(an_id()),
    "change": a_change(an_id(), shown=an_id()),
    "proof": a_proof(an_id(), an_id()),
    "look": a_look(an_id()),
    "round": a_round(an_id(), an_id(), an_id()),
    "hand-over": a_hand_over(an_id()),
    "incident": an_incident(an_id(), an_id()),
    "plan": a_plan(an_id()),
    "plan-on-both-legs": a_plan_on_both_legs(an_id()),
    "site-note": a_site_note(),
}
JUNK: list[Any] = [
    0,
    -1,
    1.5,
    True,
    "",
    "x",
    "121.3",
    "121.3 V\n",
    "12,1 V",
    "\uff11\uff12 V",
    " ",
    [],
    ["x"],
    {},
    {"x": 1},
    None,
    "a" * 5000,
]


def places(value: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Go through every place in a value, the value itself left out."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for step, each in inner:
        yield (*at, step)
        yield from places(each, (*at, step))


def changed(record: Any, at: tuple[str | int, ...], value: Any) -> Any:
    """Give a copy with another value at a place."""
    copied = copy.deepcopy(record)
    place = copied
    for step in at[:-1]:
        place = place[step]
    place[at[-1]] = value
    return copied


def without(record: Any, at: tuple[str | int, ...]) -> Any:
    """Give a copy without a member."""
    copied = copy.deepcopy(record)
    place = copied
    for step in at[:-1]:
        place = place[step]
    del place[at[-1]]
    return copied


ALL_PLACES = [(name, at) for name, record in RECORDS.items() for at in places(record)]


def test_the_schema_is_one() -> None:
    Draft202012Validator.check_schema(json.loads(SCHEMA.read_text()))


def test_the_schema_knows_every_kind() -> None:
    schema = json.loads(SCHEMA.read_text())

    assert tuple(schema["properties"]["kind"]["enum"]) == tuple(RECORD_KINDS)
    assert {record["kind"] for record in RECORDS.values()} == set(RECORD_KINDS)


@pytest.mark.parametrize("name", RECORDS)
def test_a_right_record_has_no_problem(name: str) -> None:
    assert problems_of_shape(RECORDS[name]) == []


@pytest.mark.parametrize(("name", "at"), ALL_PLACES)
def test_a_wrong_value_is_named_at_its_place(name: str, at: tuple[str | int, ...]) -> None:
    for junk in JUNK:
        record = changed(RECORDS[name], at, junk)
        for problem in problems_of_shape(record):
            assert_sentence(problem.problem)
            steers = at in (("kind",), ("body", "type"), ("body", "skin", "by"))
            assert problem.at.startswith(pointer(at)) or steers, problem


@pytest.mark.parametrize(("name", "at"), ALL_PLACES)
def test_the_quick_answer_is_that_of_the_sentences(name: str, at: tuple[str | int, ...]) -> None:
    for junk in (*JUNK, "\x1c", "\x85", "\u2003", "\ufeff", 2**53, -0.0, "é" * 500):
        record = changed(RECORDS[name], at, junk)

        if _quick_validator().is_valid(record):
            assert list(_validator().iter_errors(record)) == []


@pytest.mark.parametrize("blank", [chr(c) for c in range(0x110000) if chr(c).isspace()])
def test_a_name_of_nothing_but_a_blank_is_no_name(blank: str) -> None:
    problems = problems_of_shape(changed(RECORDS["rig"], ("body", "name"), blank))

    assert [problem.at for problem in problems] == ["/body/name"]


OF_A_PLAN = ("watts", "feet")
RATINGS = {"rig-map": ("amps", "feet"), "plan": OF_A_PLAN, "plan-on-both-legs": OF_A_PLAN}
OPTIONAL = (("body", "made"), ("body", "second"))


@pytest.mark.parametrize(
    ("name", "at"), [(n, at) for n, at in ALL_PLACES if at[-1] not in RATINGS.get(n, ())]
)
def test_a_number_stands_nowhere_in_a_record_but_in_the_ratings_and_lengths_of_map_and_plan(
    name: str, at: tuple[str | int, ...]
) -> None:
    problems = problems_of_shape(changed(RECORDS[name], at, 121.3))

    assert any(p.at == pointer(at) or p.at == pointer(at[:-1]) for p in problems)


@pytest.mark.parametrize("name", RECORDS)
@pytest.mark.parametrize("member", list(RECORDS["rig"]))
def test_a_missing_member_is_named(name: str, member: str) -> None:
    problems = problems_of_shape(without(RECORDS[name], (member,)))

    assert f"/{member}" in [p.at for p in problems]
    assert all("missing" in p.problem for p in problems if p.at == f"/{member}")


@pytest.mark.parametrize(
    ("name", "at"),
    [(n, at) for n, at in ALL_PLACES if at[0] == "body" and len(at) == 2 and at not in OPTIONAL],
)
def test_a_missing_member_of_the_body_is_named(name: str, at: tuple[str | int, ...]) -> None:
    problems = problems_of_shape(without(RECORDS[name], at))

    assert pointer(at) in [p.at for p in problems]


@pytest.mark.parametrize(
    ("name", "at"), [(n, ()) for n in RECORDS] + [(n, at) for n, at in ALL_PLACES if isinstance(at[-1], str)]
)
def test_an_unknown_member_is_named(name: str, at: tuple[str | int, ...]) -> None:
    place: Any = RECORDS[name]
    for step in at:
        place = place[step]
    if not isinstance(place, dict):
        return

    problems = problems_of_shape(changed(RECORDS[name], (*at, "z/~z"), "x"))

    assert pointer((*at, "z/~z")) in [p.at for p in problems]


@pytest.mark.parametrize("value", [None, 3, "x", [], {}, True, [{}]])
def test_what_is_no_record_at_all_is_told_so(value: Any) -> None:
    problems = problems_of_shape(value)

    assert problems
    for problem in problems:
        assert_sentence(problem.problem)


@pytest.mark.parametrize("volts", ["121.3 V", "0 V", "0.0001 V", "99999 V", "5 V"])
def test_a_measured_value_is_a_number_with_its_unit(volts: str) -> None:
    assert problems_of_shape(an_arrival_check(a_check(volts={"h-n": volts}))) == []


@pytest.mark.parametrize(
    "volts",
    [
        "121.3",
        "121.3V",
        "121.3  V",
        "121.3 A",
        ".5 V",
        "5. V",
        "-1 V",
        "+1 V",
        "1e2 V",
        "NaN V",
        "123456 V",
        "1.00001 V",
        "1 V\n",
        "\u0661 V",
    ],
)
def test_what_is_no_measured_value_is_told_what_one_looks_like(volts: str) -> None:
    problems = problems_of_shape(an_arrival_check(a_check(volts={"h-n": volts})))

    assert [p.at for p in problems] == ["/body/check/volts/h-n"]
    assert 'such as "121.3 V"' in problems[0].problem


def test_a_check_without_anything_read_is_told_so() -> None:
    check = a_check()
    del check["volts"], check["look"]

    problems = problems_of_shape(an_arrival_check(check))

    assert [(p.at, p.problem) for p in problems] == [
        ("/body/check", "Nothing was read: give volts, lamps, look or trip.")
    ]


def test_a_detector_has_no_volts() -> None:
    body = a_plug_in(an_id())["body"] | {"skin": {"by": "detector", "volts": "0.4 V"}}

    problems = problems_of_shape(a_record("plug-in", body, subject=an_id()))

    assert {p.at for p in problems} == {"/body/skin/detected", "/body/skin/volts"}


@settings(max_examples=30, deadline=None)
@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(),
        lambda i: st.lists(i) | st.dictionaries(st.text(), i),
    )
)
def test_no_body_breaks_the_check(body: Any) -> None:
    for kind in RECORD_KINDS:
        for problem in problems_of_shape(a_record(kind, body)):
            assert_sentence(problem.problem)


def assert_sentence(text: str) -> None:
    """Hold a text against what a sentence for people looks like."""
    assert re.search(r"[.]$", text), text
    assert not re.search(r"\$ref|\^\[|is not valid under|does not match|None of", text), text
    assert len(text) < 400, text


def test_what_records_did_not_have_from_the_start_may_be_left_out() -> None:
    assert problems_of_shape(without(RECORDS["device"], ("body", "made"))) == []
    assert problems_of_shape(changed(RECORDS["device"], ("body", "made"), None)) == []
    assert not {"milliseconds", "milliamps"} & set(RECORDS["trip-test"]["body"])


@pytest.mark.parametrize(
    "steps", [["volts.x-y", "lamps.x-n"], ["loaded", "near", "continuity"], ["volts.g-e"]]
)
def test_every_step_can_be_noted_as_not_tested(steps: list[str]) -> None:
    assert problems_of_shape(changed(RECORDS["outlet-test"], ("body", "not_tested"), steps)) == []
