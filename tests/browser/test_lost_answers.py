"""Answers are lost, cut, doubled and late: each record arrives once, as it was saved."""

from collections.abc import Iterator
from random import Random

import pytest
from playwright.sync_api import Browser

from tests.browser.conftest import Site
from tests.browser.proxy import Spoil, a_share, all_of_the_app, every_third_batch, pass_on
from tests.browser.way import (
    PLAIN_PAGE,
    Sizes,
    Way,
    fill,
    hashes_on,
    in_both_sizes,
    keep_and_send,
    places,
    send_all,
    to_the,
)

pytestmark = [pytest.mark.browser, pytest.mark.sources]


@pytest.fixture
def way(site: Site) -> Iterator[Way]:
    with to_the(site) as way:
        yield way


@in_both_sizes
@pytest.mark.parametrize("spoil", [Spoil.LOST_ANSWER, Spoil.CUT_ANSWER, Spoil.TWICE, Spoil.BROKEN])
def test_a_spoilt_answer_to_every_third_batch_doubles_and_loses_nothing(
    browser: Browser, way: Way, spoil: Spoil, sizes: Sizes
) -> None:
    account = way.account(f"Osprey {spoil.name}")
    count = sizes.readings if spoil is Spoil.LOST_ANSWER else sizes.readings // 2
    with way.phone(browser, account) as phone:
        phone.open(PLAIN_PAGE)
        way.proxy.use(every_third_batch(spoil))
        kept = keep_and_send(phone.page, count, every=2)

        assert send_all(phone.page) == 0
        assert hashes_on(phone.page) == kept
        assert places(phone.page) == {"server"}
    assert way.hashes(account) == kept
    assert len(kept) == count
    assert way.proxy.spoiled[spoil] >= count // 8
    print(f"no seed: {len(kept)} records, {way.proxy.spoiled[spoil]} times {spoil.value}")


def test_a_long_queue_goes_in_five_seconds(browser: Browser, way: Way) -> None:
    account = way.account("Osprey with a queue")
    with way.phone(browser, account) as phone:
        phone.open(PLAIN_PAGE)
        way.proxy.use(all_of_the_app(Spoil.RESET))
        kept = fill(phone.page, 500)
        way.proxy.use(pass_on)

        assert send_all(phone.page) == 0
    assert way.hashes(account) == kept


@in_both_sizes
def test_over_a_bad_line_each_record_arrives_once(browser: Browser, way: Way, sizes: Sizes) -> None:
    seed = 71
    account = way.account(f"Osprey {sizes.over_a_bad_line}")
    with way.phone(browser, account) as phone:
        phone.open(PLAIN_PAGE)
        way.proxy.use(a_share(0.1, Random(seed)))
        kept = keep_and_send(phone.page, sizes.over_a_bad_line, every=5)
        left = send_all(phone.page, patience_s=60)
        spoilt = {spoil.value: count for spoil, count in way.proxy.spoiled.items()}
        print(f"seed {seed}: {len(kept)} records, {spoilt}")

        assert left == 0
        assert hashes_on(phone.page) == kept
        assert places(phone.page) == {"server"}
    assert way.hashes(account) == kept
