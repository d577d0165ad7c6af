"""The invented rig of the demo."""

import json
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from fieldlog import tables
from fieldlog.engine import assess
from fieldlog.engine.protection import answer
from fieldlog.model.measured import check_input
from fieldlog.model.rig import rig_of
from fieldlog.reports.contents import contents
from fieldlog.rulebook import load
from fieldlog.store.records import records_after
from fieldlog.store.session import Store
from fieldlog.sync.demo import RIG_NAME, demo_records
from tests.builders import NOON
from tests.conftest import Clock, Person, begin_session


def records_of(kind: str) -> list[dict[str, Any]]:
    """Give the demo's records of a kind."""
    return [record for record in demo_records(NOON) if record["kind"] == kind]


def test_the_inbox_takes_every_record_and_flags_none(owner: Person, store: Store) -> None:
    receipts = owner.send(*demo_records(NOON))

    assert [receipt for receipt in receipts if receipt["status"] != "stored"] == []
    assert owner.account is not None
    with store.reading() as tx:
        stored = records_after(tx, owner.account.id, 0, 100)
    assert [entry.flags for entry in stored if entry.flags] == []


@pytest.mark.parametrize(
    "now", [NOON, datetime(2027, 3, 1, 0, 5, tzinfo=UTC), datetime(2028, 2, 29, 23, tzinfo=UTC)]
)
def test_the_same_time_gives_the_same_records_of_the_month_before_it(now: datetime) -> None:
    records = demo_records(now)

    assert demo_records(now) == records
    ages = [now - datetime.fromisoformat(record["observed_at"]) for record in records]
    assert min(ages) > timedelta(0)
    assert max(ages) < timedelta(38)


def test_no_verdict_is_typed_in() -> None:
    rulebook = load()
    checks = records_of("arrival-check") + records_of("outlet-test")

    for record in checks:
        judged = assess(check_input(record["body"]["check"]), rulebook)
        assert record["body"]["judgement"]["verdict"] == judged["verdict"]


def test_the_month_holds_every_kind_of_ending() -> None:
    verdicts = {record["body"]["judgement"]["verdict"] for record in records_of("arrival-check")}
    parks = {record["body"]["place"]["park"] for record in records_of("arrival-check")}

    assert verdicts >= {"use", "use-limited", "do-not-use"}
    assert len(parks) == 6
    assert all(park.endswith("(invented)") for park in parks)
    assert [record["reason"] for record in demo_records(NOON) if record["corrects"]] == [
        "Decimal point forgotten: the meter showed 1.4 V between neutral and ground."
    ]


@pytest.mark.parametrize(
    "now", [NOON, datetime(2027, 1, 31, 0, 5, tzinfo=UTC), datetime(2027, 2, 20, 23, tzinfo=UTC)]
)
def test_one_trip_test_is_overdue_and_the_record_says_what_is_open(
    owner: Person, store: Store, clock: Clock, now: datetime
) -> None:
    assert owner.account is not None
    clock.time = now
    begin_session(owner, store, clock)
    records = demo_records(now)
    owner.send(*records)
    with store.reading() as tx:
        rig = rig_of(records_after(tx, owner.account.id, 0, 100), records[2]["rig"])

    assert rig is not None
    told = contents(rig, load(), made_at=now, address="")
    assert [device.due.standing for device in told.devices] == ["later", "overdue"]
    assert {point.kind for point in told.open_points} == {
        "changed, not yet proved",
        "does not agree",
        "last result",
        "never tested",
        "overdue",
        "not tested",
    }


def test_one_move_to_the_load_side_explains_what_the_trips_contradict() -> None:
    (drawn,) = [record["body"] for record in records_of("rig-map")]
    (run,) = [at for at, each in enumerate(drawn["runs"]) if each["to"] == "outside"]
    part_of = {part.get(kind): part["id"] for part in drawn["parts"] for kind in ("outlet", "device")}
    seen = [(record["subject"], record["body"]) for record in records_of("trip-test")]
    trips = [
        {"device": part_of[device], "by": "button"}
        | {how: [part_of[outlet] for outlet in body[how]] for how in ("dead", "live")}
        for device, body in seen
    ]
    parts = [{name: part[name] for name in ("id", "kind", "amps") if name in part} for part in drawn["parts"]]

    judged: Any = answer(
        {"parts": parts, "runs": drawn["runs"], "modes": drawn["modes"], "trips": trips}, tables.load()
    )

    shore = judged["modes"]["shore"]
    assert [each["part"] for each in shore["contradictions"]] == ["outside"]
    assert {"changes": [{"run": run, "change": "to-load-side"}], "cost": 1} in shore["explanations"]


def test_one_outlet_is_read_under_load_and_one_at_a_generator() -> None:
    checks = [record["body"]["check"] for record in records_of("arrival-check")]

    (loaded,) = [check for check in checks if "loaded" in check]
    (generator,) = [check for check in checks if check["supply"] == "generator"]
    assert (loaded["outlet"], loaded["loaded"]["across"]) == ("14-50", "x-n")
    assert generator["continuity"] == {"n-g": "open", "g-frame": "closed"}


def test_the_readings_under_load_obey_kirchhoff() -> None:
    """Kirchhoff: a load on one leg lifts the other leg's volts to the neutral by what the neutral rises."""
    (check,) = [r["body"]["check"] for r in records_of("arrival-check") if "loaded" in r["body"]["check"]]
    read = check_input(check)
    before, after = read["volts"], read["loaded"]["volts"]
    rise = {pair: after[pair] - before[pair] for pair in after}

    assert rise["y-n"] == pytest.approx(rise["n-g"], abs=0.15)  # printed to a tenth of a volt each
    assert rise["x-n"] == pytest.approx(rise["x-y"] - rise["n-g"], abs=0.15)


def test_the_generator_floats_and_the_14_50_is_right() -> None:
    firsts = {
        record["body"]["check"]["outlet"] + " " + record["body"]["check"]["supply"]: record["body"][
            "judgement"
        ]
        for record in records_of("arrival-check")
    }

    assert firsts["TT-30 generator"]["first"] == "floating-supply"
    assert firsts["14-50 utility"]["first"] == "correct"


def test_the_demo_says_that_it_is_invented() -> None:
    assert "(invented)" in RIG_NAME
    assert all("(invented)" in record["made_by"] for record in demo_records(NOON))
    assert "invented" in json.dumps(records_of("rig")[0]["body"]["note"])
