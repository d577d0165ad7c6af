"""The phone's clock is wrong, or ninety days go by: each record arrives as it was saved, in order."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest
from playwright.sync_api import Browser, expect

from fieldlog.clock import now
from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.phone import Phone, read_meter, until_readings
from tests.browser.proxy import Spoil, all_of_the_app, pass_on
from tests.browser.way import (
    PLAIN_PAGE,
    Sizes,
    Way,
    fill,
    hashes_on,
    in_both_sizes,
    keep,
    places,
    rows,
    send_all,
    to_the,
)

pytestmark = [pytest.mark.browser, pytest.mark.sources]

HOUR = timedelta(hours=1)
A_TICK = timedelta(milliseconds=2)
# Far-off times are of the phone's own; the others are counted from the true one.
IN_1970 = datetime(1970, 1, 1, 0, 5, tzinfo=UTC)
WRONG: dict[str, datetime | timedelta] = {
    "1970": IN_1970,
    "an hour behind": -HOUR,
    "an hour ahead": HOUR,
    "ten years ahead": timedelta(days=3653),
    "right but for a minute": timedelta(minutes=1),
}
FAR_OFF = {*WRONG} - {"right but for a minute"}  # by more than five minutes, from which on it is shown


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


def shown_by(clock: datetime | timedelta) -> datetime:
    return clock if isinstance(clock, datetime) else now() + clock


def test_records_of_a_clock_that_jumps_about_all_arrive_in_order_and_say_how_far_off_it_was(
    browser: Browser, way: Way
) -> None:
    account = way.account("Snipe")
    with way.phone(browser, account) as phone:
        phone.open(PLAIN_PAGE)
        sent = [save_and_send(phone, way, account, clock) for clock in (*WRONG, "an hour behind")]
        assert hashes_on(phone.page) == {id: hash for kept in sent for id, hash in kept.items()}
        assert way.hashes(account) == hashes_on(phone.page)
        assert places(phone.page) == {"server"}
        ids = [entry["record"]["id"] for entry in way.entries(account)]
        assert ids == [row["id"] for row in rows(phone.page)]
        assert pairs(ids) == [set(kept) for kept in sent]
        for clock, kept in zip(WRONG, sent, strict=False):
            expect_clock_told(phone, next(iter(kept)), is_off=clock in FAR_OFF)
    entries = way.entries(account)
    assert all(one["seq"] < other["seq"] for one, other in pairwise(entries))
    received = [datetime.fromisoformat(entry["received_at"]) for entry in entries]
    assert received == sorted(received)
    assert abs(received[-1] - now()) < timedelta(minutes=1)


def save_and_send(phone: Phone, way: Way, account: Account, clock: str) -> dict[str, str]:
    """Keep two checks while the phone's clock shows that, send them, and look at what the server noted."""
    shown = shown_by(WRONG[clock])
    offset_s = (now() - shown).total_seconds()
    phone.page.clock.set_fixed_time(shown)
    kept = keep(phone.page, 2)
    assert send_all(phone.page) == 0, clock
    for entry in way.entries(account)[-2:]:
        assert entry["record"]["id"] in kept, clock
        assert abs(datetime.fromisoformat(entry["record"]["observed_at"]) - shown) < A_TICK, clock
        assert abs(entry["clock_offset_s"] - offset_s) < 45, clock
        assert ("clock-differs" in [flag["flag"] for flag in entry["flags"]]) == (clock in FAR_OFF), clock
    return kept


def pairs(ids: list[str]) -> list[set[str]]:
    """Cut a list into pairs, whose own order is left open: they may be of one millisecond."""
    return [set(ids[at : at + 2]) for at in range(0, len(ids), 2)]


def expect_clock_told(phone: Phone, check: str, *, is_off: bool) -> None:
    """Look whether a check's page says that the clock was wrong."""
    phone.open(f"/checks/{check}")
    phone.find("[data-correct]").wait_for()
    told = phone.page.locator("main").get_by_text("clock", exact=False).locator("visible=true")
    if is_off:
        expect(told.first).to_be_visible()
    else:
        expect(told).to_have_count(0)


def test_a_check_made_by_hand_in_1970_is_judged_saved_and_sent(browser: Browser, way: Way) -> None:
    account = way.account("Jack snipe")
    with way.phone(browser, account) as phone:
        phone.page.clock.set_fixed_time(IN_1970)
        until_readings(phone)
        read_meter(phone)
        phone.expect_verdict("use")
        phone.expect_saved("server")
        assert way.hashes(account) == hashes_on(phone.page)


def test_an_hour_that_comes_twice_keeps_both_its_checks(browser: Browser, way: Way) -> None:
    account = way.account("Redshank")
    with way.phone(browser, account, timezone_id="Europe/Berlin") as phone:
        phone.open(PLAIN_PAGE)
        # On 25 October 2026 the clocks there went back from 03:00 to 02:00 at 01:00 UTC.
        for hour in (0, 1):
            phone.page.clock.set_fixed_time(datetime(2026, 10, 25, hour, 30, tzinfo=UTC))
            keep(phone.page, 1)
        assert send_all(phone.page) == 0
    observed = [entry["record"]["observed_at"] for entry in way.entries(account)]
    assert observed == ["2026-10-25T02:30:00.000+02:00", "2026-10-25T02:30:00.000+01:00"]


@in_both_sizes
def test_a_queue_of_ninety_days_ago_arrives_whole(browser: Browser, way: Way, sizes: Sizes) -> None:
    account = way.account(f"Sanderling {sizes.readings}")
    with way.phone(browser, account) as phone:
        way.proxy.use(all_of_the_app(Spoil.RESET))
        phone.page.clock.set_fixed_time(now() - timedelta(days=90))
        phone.open(PLAIN_PAGE)
        kept = fill(phone.page, sizes.readings)
        way.proxy.use(pass_on)
        phone.page.clock.set_fixed_time(now())
        phone.page.reload()

        assert send_all(phone.page) == 0
        assert hashes_on(phone.page) == kept
        assert places(phone.page) == {"server"}
    assert way.hashes(account) == kept
    assert len(kept) == sizes.readings
    print(f"no seed: {len(kept)} records")
