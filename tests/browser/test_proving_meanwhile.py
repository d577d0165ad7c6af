"""What comes from the server while a change is being proved moves nothing under the hand."""

import pytest
from playwright.sync_api import Route, expect

from fieldlog.model.account import Account
from tests.browser.changing import a_changed_rig, go_on
from tests.browser.conftest import Site
from tests.browser.phone import Phone
from tests.browser.test_proving import account as account
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

SYNC = 'async () => (await import("/static/js/sync/flush.js")).sync()'


def test_the_end_of_a_fetch_moves_nothing_under_the_hand(phone: Phone, site: Site, account: Account) -> None:
    phone.enter(account.name, PASSWORD)
    phone.page.evaluate(SYNC)
    changed = a_changed_rig()
    site.hand_in(account, changed.rig, changed.device, changed.sink, changed.change)
    asked: list[Route] = []

    def hold_the_next(route: Route) -> None:
        asked.append(route)
        if len(asked) == 1:
            route.continue_()

    phone.page.route("**/api/session", hold_the_next)
    # The page asks again for what it lacks; that fetch does not end.
    with phone.page.expect_request(lambda request: "/api/session" in request.url and bool(asked)):
        phone.open(changed.page)
        go_on(phone, "unplugged")
        phone.tap("summary")
    for route in asked[1:]:
        route.continue_()
    phone.page.unroute("**/api/session")
    phone.page.evaluate(SYNC)

    expect(phone.find("[name=skip]")).to_be_visible()
