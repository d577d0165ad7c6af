"""What people do with two phones of an owner and one of a colleague, and what happens to them on the way."""

import itertools
import tempfile
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from flask import Flask
from hypothesis import note
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, precondition, rule

from fieldlog.model.account import Account
from fieldlog.model.canonical import sha256_hex
from fieldlog.store.session import Store
from tests.conftest import Clock, an_account
from tests.sync.drafts import (
    DATES,
    DEATHS,
    LONGEST_WAIT_MS,
    MINUTE_MS,
    PHONES,
    PICKS,
    TROUBLES,
    correction,
    drafted,
)
from tests.sync.network import Logs, Made, Network
from tests.sync.phones import MODULES, Died, Phone, WentWrong

HELD = "held"


@dataclass(frozen=True)
class World:
    """What outlives one run: the app and its clock, where media lie, whose modules the phones load."""

    app: Flask
    store: Store
    clock: Clock
    folder: Path
    modules: Path = MODULES


_runs = itertools.count(1)


class Lives(RuleBasedStateMachine):
    """Two phones of an owner and one of a colleague."""

    def __init__(self, world: World) -> None:
        super().__init__()
        run = next(_runs)
        self.network = Network(world.app, world.clock)
        self.accounts = [
            an_account(world.store, world.clock, f"{name} {run}") for name in ("Owner", "Colleague")
        ]
        folder = Path(tempfile.mkdtemp(dir=world.folder))
        self.phones = [Phone(f"{n}:{run}", folder / str(n), world.modules) for n in range(3)]
        self.made: dict[str, Made] = {}
        self.given_up: set[str] = set()
        self.bad: set[str] = set()
        self.left: dict[str, set[str]] = {phone.name: set() for phone in self.phones}
        self.left_unmet: set[str] = set()
        for phone in self.phones:
            self.network.open_session(phone, self.account_of(phone))

    def account_of(self, phone: Phone) -> Account:
        """Give whose phone it is."""
        return self.accounts[0 if phone is not self.phones[2] else 1]

    # What people do

    @rule(phone=PHONES, kind=st.sampled_from(["rig", "device", "trip-test", "arrival-check"]), pick=PICKS)
    def make(self, phone: int, kind: str, pick: int) -> None:
        """Make a record, of a thing that the phone knows."""
        self.keep(
            self.phones[phone], drafted(self.phones[phone], self.known_to(self.phones[phone]), kind, pick)
        )

    @rule(phone=PHONES, pick=PICKS)
    def make_what_the_server_refuses(self, phone: int, pick: int) -> None:
        """Make a record that contradicts itself."""
        record = drafted(self.phones[phone], [], "arrival-check", pick) | {"reason": "There is none."}
        self.bad.add(record["id"])
        self.keep(self.phones[phone], record)

    @rule(phone=PHONES, pick=PICKS, dies=DEATHS)
    def correct(self, phone: int, pick: int, dies: int | None) -> None:
        """Correct a record that the phone shows."""
        known = self.known_to(self.phones[phone])
        if known:
            self.keep(self.phones[phone], correction(self.phones[phone], known[pick % len(known)]), dies)

    @rule(pick=PICKS)
    def correct_the_same_on_both(self, pick: int) -> None:
        """Correct one record on both phones of the owner."""
        first, second = self.phones[:2]
        known = {record["id"] for record in self.known_to(second)}
        shared = [record for record in self.known_to(first) if record["id"] in known]
        if shared:
            for phone in (first, second):
                self.keep(phone, correction(phone, shared[pick % len(shared)]))

    @rule(phone=PHONES)
    def sync(self, phone: int) -> None:
        """Send and fetch."""
        self.through(self.phones[phone], "sync", [], None)

    @rule(phone=PHONES, troubles=TROUBLES, hold=st.booleans())
    def sync_in_trouble(self, phone: int, troubles: list[str], hold: bool) -> None:
        """Send something and fetch, with troubles; the request after the last one may be held back."""
        self.make(phone, "arrival-check", 0)
        self.through(self.phones[phone], "sync", troubles + [HELD] * hold, None)

    @rule(phone=PHONES, troubles=TROUBLES, dies=st.integers(0, 6))
    def die_in_sync(self, phone: int, troubles: list[str], dies: int) -> None:
        """Send something and fetch, and die at a writing."""
        self.make(phone, "arrival-check", 0)
        self.through(self.phones[phone], "sync", troubles, dies)

    @rule(phone=PHONES, who=st.integers(0, 1), fate=st.sampled_from(["failed", "failed after"]))
    def fail_on_one(self, phone: int, who: int, fate: str) -> None:
        """Have the server fail on a single record, as if that were to blame."""
        self.sign_in(phone, who)
        self.phones[phone].do("pass", ms=LONGEST_WAIT_MS)
        self.sync(phone)
        self.make(phone, "arrival-check", 0)
        self.through(self.phones[phone], "sync", ["delivered", fate], None)

    @rule(
        phone=PHONES,
        who=st.integers(0, 1),
        arrived=st.integers(1, 2),
        choice=st.sampled_from(["locked", "discarded"]),
    )
    def leave_while_sending(self, phone: int, who: int, arrived: int, choice: str) -> None:
        """Leave while a batch or what is fetched is on its way; the answer comes once it is left."""
        self.sign_in(phone, who)
        held = self.phones[phone]
        held.do("pass", ms=LONGEST_WAIT_MS)
        self.sync(phone)
        self.make(phone, "arrival-check", 0)
        self.through(held, "sync", ["delivered"] * arrived + [HELD], None)
        self.sign_out(phone, choice, [HELD], None)
        for ask in held.asks[1:]:
            self.network.answer(held, ask, "lost")
        self.through(held, None, [], None)
        if not self.seen(held)["account"]:
            self.left[held.name].add(self.accounts[who].name)

    @rule(phone=st.integers(0, 1))
    def fetch_what_is_spoiled(self, phone: int) -> None:
        """Fetch what the other phone of the owner sent, with an entry spoiled on the way."""
        for each in (1 - phone, phone):
            self.sign_in(each, 0)
        self.make(1 - phone, "arrival-check", 0)
        self.sync(1 - phone)
        self.through(self.phones[phone], "sync", ["an entry spoiled"] * 5, None)

    @rule(phone=PHONES, who=st.integers(0, 1))
    def sign_in_in_another_tab(self, phone: int, who: int) -> None:
        """Let the other account in by another tab, just before what is new is fetched."""
        self.sign_in(phone, who)
        held = self.phones[phone]
        self.through(held, "sync", [HELD], None)
        while held.asks and "after=" not in held.asks[0].address:
            self.network.answer(held, held.asks[0], "delivered")
        self.network.open_session(held, self.accounts[1 - who])
        self.left[held.name].discard(self.accounts[1 - who].name)
        self.through(held, None, [], None)

    @precondition(lambda self: any(phone.asks for phone in self.phones))
    @rule(phone=PHONES, troubles=TROUBLES)
    def let_go_on(self, phone: int, troubles: list[str]) -> None:
        """Let what was held back go on its way."""
        self.through(self.phones[phone], None, troubles, None)

    @precondition(lambda self: self.network.late)
    @rule(pick=PICKS)
    def let_arrive_late(self, pick: int) -> None:
        """Let a request that its phone has given up arrive after all."""
        late = self.network.late
        self.network.deliver(late.pop(pick % len(late)))

    @rule(phone=PHONES)
    def crash(self, phone: int) -> None:
        """End a phone's browser."""
        self.phones[phone].kill()

    @rule(phone=PHONES, who=st.integers(0, 1))
    def sign_in(self, phone: int, who: int) -> None:
        """Sign in, which loads the page anew."""
        self.phones[phone].kill()
        self.network.open_session(self.phones[phone], self.accounts[who])
        self.left[self.phones[phone].name].discard(self.accounts[who].name)

    @rule(phone=PHONES)
    def let_the_session_end(self, phone: int) -> None:
        """End the session on the server alone."""
        self.network.end_session(self.phones[phone])

    @rule(
        phone=PHONES, choice=st.sampled_from(["sent", "locked", "discarded"]), troubles=TROUBLES, dies=DEATHS
    )
    def sign_out(self, phone: int, choice: str, troubles: list[str], dies: int | None) -> None:
        """Sign out in the page."""
        leaver = self.phones[phone]
        seen = self.seen(leaver)
        if choice == "discarded":
            self.given_up |= {row["id"] for row in seen["rows"] if row["saved"] != "server"}
        if self.through(leaver, "leave", troubles, dies, choice=choice) and seen["account"]:
            self.left[leaver.name].add(seen["account"])
        if not seen["account"]:
            # It cannot tell the session that is left from another; it ends the one that it meets next.
            self.left_unmet.add(leaver.name)

    @rule(phone=PHONES, who=st.integers(0, 1), how=st.sampled_from(["kept", "locked", "made by nobody"]))
    def change_hands(self, phone: int, who: int, how: str) -> None:
        """Keep what does not go yet, as an account's or as nobody's; then let the other account in."""
        held, first = self.phones[phone], self.accounts[who]
        if how == "made by nobody":
            self.sign_out(phone, "locked", ["lost"], None)
        else:
            self.sign_in(phone, who)
            self.sync(phone)
        self.make(phone, "arrival-check", 0)
        if how == "locked":
            self.sign_out(phone, "locked", ["lost"], None)
        if how == "made by nobody":
            self.sign_in(phone, who)
        nobodys = {row["id"] for row in self.seen(held)["rows"] if not row.get("account")}
        self.through(held, "sync", ["delivered", "lost"], None)
        if self.seen(held)["account"] == first.name:
            self.become_those_of(first, nobodys)
        self.sign_in(phone, 1 - who)
        self.sync(phone)

    def become_those_of(self, account: Account, nobodys: set[str]) -> None:
        """Expect what nobody had made until then in the log of the account that came first."""
        for identity in nobodys & self.made.keys():
            self.made[identity] = self.made[identity]._replace(account=account.name)

    @rule(phone=PHONES, minutes=st.sampled_from([1, 15, 90]))
    def let_time_pass(self, phone: int, minutes: int) -> None:
        """Let time pass without a network."""
        self.phones[phone].do("pass", ms=minutes * MINUTE_MS)

    @rule(phone=PHONES, date_ms=DATES)
    def set_the_clock(self, phone: int, date_ms: int) -> None:
        """Set a phone's clock, right or wrong."""
        self.phones[phone].do("date", ms=date_ms)

    # How it is done

    def keep(self, phone: Phone, record: Mapping[str, Any], dies: int | None = None) -> None:
        """Keep a record; it counts from the moment the phone says so."""
        try:
            phone.do("death", writes=dies)
            row = phone.do("keep", record=record)
            phone.do("death", writes=None)
        except Died:
            return
        assert row is not None, "the network was waited for"
        assert row["hash"] == sha256_hex(record)
        self.made[record["id"]] = Made(phone, row["account"], row["hash"])

    def through(
        self, phone: Phone, what: str | None, fates: list[str], dies: int | None, **given: Any
    ) -> bool:
        """Begin something and answer what it asks; say whether it came to its end."""
        coming = iter(fates)
        try:
            phone.do("death", writes=dies)
            if what:
                phone.do(what, **given)
            while phone.asks:
                fate = next(coming, "delivered")
                if fate == HELD:
                    return False
                note(f"{phone.name}: {phone.asks[0].method} {phone.asks[0].address} is {fate}")
                self.network.answer(phone, phone.asks[0], fate)
            phone.do("death", writes=None)
        except Died:
            return False
        except WentWrong as error:
            note(str(error))
            assert what == "leave", error
            return False
        failed, phone.failed = phone.failed, []
        assert all(task == "leave" for task, _ in failed), failed
        return not failed

    def seen(self, phone: Phone) -> dict[str, Any]:
        """Give what is on a phone and what its pages show."""
        found: dict[str, Any] = phone.do("seen")
        return found

    def known_to(self, phone: Phone) -> list[dict[str, Any]]:
        """Give the records that a phone shows, but for those that are wrong."""
        seen = self.seen(phone)
        rows = {row["id"]: row["record"] for row in seen["rows"] if row["saved"] != "refused"}
        return [rows[i] for i in seen["visible"] if i in rows and i not in self.bad]

    def logs(self) -> Logs:
        """Give what the server holds."""
        return {
            account.name: {e.record.id: (e.hash, e.seq) for e in self.network.log_of(account)}
            for account in self.accounts
        }
