"""What one person has typed and not finished is neither shown nor saved as another's."""

from collections.abc import Iterator
from itertools import count

import pytest
from playwright.sync_api import expect

from fieldlog.model.account import Account
from tests.browser.conftest import Site
from tests.browser.phone import Phone, read_meter, until_readings
from tests.browser.served import another_tab
from tests.browser.test_phone_page import find_the_network, keep, lose_the_network, said, stored
from tests.builders import an_arrival_check
from tests.conftest import PASSWORD

pytestmark = [pytest.mark.browser, pytest.mark.sources]

NAMES = (f"Drafter {number}" for number in count())
DRAFTS = """async (park) => {
  const { transact } = await import("/static/js/outbox/db.js");
  const drafts = await transact("drafts", "readonly", (store) => store.getAll());
  return drafts.filter(({ values }) => values?.["place.park"] === park).length;
}"""
KEEP_OLD = """async (draft) => {
  const { put } = await import("/static/js/outbox/db.js");
  await put("drafts", "arrive", draft);
}"""


@pytest.fixture
def account(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def other(site: Site) -> Account:
    return site.account(next(NAMES))


@pytest.fixture
def signed_in(phone: Phone, account: Account) -> Iterator[Phone]:
    be(phone, account)
    yield phone
    # What was under way when the session ended is answered so.
    phone.excuse("401 (UNAUTHORIZED)")


def be(phone: Phone, account: Account) -> None:
    """Sign in, and wait until the phone itself knows."""
    phone.enter(account.name, PASSWORD, "/sign-out")
    said(phone, f"The log on this phone is that of {account.name}")


def lose_the_session(phone: Phone) -> None:
    phone.open("/sign-in")
    phone.context.clear_cookies()


def begin(phone: Phone, park: str) -> None:
    """Begin an arrival check, and wait until the phone keeps it."""
    phone.open("/arrive")
    phone.expect_step("where")
    phone.type("place.park", park)
    phone.next()
    phone.expect_step("outlet")
    phone.open("/")
    said(phone, f"{park}: go on with the check")


def park(phone: Phone) -> str:
    """Give the park that an arrival check begins with."""
    phone.open("/sign-in")
    phone.open("/arrive#where")
    phone.expect_step("where")
    return phone.find('[name="place.park"]').input_value()


def sign_out(phone: Phone, way: str) -> None:
    phone.open("/sign-out")
    phone.tap(f'[data-do="{way}"]')
    said(phone, "Signed out on this phone")


def test_a_check_under_way_is_its_own_accounts_when_another_signs_in_after_a_lost_session(
    signed_in: Phone, account: Account, other: Account
) -> None:
    begin(signed_in, "Secret Hollow")
    lose_the_session(signed_in)
    be(signed_in, other)
    signed_in.open("/")
    expect(signed_in.find("h1")).to_have_text("Is this outlet wired right?")
    keep(signed_in)
    expect(signed_in.page.locator("body")).not_to_contain_text("Secret Hollow")
    assert park(signed_in) == ""
    begin(signed_in, "Alder Bend")
    lose_the_session(signed_in)
    be(signed_in, account)

    assert park(signed_in) == "Secret Hollow"
    lose_the_session(signed_in)
    be(signed_in, other)
    assert park(signed_in) == "Alder Bend"


def test_an_open_form_is_not_saved_as_a_check_of_whoever_signed_in_meanwhile(
    signed_in: Phone, site: Site, account: Account, other: Account
) -> None:
    until_readings(signed_in)
    tab = another_tab(signed_in)
    sign_out(tab, "go")
    be(tab, other)
    read_meter(signed_in)
    signed_in.expect_step("verdict")

    expect(signed_in.find("fl-saved [role=alert]")).to_contain_text(
        "Not saved: Another account began this and is not at this phone now."
    )
    expect(signed_in.find("[data-part=not-kept]")).to_contain_text("Another account began this")
    assert stored(site, other) == stored(site, account) == []
    tab.open("/")
    keep(tab)
    expect(tab.find(".check-card")).to_have_count(0)
    assert park(tab) == ""
    signed_in.excuse("Another account began this")


def test_what_another_tab_holds_does_not_come_back_after_a_sign_out(
    signed_in: Phone, account: Account, other: Account
) -> None:
    begin(signed_in, "Secret Hollow")
    signed_in.open("/arrive#where")
    signed_in.expect_step("where")
    tab = another_tab(signed_in)
    sign_out(tab, "go")
    be(tab, other)
    assert park(signed_in) == ""
    tab.open("/sign-out")
    tab.tap('[data-do="go"]')
    said(tab, "Signed out on this phone")
    be(tab, account)
    third = another_tab(signed_in)

    assert park(third) == ""
    assert signed_in.page.evaluate(DRAFTS, "Secret Hollow") == 0


def test_a_check_under_way_is_named_when_signing_out_and_stays_with_what_is_left_locked(
    signed_in: Phone, account: Account, other: Account
) -> None:
    begin(signed_in, "Secret Hollow")
    signed_in.open("/sign-out")
    said(signed_in, "1 unfinished form is on this phone")
    sign_out(signed_in, "lock")
    be(signed_in, other)
    assert park(signed_in) == ""
    sign_out(signed_in, "go")
    be(signed_in, account)

    assert park(signed_in) == "Secret Hollow"


@pytest.mark.parametrize("way", ["go", "discard"])
def test_the_other_ways_out_say_that_it_goes_and_take_it_away(
    signed_in: Phone, account: Account, way: str
) -> None:
    begin(signed_in, "Secret Hollow")
    if way == "discard":
        lose_the_network(signed_in)
        keep(signed_in, an_arrival_check())
        signed_in.context.route("**/api/records", lambda route: route.abort())
        find_the_network(signed_in)
    signed_in.open("/sign-out")
    said(signed_in, "1 unfinished form is on this phone")
    if way == "discard":
        signed_in.type("count", "1")
    signed_in.tap(f'[data-do="{way}"]')
    said(signed_in, "Signed out on this phone")
    signed_in.context.unroute("**/api/records")
    be(signed_in, account)
    signed_in.excuse("ERR_FAILED")

    assert park(signed_in) == ""


def test_what_nobody_had_typed_is_taken_up_by_who_signs_in_first_and_by_nobody_else(
    phone: Phone, account: Account, other: Account
) -> None:
    begin(phone, "Alder Bend")
    be(phone, account)
    lose_the_session(phone)
    be(phone, other)
    assert park(phone) == ""
    lose_the_session(phone)
    be(phone, account)

    assert park(phone) == "Alder Bend"
    phone.excuse("401 (UNAUTHORIZED)")


def test_a_draft_of_an_earlier_release_is_that_of_who_was_at_the_phone(
    signed_in: Phone, account: Account, other: Account
) -> None:
    values = {"place.park": "Secret Hollow", "supply": "utility", "by": "meter"}
    signed_in.open("/")
    signed_in.page.evaluate(KEEP_OLD, {"values": values, "step": "where", "reached": "outlet", "saved": {}})
    lose_the_session(signed_in)
    be(signed_in, other)
    assert park(signed_in) == ""
    lose_the_session(signed_in)
    be(signed_in, account)

    assert park(signed_in) == "Secret Hollow"
