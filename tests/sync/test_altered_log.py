"""A record that something else altered in the file is handed out nowhere as if it had been made so."""

import json

import pytest

from fieldlog import rulebook
from fieldlog.errors import LogDamaged
from fieldlog.model.account import Account
from fieldlog.store.blobs import open_blobs
from fieldlog.store.session import Store
from fieldlog.sync.filing import written
from fieldlog.sync.service_record import service_record_pdf
from tests.builders import NOON, a_rig, an_arrival_check
from tests.conftest import Person

ALTERED = "UPDATE records SET text = replace(text, '121.3 V', '221.3 V')"


@pytest.fixture
def account(owner: Person) -> Account:
    """Whose log it is."""
    assert owner.account is not None
    return owner.account


def alter(store: Store) -> None:
    with store.writing() as tx:
        tx.exec_driver_sql("DROP TRIGGER records_refuse_update")
        tx.exec_driver_sql(ALTERED)


def export(store: Store, account: Account, folder: object) -> str:
    return "".join(written(store, open_blobs(f"file://{folder}"), account, NOON))


def test_it_is_not_exported(owner: Person, account: Account, store: Store, tmp_path: object) -> None:
    owner.send(an_arrival_check(), an_arrival_check())
    assert len(json.loads(export(store, account, tmp_path))["records"]) == 2
    alter(store)

    with pytest.raises(LogDamaged, match="entry 1"):
        export(store, account, tmp_path)


def test_it_stands_in_no_service_record(owner: Person, store: Store) -> None:
    rig = a_rig()
    owner.send(rig, an_arrival_check(rig=rig["id"]))
    assert owner.client.get(f"/rigs/{rig['id']}/record").status_code == 200
    alter(store)

    for path in ("record", "record.pdf"):
        answer = owner.client.get(f"/rigs/{rig['id']}/{path}")
        assert answer.status_code == 503
        assert f"The log {rig['id']} does not hold at its entry 2" in answer.get_data(as_text=True)
    with pytest.raises(LogDamaged):
        service_record_pdf(
            store, rulebook.load(), rig["id"], made_at=NOON, address=lambda *_: "https://log.example"
        )


def test_it_reaches_no_phone_under_the_hash_of_what_was_made(owner: Person, store: Store) -> None:
    owner.send(an_arrival_check())
    alter(store)

    (entry,) = (owner.client.get("/api/records").json or {})["records"]
    again = owner.post({"records": [entry["record"]]}).json
    assert again is not None and again["receipts"][0]["status"] == "refused"
