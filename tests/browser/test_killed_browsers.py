"""Browser and server are killed while records are saved and sent: what was said to be saved is there."""

import threading
from collections.abc import Callable, Iterator
from itertools import cycle
from pathlib import Path
from random import Random
from typing import Self, TypeVar

import pytest
from playwright.sync_api import Error, Playwright, expect

from fieldlog.store import migrations
from fieldlog.store.session import open_store
from tests.browser.conftest import Site
from tests.browser.killed import PAUSE, SAID_TO_BE_SAVED, killed_browser
from tests.browser.phone import Phone, read_meter, until_readings
from tests.browser.proxy import Spoil, all_of_the_app, batches, pass_on
from tests.browser.way import (
    BEGIN_TO_SEND,
    PLAIN_PAGE,
    Sizes,
    Way,
    in_both_sizes,
    keep,
    places,
    rows,
    send_all,
    to_the,
)
from tests.faults.test_kills import KilledServer

pytestmark = [pytest.mark.browser, pytest.mark.sources]

T = TypeVar("T")

# Before the server has them, after it has them and has not said so, in between, and as the answer arrives.
MOMENTS = (Spoil.HANG, Spoil.HANG_AFTER, Spoil.LATE, Spoil.NONE)


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


def hashes_and_places(phone: Phone) -> dict[str, tuple[str, str]]:
    return {row["id"]: (row["hash"], row["saved"]) for row in rows(phone.page)}


@in_both_sizes
def test_a_browser_killed_while_it_sends_loses_nothing_and_sends_nothing_twice(
    playwright: Playwright, way: Way, tmp_path: Path, sizes: Sizes
) -> None:
    seed, kept = 52, dict[str, str]()
    rng, account = Random(seed), way.account(f"Heron {sizes.kills_while_sending}")
    with killed_browser(playwright, tmp_path / "profile", way.address) as browser:
        way.enter(browser.context, account)
        for _, spoil in zip(range(sizes.kills_while_sending), cycle(MOMENTS), strict=False):
            way.proxy.use(all_of_the_app(Spoil.RESET))
            browser.phone.open(PLAIN_PAGE)
            kept |= keep(browser.phone.page, 40)
            way.proxy.use(batches(spoil))
            seen = way.proxy.batches
            browser.phone.page.evaluate(BEGIN_TO_SEND)
            while way.proxy.batches == seen:
                PAUSE.wait(0.002)
            PAUSE.wait(rng.uniform(0, 0.2))
            browser.kill()
            on_server = way.hashes(account)
            browser.open()
            way.enter(browser.context, account)
            way.proxy.use(all_of_the_app(Spoil.RESET))
            browser.phone.open(PLAIN_PAGE)
            on_phone = hashes_and_places(browser.phone)
            assert {id: hash for id, (hash, _) in on_phone.items()} == kept
            assert all(
                on_server.get(id) == hash for id, (hash, saved) in on_phone.items() if saved == "server"
            )
        print(f"seed {seed}: {sizes.kills_while_sending} kills, {len(kept)} records")
        way.proxy.use(pass_on)
        assert send_all(browser.phone.page) == 0
        assert places(browser.phone.page) == {"server"}
    assert way.hashes(account) == kept


def save_a_check(phone: Phone) -> None:
    """Make a check by hand, up to the words that it is saved."""
    until_readings(phone)
    read_meter(phone)
    phone.page.evaluate(SAID_TO_BE_SAVED)


@in_both_sizes
def test_a_check_that_was_said_to_be_saved_survives_a_kill_at_that_moment(
    playwright: Playwright, way: Way, tmp_path: Path, sizes: Sizes
) -> None:
    with killed_browser(playwright, tmp_path / "profile", way.address) as browser:
        for made in range(1, sizes.kills_after_saving + 1):
            save_a_check(browser.phone)
            browser.kill()
            browser.open()
            browser.phone.open("/arrive")  # goes on with the draft; the check itself is a record already
            checks = [row for row in rows(browser.phone.page) if row["kind"] == "arrival-check"]
            assert len(checks) == made
        browser.phone.open("/")
        expect(browser.phone.find(".check-card")).to_have_count(min(sizes.kills_after_saving, 50))
    print(f"no seed: {sizes.kills_after_saving} kills")


class Restarter(threading.Thread):
    """Kills the server now and then, and starts it again."""

    def __init__(self, server: KilledServer, kills: int, rng: Random) -> None:
        super().__init__()
        self.server, self.kills, self.rng = server, kills, rng
        self.is_wanted = True

    def run(self) -> None:
        """Kill it as often as it was told to, while it is wanted."""
        for _ in range(self.kills):
            PAUSE.wait(self.rng.uniform(0.1, 2.5))
            if not self.is_wanted:
                return
            self.server.kill()
            self.server.start()

    def __enter__(self) -> Self:
        self.start()
        return self

    def __exit__(self, *_: object) -> None:
        """Do not outlive the test, whatever became of it."""
        self.is_wanted = False
        self.join()


@pytest.fixture
def killed_server(tmp_path: Path) -> Iterator[tuple[KilledServer, Way]]:
    url = f"sqlite:///{tmp_path / 'fieldlog.sqlite3'}"
    store = open_store(url)
    migrations.upgrade(store)
    server = KilledServer(tmp_path)
    way = Way(server.port, store)
    yield server, way
    way.close()
    server.kill()
    store.close()


def again_and_again(act: Callable[[], None], tries: int = 40) -> None:
    """Do what needs a server; one that is down is waited for, as a person loads the page again."""
    for left in reversed(range(tries)):
        try:
            return act()
        except (Error, AssertionError):
            if not left:
                raise
            PAUSE.wait(0.25)


@in_both_sizes
def test_kills_of_the_browser_and_of_the_server_lose_nothing_between_them(
    playwright: Playwright, killed_server: tuple[KilledServer, Way], tmp_path: Path, sizes: Sizes
) -> None:
    seed, kept = 53, dict[str, str]()
    server, way = killed_server
    rng, account = Random(seed), way.account("Bittern")
    with killed_browser(playwright, tmp_path / "profile", way.address) as browser:
        save_a_check(browser.phone)  # brings the rulebook to the phone
        with Restarter(server, sizes.kills_of_both, Random(seed + 1)) as restarter:
            for _ in range(sizes.kills_of_both):
                way.enter(browser.context, account)
                kept |= checks_by_hand_and_more(browser.phone, made=9)
                PAUSE.wait(rng.uniform(0, 0.2))
                browser.kill()
                browser.open()
            restarter.join()
        way.enter(browser.context, account)
        again_and_again(lambda: browser.phone.open(PLAIN_PAGE))
        assert send_all(browser.phone.page) == 0
        on_phone = hashes_and_places(browser.phone)
        print(f"seed {seed}: {sizes.kills_of_both} kills of each, {len(on_phone)} records")
    on_server = way.hashes(account)
    assert {id: hash for id, (hash, _) in on_phone.items()} == on_server
    assert {saved for _, saved in on_phone.values()} == {"server"}
    assert kept.items() <= on_server.items()


def checks_by_hand_and_more(phone: Phone, made: int) -> dict[str, str]:
    """Make one check by hand and several by the page's modules; sending has begun when it comes back."""
    again_and_again(lambda: save_a_check(phone))
    kept = by_the_modules(phone, lambda: keep(phone.page, made))
    by_the_modules(phone, lambda: phone.page.evaluate(BEGIN_TO_SEND))
    return {row["id"]: row["hash"] for row in by_the_modules(phone, lambda: rows(phone.page))} | kept


def by_the_modules(phone: Phone, act: Callable[[], T]) -> T:
    """Do what imports modules first; where the server is down just then, nothing has been done yet."""
    while True:
        try:
            return act()
        except Error as error:
            if "Failed to fetch dynamically imported module" not in error.message:
                raise
            again_and_again(lambda: phone.open(PLAIN_PAGE))
