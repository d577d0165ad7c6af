"""The service record of a rig in the store, drawn."""

import io

import pypdf
import pytest

from fieldlog.errors import NotFound, StoreUnavailable
from fieldlog.model.account import Account
from fieldlog.reports.paper import draw_draft
from fieldlog.rulebook import load
from fieldlog.store.session import Store, open_store_to_read
from fieldlog.sync.service_record import SeveralRigs, drafted_record, service_record_pdf
from tests.builders import NOON, a_look, a_rig, an_id
from tests.conftest import Person
from tests.model.log import correcting
from tests.web.rigs import note_a_rig

SITE = "http://127.0.0.1:8000"


def address_there(owner: str, rig: str) -> str:
    """Give what the code on a record leads to."""
    return f"{SITE}/{owner}/{rig}"


def text_for(store: Store, called: str, account: Account | None = None) -> str:
    """Give the text of the record of a rig."""
    drawn = service_record_pdf(store, load(), called, made_at=NOON, address=address_there, account=account)
    return " ".join(
        " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(drawn)).pages).split()
    )


def test_a_rig_is_found_by_its_id_and_by_its_name(owner: Person, store: Store) -> None:
    rig = a_rig("Rolling Bread Bin")
    owner.send(rig, a_rig("Robin"))

    assert "Service record: Rolling Bread Bin" in text_for(store, "Rolling Bread Bin")
    assert "Service record: Rolling Bread Bin" in text_for(store, rig["id"])


def test_a_rig_is_found_by_the_name_it_bears_now(owner: Person, store: Store) -> None:
    rig = a_rig("Rolling Bread Bin")
    owner.send(rig, correcting(rig, an_id(), name="Robin"))

    assert "Service record: Robin" in text_for(store, "Robin")
    with pytest.raises(NotFound):
        text_for(store, "Rolling Bread Bin")


def test_a_name_that_two_rigs_bear_asks_for_the_id(owner: Person, colleague: Person, store: Store) -> None:
    mine, theirs = a_rig("Wren"), a_rig("Wren")
    owner.send(mine)
    colleague.send(theirs)

    with pytest.raises(SeveralRigs, match=mine["id"]):
        text_for(store, "Wren")


def test_an_id_that_two_accounts_have_asks_whose_it_is(
    owner: Person, colleague: Person, store: Store
) -> None:
    mine = a_rig("Wren")
    owner.send(mine)
    colleague.send(mine | {"body": mine["body"] | {"name": "Robin"}})

    assert colleague.account is not None
    with pytest.raises(SeveralRigs, match=f"{mine['id']} of {colleague.account.name}"):
        text_for(store, mine["id"])
    assert "Service record: Wren" in text_for(store, mine["id"], owner.account)
    assert "Service record: Robin" in text_for(store, mine["id"], colleague.account)


def test_it_is_told_of_the_whole_log(store: Store, owner: Person) -> None:
    rig = a_rig("Wren")
    owner.send(rig, *(a_look(rig["id"]) for _ in range(30)))

    assert text_for(store, "Wren").count("The cord: ") == 30


def test_each_stage_is_told_as_it_begins(store: Store, owner: Person) -> None:
    noted = note_a_rig(owner)
    told: list[str] = []
    account = owner.account.id if owner.account else ""

    draft = drafted_record(store, load(), account, noted.rig, made_at=NOON, address=SITE, tell=told.append)
    draw_draft(draft, told.append)

    assert told[:4] == ["reading", "judging", "preparing", "drawing 1"]
    assert told[-1] == "writing"


def test_a_store_that_is_opened_to_read_changes_nothing(store: Store, owner: Person) -> None:
    reading = open_store_to_read(store.address)
    with pytest.raises(StoreUnavailable, match="readonly"), reading.writing() as tx:
        tx.exec_driver_sql("DELETE FROM sessions")
    reading.close()

    assert owner.client.get("/rigs").status_code == 200
