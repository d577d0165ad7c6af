"""Phones on a bad network that die in the midst of things and change hands lose nothing and mix up nothing.

The pages' own modules run in Node and the app answers them. Hypothesis draws what people do and what happens
to requests, writings, sessions and clocks. What must hold after every step stands in the invariant; what must
hold once the network is well again, in `teardown`.
"""

import itertools
import sys
from pathlib import Path
from random import SystemRandom
from typing import Any

import pytest
from flask import Flask
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import invariant, run_state_machine_as_test

from fieldlog.model.account import Account
from fieldlog.store.session import Store
from tests.conftest import Clock
from tests.sync.drafts import LONGEST_WAIT_MS
from tests.sync.lives import Lives, World
from tests.sync.network import (
    nothing_is_lost,
    nothing_is_shown_to_another_account,
    nothing_is_told_sent_that_is_not_there,
)
from tests.sync.phones import NOON_MS, Phone


class TwoPhones(Lives):
    """What must hold of them."""

    @invariant()
    def all_holds(self) -> None:
        """Look at every phone and every log once, and hold them against each other."""
        logs = self.logs()
        seen = {phone.name: self.seen(phone) for phone in self.phones}
        for phone in self.phones:
            nothing_is_told_sent_that_is_not_there(seen[phone.name], logs)
            nothing_is_shown_to_another_account(seen[phone.name], logs, self.left[phone.name])
        nothing_is_lost(seen, logs, self.made, self.given_up)

    def teardown(self) -> None:
        """Mend the network, let everybody sign in everywhere, and compare."""
        try:
            if sys.exception() is None:
                self.all_is_where_it_belongs()
        finally:
            for phone in self.phones:
                phone.kill()

    def all_is_where_it_belongs(self) -> None:
        """Bring everything home and hold phones and logs against each other."""
        for letter in self.network.late:
            self.network.deliver(letter)
        for phone in self.phones:
            phone.kill()
        for phone in self.phones:
            self.nothing_is_skipped(phone)
        for phone, account in itertools.product(self.phones, self.accounts):
            self.come_back(phone, account)
        for phone in self.phones:
            self.come_back(phone, self.account_of(phone))
        logs = self.logs()
        for phone in self.phones:
            seen = self.seen(phone)
            by_id = {row["id"]: row for row in seen["rows"]}
            shown = [(by_id[i]["hash"], i) for i in seen["visible"] if i not in self.bad]
            log = logs[self.account_of(phone).name]
            assert shown == [(hash_, i) for i, (hash_, _) in log.items()], phone.name
        for identity, made in self.made.items():
            homes = [name for name, log in logs.items() if log.get(identity, ("",))[0] == made.hash]
            if identity in self.bad:
                assert homes == []
            elif identity not in self.given_up or homes:
                assert homes == [made.account or homes[0]], (identity, made, homes)

    def nothing_is_skipped(self, phone: Phone) -> None:
        """Let a phone go on from where it is; for another account it would begin anew."""
        account = self.account_of(phone)
        if self.seen(phone)["account"] == account.name:
            self.come_back(phone, account)
            assert set(self.logs()[account.name]) <= set(self.seen(phone)["visible"]), phone.name

    def come_back(self, phone: Phone, account: Account) -> None:
        """Sign in with a clock that is right again and sync until nothing waits."""
        phone.do("date", ms=NOON_MS)
        self.network.open_session(phone, account)
        self.left[phone.name].discard(account.name)
        if phone.name in self.left_unmet and not self.meet(phone)["signed_in"]:
            self.network.open_session(phone, account)
        self.left_unmet.discard(phone.name)
        for _ in range(6):
            seen = self.meet(phone)
            assert (seen["signed_in"], seen["account"]) == (True, account.name), (phone.name, seen["problem"])
            waiting = [
                row for row in seen["rows"] if row["id"] in seen["visible"] and row["saved"] == "phone"
            ]
            if not waiting and not seen["ahead"]:
                return
            phone.do("pass", ms=LONGEST_WAIT_MS)  # what failed has a time of its own to wait
        raise AssertionError(f"{phone.name} never sends {waiting} or never has {seen['ahead']}")

    def meet(self, phone: Phone) -> dict[str, Any]:
        """Let a phone meet the server, once it need not wait any more, and give what is on it."""
        for _ in range(3):
            assert self.through(phone, "sync", [], None)
            seen = self.seen(phone)
            if seen["problem"] is None:
                return seen
            phone.do("pass", ms=LONGEST_WAIT_MS)
        raise AssertionError(f"{phone.name} does not reach the server: {seen['problem']}")


def run(world: World, examples: int, steps: int, number: int | None = None) -> None:
    """Draw as many lives of the phones, from a seed or else the same each time."""
    drawn = settings(
        max_examples=examples,
        stateful_step_count=steps,
        deadline=None,
        database=None,
        derandomize=number is None,
        print_blob=True,
        phases=(Phase.generate, Phase.shrink),
        suppress_health_check=list(HealthCheck),
    )

    def two_phones() -> TwoPhones:
        return TwoPhones(world)

    machine = two_phones if number is None else seed(number)(two_phones)
    run_state_machine_as_test(machine, settings=drawn)  # type: ignore[arg-type]  # any maker of a machine will do


@pytest.fixture
def world(app: Flask, store: Store, clock: Clock, tmp_path: Path) -> World:
    """An app and room for media."""
    return World(app, store, clock, tmp_path)


def test_phones_lose_and_mix_up_nothing(world: World) -> None:
    run(world, examples=10, steps=20)


@pytest.mark.deep
def test_phones_lose_and_mix_up_nothing_in_many_lives(world: World, pytestconfig: pytest.Config) -> None:
    """Others each time; pytest --hypothesis-seed=N draws those of a seed again."""
    number = int(pytestconfig.getoption("--hypothesis-seed") or SystemRandom().getrandbits(32))
    print(f"seed {number}, 300 lives of 40 steps")
    run(world, examples=300, steps=40, number=number)
