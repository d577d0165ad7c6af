"""What waits on a phone reaches the server, once, whatever the server answers in between."""

import time
from collections.abc import Callable, Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Route

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.held import Held, ids_in
from tests.builders import a_rig, an_arrival_check, an_id, an_outlet

pytestmark = [pytest.mark.browser, pytest.mark.sources]

DAY_S = 24 * 60 * 60
NAMES = iter(f"Sender {number}" for number in range(100))


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def held(browser: Browser, site: Site, account: Account) -> Iterator[Held]:
    context = browser.new_context(service_workers="block")
    held = Held(context.new_page(), site)
    held.sign_in(account)
    yield held
    context.close()


def stored(site: Site, account: Account) -> list[str]:
    return [entry["record"]["id"] for entry in site.records(account)]


def refusing(
    identity: str, status: int, seen: list[list[str]], headers: dict[str, str] | None = None
) -> Callable[[Route], None]:
    """Answer every request that carries one record with a status, and let the others through."""
    body: dict[str, Any] = {"problems": [{"at": "", "problem": "Something broke here."}]}

    def answer(route: Route) -> None:
        if route.request.method != "POST":
            return route.fallback()
        seen.append(ids_in(route))
        if identity in seen[-1]:
            return route.fulfill(status=status, json=body, headers=headers)
        return route.continue_()

    return answer


@pytest.mark.parametrize(("status", "saved"), [(500, "phone"), (422, "refused")])
def test_one_record_that_is_never_taken_holds_up_no_other(
    held: Held, site: Site, account: Account, status: int, saved: str
) -> None:
    ids = held.keep_checks(100)
    seen: list[list[str]] = []
    held.answer_records(refusing(ids[41], status, seen))
    held.sync()
    held.sync()

    assert stored(site, account) == ids[:41] + ids[42:]
    aside = held.ask("return queue.refusedRows();")
    assert [(row["id"], row["saved"]) for row in aside] == [(ids[41], saved)]
    assert "Something broke here." in aside[0]["problems"][0]["problem"]
    assert sum(ids[41] in sent for sent in seen) <= 6


def test_a_record_on_which_the_server_fails_is_tried_again_by_itself_at_most_six_times_an_hour(
    held: Held, site: Site, account: Account
) -> None:
    held.page.clock.install()
    ids = held.keep_checks(12)
    seen: list[list[str]] = []
    held.answer_records(refusing(ids[0], 500, seen))
    for _ in range(20):
        held.sync()
        held.page.clock.fast_forward(3 * 60_000)
    tries = sum(ids[0] in sent for sent in seen)
    held.page.unroute("**/api/records")
    held.page.clock.fast_forward(80 * 60_000)
    held.sync()

    assert 3 <= tries <= 6
    assert sorted(stored(site, account)) == sorted(ids)
    assert held.ask("return queue.refusedRows();") == []


def test_a_server_that_takes_nothing_is_left_alone_and_nothing_is_lost(
    held: Held, site: Site, account: Account
) -> None:
    held.keep_checks(60)
    asked: list[str] = []
    problems = {"problems": [{"at": "", "problem": "The disk is full."}]}

    def ill(route: Route) -> None:
        asked.append(route.request.method)
        route.fulfill(status=500, json=problems)

    held.answer_records(ill)
    held.sync()

    assert len(asked) <= 6
    assert held.saved() == {"phone": 60}
    assert held.ask("return flush.standing.problem;") == "The disk is full."


def test_a_session_that_ends_in_the_middle_loses_nothing(held: Held, site: Site, account: Account) -> None:
    ids = held.keep_checks(250)
    batches: list[int] = []

    def answer(route: Route) -> None:
        if route.request.method == "POST":
            batches.append(len(ids_in(route)))
        if len(batches) == 2:
            return route.fulfill(status=401, json={"problems": [{"at": "", "problem": "Sign in first."}]})
        return route.continue_()

    held.answer_records(answer)
    held.sync()
    assert held.saved() == {"server": 100, "phone": 150}
    assert held.ask("return [flush.standing.signedIn, flush.standing.reached];") == [False, True]
    held.page.unroute("**/api/records")
    held.sign_out_elsewhere()
    held.sync()
    assert held.saved() == {"server": 100, "phone": 150}
    held.sign_in(account)
    held.sync()

    assert held.saved() == {"server": 250}
    assert stored(site, account) == ids


def test_a_queue_of_ninety_days_loses_nothing(held: Held, site: Site, account: Account) -> None:
    ids = held.keep_checks(30)
    held.page.clock.set_fixed_time(time.time() + 90 * DAY_S)
    later = held.keep_checks(1)
    held.page.reload()
    assert held.saved() == {"phone": 31}
    held.sync()

    assert held.saved() == {"server": 31}
    assert stored(site, account) == ids + later


def test_over_a_way_too_slow_for_a_large_batch_smaller_ones_go(
    held: Held, site: Site, account: Account
) -> None:
    held.page.clock.install()
    ids = held.keep_checks(60)
    waiting: list[Route] = []

    def answer(route: Route) -> None:
        if route.request.method == "POST" and len(ids_in(route)) > 20:
            waiting.append(route)  # it is on its way for longer than the page waits
        else:
            route.continue_()

    held.answer_records(answer)
    with held.page.expect_request("**/api/records"):
        held.page.evaluate(
            "() => { window.going = import('/static/js/sync/flush.js').then(({ sync }) => sync()); }"
        )
    held.page.clock.fast_forward(11_000)
    held.page.evaluate("window.going")

    assert len(waiting) == 1
    assert held.saved() == {"server": 60}
    assert stored(site, account) == ids


def test_a_wrong_clock_is_noticed_and_told(held: Held, site: Site, account: Account) -> None:
    (identity,) = held.keep_checks(1)
    held.page.clock.set_fixed_time(time.time() - 3600)
    held.sync()

    assert held.ask("return (await db.get('kept', 'clock')).offset_s;") == pytest.approx(3600, abs=10)
    assert held.row(identity)["clock_offset_s"] == pytest.approx(3600, abs=10)
    assert "clock-differs" in [flag["flag"] for flag in held.row(identity)["flags"]]


def test_a_letter_that_the_server_does_not_read_is_no_records_fault(held: Held) -> None:
    held.keep_checks(12)
    problems = [{"at": "/sent_at", "problem": "That is no time."}]
    held.answer_records(lambda route: route.fulfill(status=422, json={"problems": problems}))
    held.sync()

    assert held.saved() == {"phone": 12}
    assert held.ask("return flush.standing.problem;") == "That is no time."


def test_a_server_that_asks_to_be_left_alone_is(held: Held, site: Site, account: Account) -> None:
    held.page.clock.install()
    ids = held.keep_checks(3)
    seen: list[list[str]] = []
    held.answer_records(refusing(ids[0], 429, seen, {"Retry-After": "120"}))
    held.sync()
    held.page.clock.fast_forward(110_000)
    held.page.reload()
    held.sync()
    assert len(seen) == 1
    assert held.saved() == {"phone": 3}
    held.page.unroute("**/api/records")
    held.page.clock.fast_forward(15_000)
    held.sync()

    assert stored(site, account) == ids


def test_only_a_receipt_that_names_the_same_text_counts_as_arrived(held: Held) -> None:
    (identity,) = held.keep_checks(1)
    for answer in (
        {"status": 200, "content_type": "text/html", "body": "<h1>Welcome</h1>"},
        {"status": 200, "json": {"welcome": True}},
        {"status": 200, "json": {"receipts": [{"id": identity, "status": "stored", "hash": None}]}},
        {"status": 302, "headers": {"Location": "/sign-in"}},
    ):
        held.answer_records(answer_posts_with(answer))
        held.sync()
        assert held.saved() == {"phone": 1}, answer


def answer_posts_with(answer: dict[str, Any]) -> Callable[[Route], None]:
    return lambda route: route.fulfill(**answer) if route.request.method == "POST" else route.continue_()


def test_a_receipt_for_another_text_is_told_and_the_text_stays(held: Held) -> None:
    (identity,) = held.keep_checks(1)
    receipt = {"id": identity, "status": "known", "hash": "0" * 64, "seq": 1, "problems": []}

    def answer(route: Route) -> None:
        if route.request.method == "POST":
            return route.fulfill(json={"receipts": [receipt]})
        return route.continue_()

    held.answer_records(answer)
    held.sync()

    row = held.row(identity)
    assert (row["saved"], row["problems"][0]["at"]) == ("refused", "/id")
    assert "another text" in row["problems"][0]["problem"]


def test_a_record_refused_for_want_of_another_goes_by_itself_once_that_one_is_there(
    held: Held, site: Site, account: Account
) -> None:
    rig = a_rig()
    outlet = an_outlet(rig["id"])
    held.keep(outlet)
    held.sync()
    assert held.row(outlet["id"])["saved"] == "refused"
    assert held.row(outlet["id"])["problems"][0]["at"] == "/rig"
    held.keep(rig)
    held.sync()

    assert held.saved() == {"server": 2}
    assert stored(site, account) == [rig["id"], outlet["id"]]


def test_a_mended_record_keeps_its_number_its_earlier_text_and_arrives(
    held: Held, site: Site, account: Account
) -> None:
    wrong = an_arrival_check()
    wrong["body"]["check"]["volts"]["h-n"] = "121,3 V"
    held.keep(wrong)
    held.sync()
    assert held.row(wrong["id"])["saved"] == "refused"
    right = an_arrival_check(id=wrong["id"])
    held.ask("await mending.mend(given.id, given);", right)
    held.sync()

    row = held.row(wrong["id"])
    assert (row["saved"], row["record"], row["before"]) == ("server", right, [wrong])
    assert [entry["record"] for entry in site.records(account)] == [right]


def test_a_record_whose_number_is_taken_gets_another_and_what_speaks_of_it_follows(
    held: Held, site: Site, account: Account
) -> None:
    taken = an_id()
    site.hand_in(site.account(next(NAMES)), an_arrival_check(id=taken))
    rig = a_rig(id=taken)
    outlet = an_outlet(taken)
    held.keep(rig, outlet)
    held.ask("await db.put('drafts', 'rig', { saved: { rig: { id: given } } });", taken)
    held.sync()
    assert held.row(taken)["problems"][0]["at"] == "/id"
    fresh = held.ask("return (await mending.mend(given.id, given)).id;", rig)
    held.sync()

    assert fresh != taken
    assert held.saved() == {"server": 2}
    assert held.row(fresh)["record"]["rig"] == fresh
    assert held.row(outlet["id"])["record"]["rig"] == fresh
    assert held.ask("return (await db.get('drafts', ['rig', given])).saved.rig.id;", account.name) == fresh
    assert sorted(stored(site, account)) == sorted([fresh, outlet["id"]])


def test_a_record_that_is_mended_while_it_is_on_its_way_keeps_what_was_typed(held: Held) -> None:
    sent = an_arrival_check()
    typed = an_arrival_check(id=sent["id"], made_by="Robin")
    held.keep(sent)

    held.ask(
        """const real = window.fetch;
        window.fetch = async (address, options) => {
          if (options?.method === "POST") {
            window.fetch = real;
            await mending.mend(given.id, given);
          }
          return real(address, options);
        };""",
        typed,
    )
    held.sync()

    assert held.row(sent["id"])["record"]["made_by"] == "Robin"
    assert held.row(sent["id"])["saved"] != "server"


def test_what_is_discarded_can_be_put_back(held: Held) -> None:
    ids = held.keep_checks(3)
    gone = held.ask("return mending.discard(given);", ids[:2])
    assert held.saved() == {"phone": 1}
    held.ask("await mending.restore(given);", gone)

    assert held.saved() == {"phone": 3}


def test_photos_that_cannot_go_hold_up_no_record(held: Held, site: Site, account: Account) -> None:
    held.page.route("**/api/photos/**", lambda route: route.fulfill(status=500, json={"problems": []}))
    ids = held.keep_checks(2)
    held.sync()

    assert stored(site, account) == ids
    assert held.ask("return flush.standing.problem;") is None
