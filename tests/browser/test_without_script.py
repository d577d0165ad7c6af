"""The arrival check in a browser without script."""

import pytest
from playwright.sync_api import expect

from tests.browser.phone import Phone

pytestmark = pytest.mark.browser


@pytest.mark.parametrize("look", [{"java_script_enabled": False}], indirect=True)
def test_the_plain_form_gives_the_same_verdict(phone: Phone) -> None:
    phone.open("/arrive")
    phone.tap("noscript a")
    expect(phone.find("h1")).to_have_text("Arrival check")
    phone.type("volts.h-n", "abc")
    phone.next()
    phone.expect_problem("volts.h-n", "as a number")
    phone.expect_problem("outlet", "Choose the outlet")
    expect(phone.find('[name="volts.h-n"]')).to_have_value("abc")
    phone.choose("outlet", "TT-30")
    phone.choose("looked", "yes")
    for pair, shown in (("h-n", "121,3"), ("h-g", "121"), ("n-g", "0.4")):
        phone.type(f"volts.{pair}", shown)
    phone.next()

    phone.expect_verdict("use")
    expect(phone.find("text=Nothing was saved: you are not signed in.")).to_be_visible()
    expect(phone.find('[name="volts.h-n"]')).to_have_value("121,3")
    phone.excuse("400 (BAD REQUEST)")
