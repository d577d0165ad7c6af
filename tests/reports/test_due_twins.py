"""The phone says of a rig what is due as the server does, on random logs, wrong clocks among them."""

import json
from datetime import date
from typing import Any

from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st

from fieldlog.model.canonical import canonical
from fieldlog.model.rig import rig_of
from fieldlog.reports.due import due_of
from fieldlog.reports.round_steps import due_steps
from tests.builders import a_record
from tests.model.log import a_log
from tests.node import answers_of_node
from tests.repository import ROOT

RULES = json.loads((ROOT / "schemas/facts/due.json").read_text(encoding="utf-8"))["entries"]
BODIES = json.loads((ROOT / "tests/cases/due-rows.json").read_text(encoding="utf-8"))["bodies"]
TODAY = date(2026, 11, 25)
DAYS = st.one_of(
    st.dates(date(2026, 8, 20), date(2026, 11, 29)),
    st.sampled_from([date(1, 1, 1), date(1970, 1, 1), date(2036, 11, 25), date(9999, 12, 1), date.max]),
)
HOURS = st.sampled_from(["00:00:00.000", "10:00:00.000", "23:59:59.999"])
ZONES = st.sampled_from(["Z", "+00:00", "-12:00", "-08:00", "+01:00", "+05:45", "+13:45", "+14:00"])
TIMES = st.builds("{}T{}{}".format, DAYS.map(date.isoformat), HOURS, ZONES)
SAID = st.sampled_from([True, False, None])
TRIPS = st.fixed_dictionaries(
    {
        "by": st.sampled_from(["button", "button", "external", "hand"]),
        "tripped": SAID,
        "face_dead": SAID,
        "reset": SAID,
    }
)
READINGS: list[dict[str, Any]] = [
    {"look": []},
    {"volts": {"h-n": "120.0 V"}},
    {"lamps": {"h-n": "lit"}},
    {"volts": {"h-n": "120.0 V"}, "loaded": {"amps": "10 A"}},
    {"volts": {"h-n": "120.0 V"}, "loaded": {"amps": "10 A", "volts": {"h-n": "117.0 V"}}},
    {"look": [], "more": [{"state": "unplugged", "lamps": {"h-n": "lit"}}]},
    {"look": [], "more": [{"loaded": {"amps": "10 A", "volts": {"h-n": "117.0 V"}}}]},
]
CHECKS = st.builds(
    lambda readings, verdict: {
        "check": {"outlet": "5-15", **readings},
        "judgement": {"verdict": verdict, "rulebook": "sha256:0", "first": None},
    },
    st.sampled_from(READINGS),
    st.sampled_from(["use", "use-limited", "test-more", "do-not-use"]),
)
LOOKS = st.fixed_dictionaries(
    {
        "of": st.sampled_from(["cord", "inlet", "alarms", "outlet", "skin", "surge"]),
        "points": st.sampled_from(
            [{}, {"outlet-dry": "good"}, {"outlet-dry": "bad"}, {"surge-light": "good", "cord-jacket": "bad"}]
        ),
    }
)
SET_LOOKS = st.fixed_dictionaries(
    {
        "of": st.sampled_from(["set", "set", "set-look"]),
        "points": st.sampled_from([{}, {"set-ground": "good"}, {"set-ground": "good"}, {"set-hot": "bad"}]),
        "not_tested": st.sampled_from([[], [], ["set-neutral"]]),
    }
)
CHANGES = st.fixed_dictionaries(
    {"parts": st.lists(st.sampled_from(["d", "o", "p", "inlet", "gone"]), min_size=1, max_size=2)}
)
PROOFS = st.fixed_dictionaries(
    {
        "step": st.sampled_from(["ground-continuous", "hot-ground-apart", "neutral-ground-apart"]),
        "part": st.sampled_from(["o", "p", None]),
        "outcome": st.sampled_from(["good", "bad", None]),
    }
)
RIGS = st.fixed_dictionaries(
    {},
    optional={
        "assured_months": st.sampled_from([3, 6, None]),
        "season_starts": st.dates(date(2024, 1, 1), date(2024, 12, 31)).map("{:%m-%d}".format) | st.none(),
    },
)
INCIDENTS = st.fixed_dictionaries(
    {
        "what": st.sampled_from(
            ["shock", "burned", "water", "overvoltage", "pull", "trips", "none", "meteor"]
        ),
        "at": st.sampled_from(["thing", "cord", "rig"]),
    }
)
NOTED: list[tuple[str, str | None, st.SearchStrategy[dict[str, Any]]]] = [
    ("trip-test", "d", TRIPS),
    ("trip-test", "e", TRIPS),
    ("outlet-test", "o", CHECKS),
    ("outlet-test", "p", CHECKS),
    ("look", None, LOOKS),
    ("look", "o", LOOKS),
    ("change", None, CHANGES),
    ("proof", None, PROOFS),
    ("incident", "o", INCIDENTS),
    ("incident", "d", INCIDENTS),
    ("incident", None, INCIDENTS),
    ("look", "s", SET_LOOKS),
    ("look", "t", SET_LOOKS),
    ("incident", "s", INCIDENTS),
]
MAP = {
    "parts": [
        {"id": "inlet", "kind": "inlet", "name": "Inlet"},
        {
            "id": "d",
            "kind": "gfci-receptacle",
            "name": "D",
            "device": "d",
            "outlet_type": "5-15",
            "outlet": "p",
        },
        {
            "id": "o",
            "kind": "receptacle",
            "name": "O",
            "outlet_type": "5-15",
            "outlet": "o",
            "where": ["outside"],
        },
    ],
    "runs": [{"from": "inlet", "to": "d"}, {"from": "d", "to": "o", "from_side": "load"}],
    "modes": {},
}


def a_row(kind: str, identity: str, body: dict[str, Any], **members: Any) -> dict[str, Any]:
    return a_record(kind, BODIES[kind] | body, id=identity, rig="rig", **members)


@st.composite
def logs(draw: st.DrawFn) -> dict[str, Any]:
    """Draw the log of a rig, with corrections, and the day asked about."""
    records = [
        a_row("rig", "rig", draw(RIGS)),
        a_row("device", "d", {}),
        a_row("device", "e", {"type": draw(st.sampled_from(["breaker", "gfci-breaker", "cord-gfci"]))}),
        a_row("outlet", "o", {"guard": draw(st.sampled_from(["d", None]))}),
        a_row("outlet", "p", {}),
    ]
    for cord_set in draw(st.sampled_from([(), ("s",), ("s", "t")])):
        more = {"fixed": draw(st.booleans()), "retired": draw(st.sampled_from([False, False, True]))}
        records.append(a_row("device", cord_set, {"type": "extension", "number": cord_set, "hots": 1} | more))
    if draw(st.booleans()):
        records.append(a_row("rig-map", "map", MAP, observed_at=draw(TIMES)))
    for at in range(draw(st.integers(0, 12))):
        kind, subject, bodies = draw(st.sampled_from(NOTED))
        same = [one["id"] for one in records if (one["kind"], one["subject"]) == (kind, subject)]
        corrects = draw(st.none() | st.sampled_from(same)) if same else None
        times = {"observed_at": draw(TIMES), "corrects": corrects}
        records.append(a_row(kind, f"{kind}-{at}", draw(bodies), subject=subject, **times))
    return {"records": records, "today": draw(st.dates(date(2026, 11, 1), date(2026, 12, 1))).isoformat()}


def by_the_server(log: dict[str, Any]) -> dict[str, Any]:
    rig = rig_of(a_log(*log["records"]), "rig")
    assert rig is not None
    owed = due_of(rig, RULES, date.fromisoformat(log["today"]))
    items = [
        [
            item.thing.what,
            item.thing.subject,
            item.rule,
            item.next and item.next.isoformat(),
            item.standing.value,
        ]
        for item in owed
    ]
    return {"due": items, "steps": sorted(due_steps(owed))}


@settings(
    max_examples=4,
    deadline=None,
    phases=[Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.large_base_example],
)
@given(st.lists(logs(), min_size=30, max_size=50))
def test_the_phone_and_the_server_say_the_same_of_what_is_due(values: list[dict[str, Any]]) -> None:
    answers = answers_of_node("due.mjs", values)

    for value, answer in zip(values, answers, strict=True):
        assert canonical(by_the_server(value)) == answer, value


@given(logs())
def test_good_tests_dated_years_ahead_change_nothing_that_is_due(log: dict[str, Any]) -> None:
    far = f"{TODAY.year + 10}-01-01T00:00:00.000+00:00"
    loaded = {"check": {"outlet": "5-15", **READINGS[4]}}
    ahead = [
        a_row("trip-test", "far-d", {}, subject="d", observed_at=far),
        a_row("outlet-test", "far-o", loaded, subject="o", observed_at=far),
        a_row("proof", "far-g", {"part": "o"}, observed_at=far),
        *(a_row("look", f"far-{of}", {"of": of}, observed_at=far) for of in ("cord", "inlet", "alarms")),
    ]

    assert by_the_server(log | {"records": [*log["records"], *ahead]}) == by_the_server(log)
