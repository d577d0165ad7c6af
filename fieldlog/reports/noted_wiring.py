"""What a map, a change, a proof, a look and a round say, in plain words."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from fieldlog.model.ends import ENDS
from fieldlog.model.proving import Step
from fieldlog.tables import entries
from fieldlog.words.kinds import PARTS
from fieldlog.words.lines import Line
from fieldlog.words.map_parts import name_of, part_words, side_words, wire_words
from fieldlog.words.steps import Asked, noted_words
from fieldlog.words.wording import LOOKED_AT, OUTCOMES, UNITS, begun, pair_words

Body = Mapping[str, Any]
Names = Mapping[str, str]
NOT_NOTED: Final = "not noted"


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


def proof_lines(body: Body, names: Names, parts: Sequence[Body] = ()) -> Iterator[Line]:
    """Give the step, what was read, and what that means; the parts are those of the newest map."""
    yield Line("Step", _step_words(body, parts))
    if body["part"]:
        yield Line("Part", _part(body["part"], names, parts))
    if body["pair"]:
        yield Line("Between", pair_words(body["pair"]))
    if body["value"] is not None:
        yield Line("Value", f"{body['value']} {UNITS.get(body['unit'], body['unit'] or '')}".strip())
    yield Line("Outcome", OUTCOMES[body["outcome"]])
    yield Line("Note", body["note"] or NOT_NOTED)


def proof_in_short(body: Body, names: Names, parts: Sequence[Body] = ()) -> str:
    """Give a proof as one line: what came out, at which step and where."""
    pair = pair_words(body["pair"]) if body["pair"] else ""
    place = ", ".join(each for each in (_called(body["part"], names) if body["part"] else "", pair) if each)
    return f"{begun(noted_words(body))}. {_step_words(body, parts)}{f' ({place})' if place else ''}"


def look_lines(body: Body, _names: Names) -> Iterator[Line]:
    """Give each point that was looked at, and those that were not."""
    yield Line("Looked at", LOOKED_AT[body["of"]])
    for point, outcome in body["points"].items():
        yield Line(_asked(point), OUTCOMES[outcome])
    for point in body["not_tested"]:
        yield Line(_asked(point), "not looked at")
    if "volts" in body:
        yield Line("Volts from the skin to earth", body["volts"])
    for what, month in body.get("ends", {}).items():
        yield Line(f"{ENDS[what]}: its end", month)
    yield Line("Note", body["note"] or NOT_NOTED)


def look_words(body: Body) -> str:
    """Give all points of a look in a row, the bad ones first."""
    bad = [_asked(point) for point, outcome in body["points"].items() if outcome == "bad"]
    good = [_asked(point) for point, outcome in body["points"].items() if outcome == "good"]
    told = (("BAD", bad), ("good", good), ("not looked at", [_asked(point) for point in body["not_tested"]]))
    return begun("; ".join(f"{how}: {' '.join(asked)}" for how, asked in told if asked))


def incident_lines(body: Body, _names: Names) -> Iterator[Line]:
    """Give what happened and where."""
    yield Line("What happened", incident_name(body))
    yield Line("Where", _PLACES[body["at"]])
    yield Line("Note", body["note"] or NOT_NOTED)


def incident_name(body: Body) -> str:
    """Give what an incident is called, as a line begins."""
    rules = entries("facts/incidents.json")
    found = next((rule for rule in rules if (rule["of"], rule["id"]) == ("incident", body["what"])), None)
    return begun(str(body["what"] if found is None else found["name"]))


_PLACES: Final = {"thing": "at what it is about", "cord": "at the shore cord", "rig": "nobody knows where"}


def round_lines(body: Body, names: Names) -> Iterator[Line]:
    """Give each step of a round: done or skipped."""
    yield Line("Begun", body["started_at"])
    for step in body["steps"]:
        what = names.get(step["subject"]) or step["of"] or step["what"]
        why = f": {step['why']}" if step["why"] else ""
        yield Line(begun(what), f"skipped{why}" if step["skipped"] else "done")


def in_short(kind: str, body: Body, names: Names, parts: Sequence[Body] = ()) -> str | None:
    """Say in a few words what a record of the wiring came to, None for any other kind."""
    match kind:
        case "rig-map":
            return f"{len(body['parts'])} {'part' if len(body['parts']) == 1 else 'parts'}"
        case "change":
            return str(body["what"])
        case "proof":
            return proof_in_short(body, names, parts)
        case "look":
            return f"{begun(LOOKED_AT[body['of']])}: {look_words(body)}"
        case "round":
            skipped = sum(step["skipped"] for step in body["steps"])
            return f"{len(body['steps']) - skipped} done, {skipped} skipped"
        case "incident":
            return incident_name(body)
    return None


def _feed(body: Body, run: Body) -> str:
    words: Sequence[str] = (name_of(body, run["from"]), side_words(body, run), wire_words(run))
    return f"fed from {', '.join(word for word in words if word)}"


def _called(part: str, names: Names) -> str:
    """Give a part's name where the log knows it; a part of the map alone keeps its id."""
    return f"“{names.get(part, part)}”"


def _part(part: str, names: Names, parts: Sequence[Body]) -> str:
    """Give a part's name and, where the map tells it, its kind."""
    kinds = [PARTS[each["kind"]] for each in parts if each["id"] == part]
    return ", ".join((_called(part, names), *kinds))


def _step_words(body: Body, parts: Sequence[Body]) -> str:
    rules = {str(rule["id"]): rule for rule in entries("facts/proving.json")}
    return Asked(parts, rules).words(Step(body["step"], body["part"], body["pair"]))


def _asked(point: str) -> str:
    found = next((each for each in entries("facts/looks.json") if each["id"] == point), None)
    return point if found is None else str(found["ask"])
