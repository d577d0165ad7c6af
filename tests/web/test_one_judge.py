"""The page, the PDF, the phone and the command line say the same of a hundred rigs."""

import html
import json
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any, Final

import pytest
from click.testing import CliRunner

from fieldlog.cli import main
from fieldlog.model.rig import Rig, rig_of
from fieldlog.reports.contents import contents
from fieldlog.rulebook import load
from tests.builders import NOON
from tests.conftest import Person
from tests.judged_rigs import Record, some_rigs
from tests.model.log import a_log
from tests.node import answers_of_node

MEMBERS: Final = ("id", "kind", "amps", "gfci", "where", "bonded", "name")
"""What `fieldlog protect` takes of a part."""

THING: Final = re.compile(r'<li class="thing[^"]*" data-state.*?</details>\s*</li>', re.DOTALL)
HEADING: Final = re.compile(r"<h3>(.*?)</h3>")
GUARD: Final = re.compile(r"<p>Guarded by, as noted: (.*?)</p>")
BARE: Final = re.compile(r"No guard(?: in mode “([^”]*)”)?: (.*?)\.</p>")
COUNT: Final = re.compile(r"contradict the map in (\d+) place")
OPEN: Final = re.compile(r'<p class="thing__state">Does not agree</p><p>(.*?)</p>')
SENTENCE: Final = re.compile(
    r"(?:The face of )?“(?P<part>[^”]+)” (?P<seen>went dead|stayed live) when “(?P<device>[^”]+)” tripped on "
    r"(?P<day>[\d-]+)(?: in mode “[^”]+”)?, and the map says that it (?P<expected>goes dead|stays live)\."
)
SEEN: Final = {"went dead": "dead", "goes dead": "dead", "stayed live": "live", "stays live": "live"}

Guards = dict[str, str]
Contradiction = tuple[str, str, str, str, str]


@dataclass(frozen=True)
class Said:
    """What one of them says of a rig; a member is empty where it says nothing of that at all.

    Guards are by the name of an outlet; what contradicts is part, device, expected, seen and day.
    """

    guards: Guards
    unguarded: list[str]
    contradictions: list[Contradiction]


@cache
def rigs() -> list[list[Record]]:
    return some_rigs(100)


@cache
def on_the_phone() -> list[dict[str, Any]]:
    return [json.loads(line) for line in answers_of_node("judged.mjs", rigs())]


def by_the_phone(*, with_days: bool = True) -> list[Said]:
    """Give what the phone says; without days, what a command line can that knows of no days."""
    return [
        in_names(
            told,
            {mode: one["guards"] for mode, one in told["modes"].items()},
            told["contradictions"],
            {mode: one["disproved"] for mode, one in told["modes"].items()} if with_days else {},
        )
        for told in on_the_phone()
    ]


def by_the_command_line() -> list[Said]:
    """Give what `fieldlog protect` answers to the maps and trips."""
    sent = [json.dumps(_for_the_command_line(told)) for told in on_the_phone()]
    result = CliRunner().invoke(main, ["protect"], input="\n".join(sent))
    assert result.exit_code == 0, result.output
    answers = [json.loads(line) for line in result.stdout.splitlines()]
    return [_answered(told, answer) for told, answer in zip(on_the_phone(), answers, strict=True)]


def _for_the_command_line(told: Mapping[str, Any]) -> dict[str, Any]:
    parts = [{name: part[name] for name in MEMBERS if name in part} for part in told["map"]["parts"]]
    return {**told["map"], "parts": parts, "trips": told["trips"]}


def _answered(told: Mapping[str, Any], answer: Mapping[str, Any]) -> Said:
    modes = answer.get("modes", {"": answer})
    guards = {
        mode: one["protected_by"] | dict.fromkeys(one["unprotected"], ()) for mode, one in modes.items()
    }
    contradictions = [
        (
            one["part"],
            told["trips"][one["trip"]]["device"],
            one["expected"],
            one["seen"],
            told["days"][one["trip"]],
        )
        for mode in modes.values()
        for one in mode["contradictions"]
    ]
    return in_names(told, guards, contradictions)


def in_names(
    told: Mapping[str, Any],
    guards: Mapping[str, Mapping[str, Sequence[str]]],
    contradictions: Iterable[Sequence[str]],
    disproved: Mapping[str, Mapping[str, Sequence[Sequence[str]]]] | None = None,
) -> Said:
    """Put what is told of parts by their ids in the words of a page."""
    parts = told["map"]["parts"]
    names = {part["id"]: part["name"] for part in parts}
    before = {mode: f"{mode}: " if mode else "" for mode in guards}

    def guarded(mode: str, part: str) -> str:
        denied = [
            f"the map says {names[by]}, a trip test on {day} shows otherwise"
            for by, day in (disproved or {}).get(mode, {}).get(part, ())
        ]
        said = ", then ".join(names[by] for by in guards[mode][part]) or "nothing"
        return ", but ".join([before[mode] + said, *denied])

    words = {
        part: "; ".join(guarded(mode, part) for mode in guards if part in guards[mode]) for part in names
    }
    called = {part["id"]: told["outlets"][part["outlet"]] for part in parts if part.get("outlet")}
    return Said(
        {outlet: words[part] for part, outlet in called.items() if words[part]},
        sorted(f"{before[mode]}{names[by]}" for mode in guards for by, of in guards[mode].items() if not of),
        sorted((names[part], names[device], *others) for part, device, *others in contradictions),
    )


@pytest.fixture
def noted(owner: Person) -> Person:
    """Whose log holds the hundred rigs."""
    records = [record for rig in rigs() for record in rig]
    for at in range(0, len(records), 100):
        receipts = owner.send(*records[at : at + 100])
        assert {receipt["status"] for receipt in receipts} == {"stored"}, receipts
    return owner


def by_the_page(person: Person, rig: str) -> tuple[Said, int]:
    """Give what the rig's page says, and how many contradictions it counts."""
    page = html.unescape(person.client.get(f"/rigs/{rig}").text)
    things = [thing for thing in THING.findall(page) if GUARD.search(thing)]
    guards = {HEADING.findall(thing)[0]: GUARD.findall(thing)[0] for thing in things}
    bare = [
        f"{mode}: {part}" if mode else part for mode, said in BARE.findall(page) for part in said.split(", ")
    ]
    bare = [part.replace("“", "").rstrip("”") for part in bare]
    count = sum(int(number) for number in COUNT.findall(page))
    return Said(_known(guards), sorted(bare), _contradictions(OPEN.findall(page))), count


def by_the_pdf(rig: Rig) -> Said:
    """Give what goes into the PDF; it lists no part without a guard but as an outlet."""
    told = contents(rig, load(), made_at=NOON, address="https://fieldlog.invalid")
    guards = {line.name: line.guard for line in told.outlets}
    points = [point.sentence for point in told.open_points if point.kind == "does not agree"]
    return Said(_known(guards), [], _contradictions(points))


def _known(guards: Guards) -> Guards:
    return {outlet: by for outlet, by in guards.items() if not by.startswith("not known")}


def _contradictions(sentences: Iterable[str]) -> list[Contradiction]:
    found = [SENTENCE.match(sentence) for sentence in sentences if "told both ways" not in sentence]
    assert None not in found, sentences
    return sorted(
        (one["part"], one["device"], SEEN[one["expected"]], SEEN[one["seen"]], one["day"])
        for one in found
        if one is not None
    )


@cache
def as_gathered() -> list[Rig]:
    found = [rig_of(a_log(*records), records[0]["id"]) for records in rigs()]
    return [rig for rig in found if rig is not None]


def assert_same(one: Sequence[object], other: Sequence[object]) -> None:
    """Compare rig by rig, so that what differs is told of the first rig alone."""
    assert len(one) == len(other) == 100
    for said, too in zip(one, other, strict=True):
        assert said == too


def test_the_command_line_says_of_a_hundred_rigs_what_the_phone_says() -> None:
    assert_same(by_the_command_line(), by_the_phone(with_days=False))


def test_the_page_says_of_a_hundred_rigs_what_the_phone_says(noted: Person) -> None:
    pages = [by_the_page(noted, records[0]["id"]) for records in rigs()]

    assert_same(pages, [(said, len(said.contradictions)) for said in by_the_phone()])


def test_the_pdf_says_of_a_hundred_rigs_what_the_phone_says() -> None:
    assert_same(
        [by_the_pdf(rig) for rig in as_gathered()],
        [Said(said.guards, [], said.contradictions) for said in by_the_phone()],
    )


def test_the_hundred_rigs_hold_what_the_judges_could_differ_in() -> None:
    """Count the rigs with each thing that one of the four might take otherwise than the others."""
    kinds = [{record["kind"] for record in records} for records in rigs()]
    said = by_the_phone()
    held = {
        "without a map": sum("rig-map" not in each for each in kinds),
        "rewired": sum("change" in each for each in kinds),
        "several versions": sum(
            sum(record["kind"] == "rig-map" for record in records) > 1 for records in rigs()
        ),
        "modes": sum(bool(told["map"]["modes"]) for told in on_the_phone()),
        "contradicted": sum(bool(each.contradictions) for each in said),
        "borne out": sum(not each.contradictions for each in said),
        "guarded": sum(any("nothing" not in by for by in each.guards.values()) for each in said),
        "with a guard that a trip disproved": sum(
            any("shows otherwise" in by for by in each.guards.values()) for each in said
        ),
        "something unguarded": sum(bool(each.unguarded) for each in said),
    }

    assert min(held.values()) >= 10, held


def by_the_noted_guard(rig: Rig) -> Said:
    """Judge as nobody does any more: each outlet's noted guard against the newest trip that names it."""
    contradictions: list[Contradiction] = []
    for outlet in rig.outlets:
        for device in rig.devices:
            trips = (
                (trip.body, trip.day)
                for trip in device.trips
                if trip.body["tripped"] and outlet.id in (*trip.body["dead"], *trip.body["live"])
            )
            for newest, day in list(trips)[:1]:
                seen = "dead" if outlet.id in newest["dead"] else "live"
                expected = "dead" if outlet.guard == device.id else "live"
                if seen != expected:
                    contradictions.append((outlet.name, device.name, expected, seen, day))
    names = {device.id: device.name for device in rig.devices}
    return Said(
        {each.name: names.get(each.guard or "", "nothing") for each in rig.outlets},
        [],
        sorted(contradictions),
    )


def test_a_side_that_went_by_the_noted_guard_would_be_found() -> None:
    others = [by_the_noted_guard(rig) for rig in as_gathered()]
    is_drawn = ["rig-map" in {record["kind"] for record in records} for records in rigs()]
    pairs = list(zip(others, by_the_phone(), is_drawn, strict=True))

    assert sum(other.contradictions != said.contradictions for other, said, drawn in pairs if not drawn) >= 10
    assert sum(other.contradictions != said.contradictions for other, said, drawn in pairs if drawn) >= 20
    assert sum(other.guards != said.guards for other, said, _ in pairs) >= 20
