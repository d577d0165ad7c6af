"""What a map, a change, a proof, a look and a round say, in plain words."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.reports.findings import Line
from fieldlog.reports.map_words import name_of, part_words, side_words, wire_words
from fieldlog.reports.wording import begun, pair_words
from fieldlog.tables import entries

Body = Mapping[str, Any]
Names = Mapping[str, str]
NOT_NOTED: Final = "not noted"
NOT_TESTED: Final = "not tested"
_OUTCOMES: Final = {"good": "good", "bad": "bad", None: NOT_TESTED}
_UNITS: Final = {"ohm": "Ω", "Mohm": "MΩ"}
_OF: Final = {"outlet": "an outlet", "cord": "the cord", "inlet": "the inlet", "alarms": "the alarms"}


def map_lines(body: Body, _names: Names) -> Iterator[Line]:
    """Give each part with what feeds it, and what each mode leaves out."""
    for part in body["parts"]:
        feeds = [_feed(body, run) for run in body["runs"] if run["to"] == part["id"]]
        yield Line(part["name"], "; ".join([part_words(part), *feeds]))
    for mode, said in body["modes"].items():
        runs = [body["runs"][at] for at in said["without"] if at < len(body["runs"])]
        words = [f"no run from {name_of(body, run['from'])} to {name_of(body, run['to'])}" for run in runs]
        yield Line(f"Mode {mode}", "; ".join(words) or "every run is there")


def change_lines(body: Body, names: Names) -> Iterator[Line]:
    """Give what was changed, and why."""
    yield Line("What was changed", body["what"])
    yield Line("Why", body["why"] or NOT_NOTED)
    yield Line("Parts", ", ".join(_called(part, names) for part in body["parts"]))
    yield Line("Wire", body["wire"] or NOT_NOTED)
    yield Line("Device", body["device"] or NOT_NOTED)


def proof_lines(body: Body, names: Names) -> Iterator[Line]:
    """Give the step, what was read, and what that means."""
    yield Line("Step", _asked("facts/proving.json", body["step"], is_once=body["part"] is None))
    if body["part"]:
        yield Line("Part", _called(body["part"], names))
    if body["pair"]:
        yield Line("Between", pair_words(body["pair"]))
    if body["value"] is not None:
        yield Line("Value", f"{body['value']} {_UNITS.get(body['unit'], body['unit'] or '')}".strip())
    yield Line("Outcome", _OUTCOMES[body["outcome"]])
    yield Line("Note", body["note"] or NOT_NOTED)


def look_lines(body: Body, _names: Names) -> Iterator[Line]:
    """Give each point that was looked at, and those that were not."""
    yield Line("Looked at", _OF[body["of"]])
    for point, outcome in body["points"].items():
        yield Line(_asked("facts/looks.json", point), _OUTCOMES[outcome])
    for point in body["not_tested"]:
        yield Line(_asked("facts/looks.json", point), "not looked at")
    yield Line("Note", body["note"] or NOT_NOTED)


def round_lines(body: Body, names: Names) -> Iterator[Line]:
    """Give each step of a round: done or skipped."""
    yield Line("Begun", body["started_at"])
    for step in body["steps"]:
        what = names.get(step["subject"]) or step["of"] or step["what"]
        why = f": {step['why']}" if step["why"] else ""
        yield Line(begun(what), f"skipped{why}" if step["skipped"] else "done")


def in_short(kind: str, body: Body) -> str | None:
    """Say in a few words what a record of the wiring came to, None for any other kind."""
    match kind:
        case "rig-map":
            return f"{len(body['parts'])} {'part' if len(body['parts']) == 1 else 'parts'}"
        case "change":
            return str(body["what"])
        case "proof":
            return begun(_OUTCOMES[body["outcome"]])
        case "look":
            return begun(_OF[body["of"]])
        case "round":
            skipped = sum(step["skipped"] for step in body["steps"])
            return f"{len(body['steps']) - skipped} done, {skipped} skipped"
    return None


def _feed(body: Body, run: Body) -> str:
    words: Sequence[str] = (name_of(body, run["from"]), side_words(body, run), wire_words(run))
    return f"fed from {', '.join(word for word in words if word)}"


def _called(part: str, names: Names) -> str:
    """Give a part's name where the log knows it; a part of the map alone keeps its id."""
    return f"“{names.get(part, part)}”"


def _asked(table: str, point: str, *, is_once: bool = False) -> str:
    found = next((each for each in entries(table) if each["id"] == point), None)
    if found is None:
        return point
    return str(found.get("ask_once", found["ask"]) if is_once else found["ask"])
