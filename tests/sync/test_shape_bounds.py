"""Whatever is sent, it is checked in time that grows with its bytes alone, and few sentences come back."""

import json
import re
import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest

from fieldlog.sync.rules import problems_of_text
from fieldlog.sync.shape import LONGEST_AT, MORE, MOST_PROBLEMS, SCHEMA, problems_of_shape
from tests.builders import a_change, a_check, a_rig_map, an_arrival_check, an_id

# Own choice: a quadratic check of these takes some 1,000 times as long as a linear one, or more.
MOST_TIMES_AS_LONG = 30


def parts_of_schema(schema: Any, at: str = "") -> Iterator[tuple[str, dict[str, Any]]]:
    """Go through every schema within the schema."""
    if isinstance(schema, dict):
        yield at, schema
        for name, inner in schema.items():
            yield from parts_of_schema(inner, f"{at}/{name}")
    elif isinstance(schema, list):
        for i, inner in enumerate(schema):
            yield from parts_of_schema(inner, f"{at}/{i}")


def of_type(name: str) -> list[tuple[str, dict[str, Any]]]:
    """Give every schema that allows a type."""
    found = parts_of_schema(json.loads(SCHEMA.read_text(encoding="utf-8")))
    return [(at, each) for at, each in found if name in _types(each)]


def _types(schema: dict[str, Any]) -> list[str]:
    """Give what a schema says of the type; a member may be called type as well."""
    found = schema.get("type", [])
    return [found] if isinstance(found, str) else found if isinstance(found, list) else []


@pytest.mark.parametrize(("at", "schema"), of_type("array"))
def test_every_list_of_a_record_has_a_most(at: str, schema: dict[str, Any]) -> None:
    assert 1 <= schema["maxItems"] <= 1000, at


@pytest.mark.parametrize(("at", "schema"), of_type("string"))
def test_every_text_of_a_record_has_an_end(at: str, schema: dict[str, Any]) -> None:
    is_bounded = bool(re.search(r"^\^.*\$$", schema.get("pattern", "")))
    endless = re.search(r"[*+]|,\}", re.sub(r"\[[^]]*\]|\\.", "x", schema.get("pattern", "")))

    assert schema.get("maxLength", 0) or "enum" in schema or (is_bounded and not endless), at


def test_every_object_whose_names_are_free_has_a_most_and_so_have_its_names() -> None:
    for at, schema in parts_of_schema(json.loads(SCHEMA.read_text(encoding="utf-8"))):
        if isinstance(schema.get("additionalProperties"), dict) and "enum" not in _names(schema):
            assert schema["maxProperties"] <= 40, at
            assert "maxLength" in _names(schema) or _names(schema)["pattern"].endswith("}$"), at


def _names(schema: dict[str, Any]) -> dict[str, Any]:
    """Give the schema of an object's names."""
    found: dict[str, Any] = schema["propertyNames"]
    if "$ref" in found:
        found = json.loads(SCHEMA.read_text(encoding="utf-8"))["$defs"][found["$ref"].rsplit("/", 1)[1]]
    return found


def seconds(check: Callable[[Any], Any], value: Any) -> float:
    """Give the shortest of three times that a check takes."""
    taken = []
    for _ in range(3):
        start = time.perf_counter()
        check(value)
        taken.append(time.perf_counter() - start)
    return min(taken)


def as_long_as(record: dict[str, Any]) -> dict[str, Any]:
    """Give a record of as many bytes in which nothing is wrong but that one text is too long."""
    harmless = an_arrival_check()
    return harmless | {"made_by": "x" * (len(json.dumps(record)) - len(json.dumps(harmless)))}


def with_parts(count: int) -> dict[str, Any]:
    """Give a change whose parts are objects, each another."""
    change = a_change(an_id())
    return change | {"body": change["body"] | {"parts": [{"a": i} for i in range(count)]}}


def with_modes(count: int) -> dict[str, Any]:
    """Give a map whose mode leaves out what is no number of a run."""
    drawn = a_rig_map(an_id())
    modes = {"dry": {"without": [{"a": i} for i in range(count)]}}
    return drawn | {"body": drawn["body"] | {"modes": modes}}


HOSTILE = {
    "a list that is too long": an_arrival_check(a_check(look=[{"a": i} for i in range(1000)])),
    "a list of the most entries": with_parts(500),
    "the longest list": with_modes(1000),
    "names of no pair": an_arrival_check(a_check(volts={f"k{i}": "1" for i in range(4000)})),
    "members that are not known": an_arrival_check() | {f"k{i}": 1 for i in range(4000)},
    "wrong texts": an_arrival_check(a_check(look=[f"x{i}" for i in range(4000)])),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_record_made_to_hold_the_server_up_is_refused_about_as_soon_as_any_other(name: str) -> None:
    record = HOSTILE[name]
    harmless = as_long_as(record)
    assert problems_of_shape(record) and problems_of_shape(harmless)

    ratio = seconds(problems_of_shape, record) / seconds(problems_of_shape, harmless)

    assert ratio < MOST_TIMES_AS_LONG


def test_a_long_name_above_a_long_list_is_not_written_for_each_entry() -> None:
    short, long = ({"k" * length + "\0": [0] * 50_000} for length in (10, 900_000))

    def check(value: Any) -> None:
        assert [problem.at for problem in problems_of_text(value)] == [""]

    assert seconds(check, long) / seconds(check, short) < MOST_TIMES_AS_LONG / 3


@pytest.mark.parametrize("name", HOSTILE)
def test_few_sentences_are_told_of_one_record(name: str) -> None:
    problems = problems_of_shape(HOSTILE[name])

    assert 1 <= len(problems) <= MOST_PROBLEMS + 1
    assert sum(len(each.at) + len(each.problem) for each in problems) < 5000


def test_where_more_is_wrong_than_is_told_that_is_said_last() -> None:
    wrong = {f"k{i}": 1 for i in range(MOST_PROBLEMS)}

    as_many, one_more = (problems_of_shape(an_arrival_check() | each) for each in (wrong, wrong | {"z": 1}))

    assert len(as_many) == MOST_PROBLEMS and MORE not in [each.problem for each in as_many]
    assert (len(one_more), one_more[-1].at, one_more[-1].problem) == (MOST_PROBLEMS + 1, "", MORE)


def test_a_list_that_is_too_long_is_told_so_and_nothing_else_of_it() -> None:
    problems = problems_of_shape(an_arrival_check(a_check(look=["wet"] * 3000 + [{}])))

    assert [(each.at, each.problem) for each in problems] == [
        ("/body/check/look", "It has 3001 entries; the most is 40.")
    ]


@pytest.mark.parametrize(
    ("entries", "is_told"),
    [
        ([0, 0], True),
        ([0, 0.0], True),  # JSON Schema 2020-12, 4.2.2: numbers of the same value are equal
        ([0, 1], False),
    ],
)
def test_the_same_entry_twice_is_told(entries: list[Any], is_told: bool) -> None:
    drawn = a_rig_map(an_id())
    body = drawn["body"] | {"modes": {"dry": {"without": entries}}}

    problems = problems_of_shape(drawn | {"body": body})

    assert bool(problems) is is_told
    assert all("twice" in each.problem for each in problems)


def test_a_made_up_name_of_any_length_is_not_sent_back_as_a_place() -> None:
    record = with_modes(1)
    record["body"]["modes"] = {"m" * 100_000: {"without": ["x"] * 900}}

    problems = problems_of_shape(record)

    assert {each.at for each in problems} <= {"/body/modes", ""}
    assert all(len(each.at) <= LONGEST_AT and len(each.problem) < 400 for each in problems)
