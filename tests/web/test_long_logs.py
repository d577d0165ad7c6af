"""What the page of a rig says of the few records that it reads is what the whole log says."""

import random
from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import func

from fieldlog.model.canonical import canonical, sha256_hex
from fieldlog.model.record import Flag, Record
from fieldlog.reports.due import due_of
from fieldlog.reports.overview import Overview, overview
from fieldlog.rulebook import load
from fieldlog.store.records import Addition, append
from fieldlog.store.rigs import rig_with_all, rig_with_id
from fieldlog.store.session import Store
from fieldlog.store.tables import chains
from fieldlog.tables import entries
from tests.builders import NOON, a_look, a_proof, a_round, an_id, an_outlet_test
from tests.conftest import Person
from tests.judged_rigs import some_rigs

Drawn = list[dict[str, Any]]
STEPS = [(rule["id"], rule) for rule in entries("facts/proving.json")]
POINTS = [point["id"] for point in entries("facts/looks.json") if point["of"] == "cord"]
VERDICTS = ("use", "use-limited", "test-more", "do-not-use")


def lengthened(records: Drawn, seed: int) -> Drawn:
    """Give a rig's records with much more done: the same tests again and again, and corrections of some."""
    draw = random.Random(seed)
    rig, made = records[0]["id"], list(records)
    trips = [each for each in records if each["kind"] == "trip-test"]
    outlets = [each["id"] for each in records if each["kind"] == "outlet" and not each["corrects"]]
    devices = [each["id"] for each in records if each["kind"] == "device"]
    changes = [each["id"] for each in records if each["kind"] == "change"]
    for _ in range(90):
        found = draw.choice(WAYS)(draw, rig, trips or made[:1], outlets, [*changes, None], made, devices)
        made.append(found | {"observed_at": (NOON - timedelta(hours=draw.randrange(3000))).isoformat()})
    return made


def _trip(draw: random.Random, rig: str, trips: Drawn, *_: Any) -> dict[str, Any]:
    made = draw.choice(trips)
    if made["kind"] != "trip-test":
        return a_look(rig)
    tripped = draw.choice([True, True, True, False, None])
    seen: dict[str, list[str]] = {} if tripped else {"dead": [], "live": []}
    body = made["body"] | seen | {"tripped": tripped, "reset": draw.choice([True, True, False, None])}
    return made | {"id": an_id(), "corrects": None, "reason": None, "body": body}


def _look(draw: random.Random, rig: str, *_: Any) -> dict[str, Any]:
    made = a_look(rig)
    points = {point: draw.choice(["good", "good", "bad"]) for point in draw.sample(POINTS, 2)}
    return made | {"body": made["body"] | {"points": points}}


def _test(draw: random.Random, rig: str, _trips: Drawn, outlets: list[str], *_: Any) -> dict[str, Any]:
    made = an_outlet_test(rig, draw.choice(outlets))
    made["body"]["judgement"] |= {"verdict": draw.choice(VERDICTS)}
    return made


def _proof(
    draw: random.Random, rig: str, _trips: Drawn, outlets: list[str], changes: list[str | None], *_: Any
) -> dict[str, Any]:
    step, _rule = draw.choice(STEPS)
    made = a_proof(rig, draw.choice(changes))
    said = {"step": step, "part": draw.choice([None, *outlets]), "pair": draw.choice([None, "h-n"])}
    return made | {"body": made["body"] | said | {"outcome": draw.choice(["good", "good", "bad", None])}}


def _correction(
    draw: random.Random, _rig: str, _t: Drawn, _o: list[str], _c: list[str | None], made: Drawn, _d: list[str]
) -> dict[str, Any]:
    before = draw.choice([each for each in made if each["kind"] != "rig-map"])
    return before | {"id": an_id(), "corrects": before["id"], "reason": "Once more."}


def _round(
    draw: random.Random,
    rig: str,
    _t: Drawn,
    _o: list[str],
    _c: list[str | None],
    _m: Drawn,
    devices: list[str],
) -> dict[str, Any]:
    return a_round(rig, draw.choice(devices), None)


WAYS: tuple[Callable[..., dict[str, Any]], ...] = (_trip, _trip, _look, _test, _proof, _correction, _round)


def write(store: Store, owner: str, records: Drawn) -> None:
    """Write records as they are, some of them with something noticed."""
    roots: dict[str, str] = {}
    additions = []
    for place, record in enumerate(records):
        root = roots[record["id"]] = str(roots.get(record["corrects"], record["id"]))
        noticed = [Flag("verdict-differs", f"Noticed of {place}.")] if place % 17 == 5 else []
        text = canonical(record)
        additions.append(Addition(Record.from_json(record), text, sha256_hex(record), root, noticed))
    with store.writing() as tx:
        append(tx, owner, additions, received_at=NOON)


def in_short(told: Overview) -> Overview:
    """Leave out what was noted of a step before its newest proof: a page may read less of that."""
    return replace(
        told,
        changes=tuple(
            replace(
                change,
                proofs=tuple(
                    proof for proof in change.proofs if proof.is_newest and proof.number is not None
                ),
            )
            for change in told.changes
        ),
    )


@pytest.mark.parametrize("number", range(12))
def test_of_few_records_it_is_told_what_all_of_them_say(store: Store, owner: Person, number: int) -> None:
    records = some_rigs(number + 1, seed=20261130)[number]
    assert owner.account is not None
    write(store, owner.account.id, lengthened(records, number))

    with store.reading() as tx:
        few = rig_with_id(tx, owner.account.id, records[0]["id"], newest=1)
        whole = rig_with_all(tx, owner.account.id, records[0]["id"])

    assert few is not None and whole is not None
    assert len(few.log) < len(whole.log)
    assert in_short(overview(few, load(), NOON.date())) == in_short(overview(whole, load(), NOON.date()))
    rules = entries("facts/due.json")
    assert due_of(few, rules, NOON.date()) == due_of(whole, rules, NOON.date())


def test_a_read_that_goes_by_the_thing_alone_would_be_found_out(store: Store, owner: Person) -> None:
    assert owner.account is not None
    told = []
    for number, records in enumerate(some_rigs(6, seed=20261130)):
        write(store, owner.account.id, lengthened(records, number))
        with store.writing() as tx:
            thing = chains.c.kind + " " + func.coalesce(chains.c.subject, "")
            tx.execute(chains.update().where(chains.c.word != "").values(word=thing))
            few = rig_with_id(tx, owner.account.id, records[0]["id"], newest=1)
            whole = rig_with_all(tx, owner.account.id, records[0]["id"])
        for rig in (few, whole):
            assert rig is not None
            told.append(in_short(overview(rig, load(), NOON.date())))

    assert any(few != whole for few, whole in zip(told[::2], told[1::2], strict=True))
