"""What was entered stands beside the verdict, one tap from being changed and one from the verdict again."""

import json
from pathlib import Path

import pytest
from playwright.sync_api import Route, expect

from tests.browser.conftest import Site
from tests.browser.phone import Phone, arrive_by_meter, read_meter, until_readings
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser

SCREENS = 2
"""How many screens of 740 px an ordinary verdict may take before what is folded away."""


def test_a_reading_is_changed_from_the_verdict_by_one_tap_there_and_one_back(
    phone: Phone, site: Site
) -> None:
    account = site.account("Pipit V")
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    folds = phone.find(".folds").bounding_box()
    assert folds is not None and folds["y"] <= SCREENS * 740
    spoken = phone.page.locator("[data-part=spoken]")
    expect(spoken).to_contain_text("cannot rule out “hot and neutral swapped, ground joined”")
    taps = phone.taps
    phone.tap('.shown [data-goto="volts.h-n"]')
    expect(spoken).to_have_text("")
    phone.type("volts.h-n", "102")
    expect(phone.find("button[data-next]")).to_have_text("To the verdict")
    phone.next()
    phone.expect_step("verdict")
    assert phone.taps - taps == 2
    phone.expect_verdict("do-not-use")
    expect(phone.find(".verdict__why")).to_contain_text("Hot–neutral: 102 V is too low; the limit is 104 V.")
    phone.tap('.shown [data-goto="where"]')
    phone.type("place.site", "14")
    phone.next()
    phone.expect_step("verdict")
    expect(phone.find(".shown")).to_contain_text("Alder Bend, site 14")
    phone.expect_saved("phone")

    phone.enter("Pipit V", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_be_visible()
    checks = [entry["record"]["body"] for entry in site.records(account)][1:]
    assert [check["place"]["site"] for check in checks] == ["12", "12", "14"]
    assert [check["check"]["volts"]["h-n"] for check in checks] == ["121.3 V", "102 V", "102 V"]


def test_another_outlet_chosen_from_the_verdict_asks_for_what_it_has_besides(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.tap('.shown [data-goto="outlet"]')
    phone.choose("outlet", "5-20")
    phone.type("breaker_amps", "20")
    phone.next()
    phone.expect_step("trip")
    phone.tap("[data-skip]")
    phone.expect_step("verdict")
    phone.tap('.shown [data-goto="outlet"]')
    phone.choose("outlet", "14-50")
    phone.next()

    phone.expect_step("look")


def _with_read_again(phone: Phone) -> None:
    """Serve a rulebook to a page whose engine asks to read a pair again; a stand-in until the engine does."""
    joined = (Path(__file__).parents[2] / "static/joined/js").glob("*.js")
    engine = next(path for path in joined if " as reasonOf" in path.read_text(encoding="utf-8"))
    name = f"**/static/joined/js/{engine.name}"
    text = engine.read_text(encoding="utf-8")
    export = text[text.rindex("export{") + len("export{") : text.rindex("}")]
    pairs = [pair.split(" as ") for pair in export.split(",")]
    own = next(local for local, outer in pairs if outer == "assess")
    asks = json.dumps({"id": "read-again", "pairs": ["h-g"], "separates": []})
    judged = (
        f"function again(check,book){{const answer={own}(check,book);"
        'const [one,two]=[check.volts?.["h-n"],check.volts?.["h-g"]];'
        f"return one-two>50&&!check.more?{{...answer,next_test:{asks}}}:answer}}"
    )
    served = text.replace(f"{own} as assess", "again as assess") + judged

    def answer(route: Route) -> None:
        route.fulfill(body=served, content_type="text/javascript")

    phone.context.route(name, answer)


def test_a_pair_that_cannot_belong_to_the_outlet_is_read_again_before_there_is_a_verdict(
    phone: Phone,
) -> None:
    _with_read_again(phone)
    until_readings(phone)
    read_meter(phone, ("121", "12.1", "0.4"))
    phone.expect_step("read-again")
    expect(phone.find("h1")).to_have_text("Read hot to ground again")
    expect(phone.page.locator("[data-part=spoken]")).to_have_text("")
    phone.next()
    phone.expect_problem("again.volts.h-g", "Type what the meter shows now")
    phone.type("again.volts.h-g", "12.1")
    phone.next()
    phone.expect_step("verdict")
    phone.page.go_back()
    phone.tap("text=The meter showed 121 V hot–ground: I mistyped")
    phone.expect_step("verdict")

    phone.expect_verdict("use")
    expect(phone.find(".shown")).to_contain_text("121 V")


def test_readings_that_would_be_right_in_another_order_are_asked_about_and_stand_if_they_are_said_to(
    phone: Phone,
) -> None:
    until_readings(phone)
    read_meter(phone, ("121", "0.4", "120.6"))
    phone.expect_step("read-again")
    expect(phone.find("[data-part=again-why]")).to_contain_text("in another order it would")
    expect(phone.find(".facing__face")).to_have_count(3)
    phone.tap("text=They stand as typed: judge them")

    phone.expect_verdict("do-not-use")
    expect(phone.find(".verdict__why")).to_contain_text("Hot and neutral swapped")
