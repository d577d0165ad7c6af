"""What an edit of the map leaves as it was, on maps drawn at random."""

from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from fieldlog.engine.protection import read_map
from fieldlog.engine.protection.guards import guards_of
from fieldlog.engine.protection.map import NO_POWER, wire
from fieldlog.web.rig_map.edits import fed_by, feeds_of, without_part
from tests.rig_maps import Draw, Map, rig_maps


@st.composite
def maps_with_a_junction(draw: Draw) -> tuple[Map, str]:
    """Draw a map with several modes, and a junction of it that has one feed."""
    value: Map = {"modes": {}, **draw(rig_maps(most=10))}
    place = draw(st.integers(0, len(value["runs"]) - 1))
    end = value["runs"][place]["to"]
    value["runs"] = [
        *value["runs"][:place],
        {**value["runs"][place], "to": "j"},
        {"from": "j", "to": end},
        *value["runs"][place + 1 :],
    ]
    value["modes"] = {mode: _moved(said, place) for mode, said in value["modes"].items()}
    for mode in draw(st.lists(st.sampled_from(["shore", "station", "dry"]), unique=True)):
        more = draw(st.lists(st.integers(0, len(value["runs"]) - 1), unique=True, max_size=3))
        out = [*value["modes"].get(mode, next(iter(value["modes"].values()), _ALL_THERE))["without"], *more]
        value["modes"][mode] = {"without": list(dict.fromkeys(out))}
    value["parts"] = [*value["parts"], {"id": "j", "kind": "junction"}]
    return value, "j"


_ALL_THERE: dict[str, list[int]] = {"without": []}


def _moved(said: Any, place: int) -> Any:
    """Give a mode for the runs with one more behind a place; what was out there stays out, both halves."""
    out = [at if at <= place else at + 1 for at in said["without"]]
    return {"without": [*out, *([place + 1] if place in out else [])]}


def stands(value: Map) -> dict[str, Any]:
    """Give, by mode and part, whether it has power, from which part, and its guards."""
    wiring = wire(read_map(value))
    ids = [str(part["id"]) for part in value["parts"]]

    def source(mode: str, part: int) -> str:
        way = list(wiring.way_up(mode, wiring.drawn, part))
        return ids[wiring.drawn.starts[way[-1]]] if way else ids[part]

    return {
        mode: (
            {
                one: source(mode, place) if cut != NO_POWER else None
                for place, (one, cut) in enumerate(zip(ids, wiring.cuts(mode, wiring.drawn)[0], strict=True))
                if one != "j"
            },
            guards_of(wiring, mode),
        )
        for mode in wiring.feeds
    }


@settings(max_examples=200, deadline=None)
@given(maps_with_a_junction())
def test_taking_a_junction_out_changes_no_other_part_in_any_mode(drawn: tuple[Map, str]) -> None:
    value, junction = drawn
    assert len(feeds_of(value, junction)) == 1 and fed_by(value, junction)

    after = without_part(value, junction)

    assert stands(after) == stands(value)
    assert all(len(set(said["without"])) == len(said["without"]) for said in after["modes"].values())


def test_what_hung_on_a_part_that_a_mode_leaves_out_stays_out_of_that_mode() -> None:
    kinds = {"inlet": "inlet", "j": "junction", "r": "receptacle", "station": "inverter", "q": "receptacle"}
    value: Map = {
        "parts": [{"id": called, "kind": kind} for called, kind in kinds.items()],
        "runs": [{"from": "inlet", "to": "j"}, {"from": "j", "to": "r"}, {"from": "station", "to": "q"}],
        "modes": {"shore": {"without": [2]}, "station": {"without": [0]}},
    }

    after = without_part(value, "j")

    assert [(run["from"], run["to"]) for run in after["runs"]] == [("inlet", "r"), ("station", "q")]
    assert after["modes"] == {"shore": {"without": [1]}, "station": {"without": [0]}}
