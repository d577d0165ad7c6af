"""A backup that was put back is told to whoever reads the log."""

import json
from datetime import timedelta

from sqlalchemy import insert, select

from fieldlog.store.session import Store
from fieldlog.store.tables import records, restores
from tests.builders import NOON, an_arrival_check
from tests.conftest import Person
from tests.web.rigs import note_a_rig

TOLD = "On 2026-12-04 this server was put back from a backup of 2026-11-25"
HEAD = "ab" * 32


def put_back(store: Store, **heads: tuple[int, str]) -> None:
    with store.writing() as tx:
        row = {"restored_at": NOON + timedelta(days=9), "made_at": NOON, "heads": json.dumps(heads)}
        tx.execute(insert(restores).values(row))


def test_the_service_record_says_where_the_log_of_the_rig_ended_in_it(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    before = owner.client.get(f"{noted.page}/record").text
    with store.reading() as tx:
        second = select(records.c.head).where(records.c.log == noted.rig, records.c.position == 2)
        head = tx.execute(second).scalar_one()
    put_back(store, **{noted.rig: (2, head)})

    page = owner.client.get(f"{noted.page}/record").text

    assert "put back" not in before
    assert f"{TOLD}, in which this log had 2 entries and the head {head}." in page


def test_where_another_log_of_the_same_name_ended_is_not_told(owner: Person, store: Store) -> None:
    noted = note_a_rig(owner)
    put_back(store, **{noted.rig: (2, HEAD)})

    page = owner.client.get(f"{noted.page}/record").text

    assert HEAD not in page and f"{TOLD}, in which this log had not begun." in page


def test_the_history_says_that_the_log_had_not_begun(owner: Person, store: Store) -> None:
    owner.send(an_arrival_check())
    before = owner.client.get("/history").text
    put_back(store)

    page = owner.client.get("/history").text

    assert "put back" not in before
    assert f"{TOLD}, in which this log had not begun." in page
