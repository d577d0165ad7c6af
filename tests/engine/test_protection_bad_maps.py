"""A map that cannot be read as wiring gets a sentence that names the part."""

from typing import Any

import pytest

from fieldlog.engine.protection import answer
from fieldlog.errors import BadInput
from fieldlog.tables import load

INLET = {"id": "inlet", "kind": "inlet"}
OUTLET = {"id": "r1", "kind": "receptacle"}
DEVICE = {"id": "g1", "kind": "gfci-receptacle"}


def problems(**members: Any) -> list[tuple[str, str]]:
    with pytest.raises(BadInput) as caught:
        answer({"parts": [INLET, OUTLET, DEVICE], **members}, load())
    return [(one.at, one.problem) for one in caught.value.problems]


def run(start: str, end: str, **members: Any) -> dict[str, Any]:
    return {"from": start, "to": end, **members}


def test_a_run_to_nowhere_names_where_it_should_go() -> None:
    assert problems(runs=[run("inlet", "r9")]) == [
        ("/runs/0/to", "“r9” is not among the parts; note that part, or mend the run.")
    ]


def test_a_run_from_nowhere_names_where_it_should_come_from() -> None:
    assert [at for at, _ in problems(runs=[run("b7", "r1")])] == ["/runs/0/from"]


def test_an_id_that_stands_twice_is_named() -> None:
    found = problems(parts=[INLET, OUTLET, {"id": "r1", "kind": "strip"}])

    assert found == [("/parts/2/id", "“r1” is the id of part 1 as well; give one of the two another id.")]


def test_two_feeds_of_one_part_are_judged_and_no_problem() -> None:
    """A map drawn from wiring that should not be is what its owner has; it is answered, not refused."""
    found: Any = answer(
        {"parts": [INLET, OUTLET, DEVICE], "runs": [run("inlet", "r1"), run("g1", "r1")]}, load()
    )

    assert "two-sources-at-once" in [one["id"] for one in found["findings"]]


def test_a_loop_beside_a_second_feed_is_found() -> None:
    parts = [INLET, *({"id": one, "kind": "junction"} for one in "abc")]
    runs = [run("a", "b"), run("b", "c"), run("c", "a"), run("inlet", "a")]

    ((at, words),) = problems(parts=parts, runs=runs)

    assert at == "/runs/0"
    assert "“b” → “c” → “a” → “b”" in words


def test_a_loop_is_told_part_by_part() -> None:
    parts = [INLET, *({"id": one, "kind": "junction"} for one in "abc")]
    found = problems(parts=parts, runs=[run("a", "b"), run("b", "c"), run("c", "a")])

    assert found == [("/runs/0", "The runs go round in a loop: “b” → “c” → “a” → “b”; mend one of them.")]


def test_a_part_that_feeds_itself_is_named() -> None:
    ((at, words),) = problems(runs=[run("r1", "r1")])

    assert at == "/runs/0"
    assert words.startswith("“r1” cannot feed itself")


def test_the_first_part_too_many_is_named() -> None:
    parts = [INLET, *({"id": f"r{number}", "kind": "receptacle"} for number in range(500))]

    assert problems(parts=parts) == [
        ("/parts/500", "“r499” is one of 501 parts; a map takes at most 500. Make two maps of it.")
    ]


def test_five_hundred_parts_in_one_chain_are_judged() -> None:
    parts = [DEVICE, *({"id": f"r{number}", "kind": "receptacle"} for number in range(499))]
    runs = [
        run("g1", "r0", from_side="load"),
        *(run(f"r{number}", f"r{number + 1}") for number in range(498)),
    ]
    trips = [{"device": "g1", "by": "button", "dead": ["g1"], "live": ["r498"]}]

    found = answer({"parts": parts, "runs": runs, "trips": trips}, load())

    assert found["protected_by"] == {"g1": ["g1"]} | {f"r{number}": ["g1"] for number in range(498)}
    assert found["unprotected"] == ["r498"]
    assert found["explanations"] == [{"changes": [{"run": 0, "change": "to-line-side"}], "cost": 1}]


@pytest.mark.parametrize(
    ("members", "at", "words"),
    [
        (
            {"parts": [{"id": "x", "kind": "lamp"}]},
            "/parts/0/kind",
            "must be one of supply, cord-gfci, inlet",
        ),
        ({"parts": [{"kind": "inlet"}]}, "/parts/0/id", "is needed"),
        ({"parts": [{"id": "x"}]}, "/parts/0/kind", "is needed"),
        ({"parts": [{**INLET, "amps": 0}]}, "/parts/0/amps", "above 0 to 100 A"),
        ({"parts": [{**INLET, "amps": 101}]}, "/parts/0/amps", "above 0 to 100 A"),
        ({"parts": [{**INLET, "amps": True}]}, "/parts/0/amps", "above 0 to 100 A"),
        ({"parts": [{**INLET, "gfci": 1}]}, "/parts/0/gfci", "true or false"),
        ({"parts": [{**INLET, "where": ["roof"]}]}, "/parts/0/where/0", "outside, near-water"),
        ({"parts": [{**INLET, "volts": 120}]}, "/parts/0/volts", "not a field here"),
        ({"parts": "inlet"}, "/parts", "must be a list"),
        ({"parts": ["inlet"]}, "/parts/0", "must be an object"),
        ({"runs": [run("inlet", "r1", from_side="back")]}, "/runs/0/from_side", "must be one of line, load"),
        ({"runs": [run("inlet", "r1", awg=12.5)]}, "/runs/0/awg", "whole number"),
        ({"runs": [run("inlet", "r1", feet=-1)]}, "/runs/0/feet", "above 0"),
        ({"runs": [run("inlet", "r1", feet=False)]}, "/runs/0/feet", "above 0"),
        ({"runs": [{"from": "inlet"}]}, "/runs/0/to", "is needed"),
        ({"trips": [{"device": "g9"}]}, "/trips/0/device", "“g9” is not among the parts"),
        ({"trips": [{"device": "r1"}]}, "/trips/0/device", "“r1” is a receptacle and cannot trip"),
        ({"trips": [{"device": "g1", "dead": ["r9"]}]}, "/trips/0/dead/0", "“r9” is not among the parts"),
        (
            {"trips": [{"device": "g1", "dead": ["r1"], "live": ["r1"]}]},
            "/trips/0/live/0",
            "“r1” stands among",
        ),
        ({"trips": [{"device": "g1", "by": "foot"}]}, "/trips/0/by", "must be one of button"),
        ({"trips": [{"device": "g1", "mode": "shore"}]}, "/trips/0/mode", "“shore” is not among the modes"),
        ({"modes": {"a/b": {"without": [-1]}}}, "/modes/a~1b/without/0", "whole number"),
        ({"modes": {"shore": {"runs": []}}}, "/modes/shore/runs", "not a field here"),
        ({"modes": []}, "/modes", "must be an object"),
        ({"rooms": []}, "/rooms", "not a field here"),
    ],
)
def test_a_bad_member_is_named_by_its_pointer(members: dict[str, Any], at: str, words: str) -> None:
    ((found_at, found_words),) = problems(**members)

    assert found_at == at
    assert words in found_words


@pytest.mark.parametrize("value", [None, [], "map", 5])
def test_what_is_no_object_is_no_map(value: Any) -> None:
    with pytest.raises(BadInput, match="must be an object"):
        answer(value, load())


def test_a_mode_that_leaves_out_a_run_which_is_not_there_is_told() -> None:
    found: Any = answer(
        {"parts": [INLET, OUTLET], "runs": [run("inlet", "r1")], "modes": {"a": {"without": [5]}}}, load()
    )

    notes = [(one["id"], one["runs"]) for one in found["modes"]["a"]["findings"]]
    assert ("mode-leaves-out-no-run", [5]) in notes
    assert found["modes"]["a"]["unprotected"] == ["r1"]
