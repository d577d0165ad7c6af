"""The phone of whoever handed a rig over: what it sends late stays on it, and it is told why."""

from typing import Any

import pytest
from flask import Flask

from fieldlog.clock import new_id
from fieldlog.model.account import Account
from fieldlog.store.session import Store
from fieldlog.sync.handing_over import HandingOver
from fieldlog.sync.inbox import HANDED_OVER
from fieldlog.sync.signing_keys import signing_keys
from tests.builders import a_rig, an_outlet
from tests.conftest import Clock, an_account
from tests.sync.held import Held


@pytest.fixture
def rig(held: Held) -> dict[str, Any]:
    """A rig that the phone has sent."""
    rig = a_rig("Wren")
    held.keep(rig)
    held.sync()
    return rig


def hand_over(
    app: Flask, store: Store, clock: Clock, giver: Account, rig: dict[str, Any], to: Account | None = None
) -> Account:
    """Have another account take the rig, and give it."""
    parts, taker = app.extensions["fieldlog"], to or an_account(store, clock, "Robin")
    by = HandingOver(store=store, new_id=new_id, now=clock())
    secret = by.offer(giver.id, rig["id"], 7)
    by.take(secret, taker, parts.rulebook, signing_keys(parts.settings.signing), parts.settings.bounds)
    return taker


def test_what_it_sends_late_stays_on_it_with_the_reason(
    held: Held, app: Flask, store: Store, clock: Clock, account: Account, rig: dict[str, Any]
) -> None:
    late = an_outlet(rig["id"], "By the door")
    held.keep(late)
    hand_over(app, store, clock, account, rig)
    held.sync()

    row = held.row(late["id"])
    (problem,) = row["problems"]
    assert row["saved"] == "refused"
    assert problem["problem"] == HANDED_OVER.format(name="Wren", day=f"{clock():%Y-%m-%d}")


def test_what_it_had_sent_before_counts_as_sent_and_goes_nowhere_again(
    held: Held, app: Flask, store: Store, clock: Clock, account: Account, rig: dict[str, Any]
) -> None:
    hand_over(app, store, clock, account, rig)
    held.asked.clear()
    held.sync()
    held.sync()

    assert held.asked == ["GET session", "POST log"] * 2
    assert held.saved() == {"server": 1}
    assert not held.ask("return (await db.get('kept', 'lost')) ?? null;")


def shown(held: Held) -> list[str]:
    found: list[str] = held.ask("return (await newest.newestRows()).map(({ id }) => id);")
    return found


def test_its_pages_show_the_rig_no_more_but_what_was_not_sent_and_all_of_it_once_it_comes_back(
    held: Held, app: Flask, store: Store, clock: Clock, account: Account, rig: dict[str, Any]
) -> None:
    late = an_outlet(rig["id"], "By the door")
    before = shown(held)
    taker = hand_over(app, store, clock, account, rig)
    held.keep(late)
    held.sync()
    meanwhile = shown(held)
    hand_over(app, store, clock, taker, rig, to=account)
    held.sync()

    assert (before, meanwhile) == ([rig["id"]], [late["id"]])
    assert rig["id"] in shown(held)
