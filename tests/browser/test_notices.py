"""A notice of the phone comes at its time; time passes where the test lets it."""

import pytest
from playwright.sync_api import expect

from tests.browser.phone import Phone, arrive_by_meter, prove_earth
from tests.browser.served import visit

pytestmark = [pytest.mark.browser, pytest.mark.whole]

NOTICES = """async () => {
  const worker = await navigator.serviceWorker.getRegistration();
  return (await worker.getNotifications()).map(({ title, body }) => `${title}: ${body}`);
}"""


COMING = """async () => {
  const worker = await navigator.serviceWorker.getRegistration();
  for (;;) {
    const found = await worker.getNotifications();
    if (found.length) return found.map(({ title, body }) => `${title}: ${body}`);
  }
}"""


@pytest.mark.parametrize("look", [{"service_workers": "allow"}], indirect=True)
def test_the_notice_to_feel_the_plug_comes_when_the_half_hour_is_over(phone: Phone) -> None:
    phone.context.grant_permissions(["notifications"])
    phone.page.clock.install()
    visit(phone)
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.next()
    prove_earth(phone)
    phone.type("skin.volts", "0.4")
    phone.next()
    phone.type("inside", "119.8")
    phone.next()
    phone.expect_step("done")
    phone.tap("[data-remind]")
    expect(phone.find("[data-part=remind] [role=status]")).to_contain_text("while this very page stays open")
    phone.page.clock.fast_forward("29:00")
    assert phone.page.evaluate(NOTICES) == []

    phone.page.clock.fast_forward("01:01")
    [notice] = phone.page.evaluate(COMING)

    assert notice.startswith(
        "Half an hour is over: Feel the shore plug: clearly warmer than a plug beside it"
    )
    # Where the person says no, the calendar alone is left, and it is said.
    phone.context.clear_permissions()
    phone.tap("[data-remind]")
    expect(phone.find("[data-part=remind] [role=status]")).to_contain_text("The calendar entry does")
    expect(phone.find("a[download='feel-the-plug.ics']")).to_be_visible()
