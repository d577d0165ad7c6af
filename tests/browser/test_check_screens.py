"""What an arrival check asks, and shows, before a tester goes in; by touch."""

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import Site
from tests.browser.phone import (
    PAIRS,
    Phone,
    arrive_by_meter,
    prove_earth,
    until_readings,
    until_volts,
)
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def _middles(phone: Phone) -> dict[str, tuple[float, float]]:
    """Give where the holes of the big picture lie on the screen, by contact."""
    holes = phone.find(".facing__face .face__contact")
    places: dict[str, tuple[float, float]] = {}
    for hole in holes.all():
        box: Any = hole.locator(".face__hole").bounding_box()
        places[str(hole.get_attribute("data-contact"))] = (
            box["x"] + box["width"] / 2,
            box["y"] + box["height"] / 2,
        )
    return places


def _marked(phone: Phone) -> list[str | None]:
    marked = phone.find(".facing__face .face__contact--on").all()
    return [contact.get_attribute("data-contact") for contact in marked]


def _progress(phone: Phone) -> float:
    return float(phone.page.locator("[data-part=progress]").evaluate("(bar) => bar.value"))


def test_the_outlet_is_shown_as_the_person_sees_it_with_the_two_holes_of_the_reading(phone: Phone) -> None:
    until_readings(phone)
    until_volts(phone)
    seen = _middles(phone)
    assert seen["h"][0] < seen["n"][0]
    assert seen["g"][1] < min(seen["h"][1], seen["n"][1])
    assert sorted(map(str, _marked(phone))) == ["h", "n"]
    expect(phone.find(".facing__told")).to_contain_text("One tip in H, hot: lower left.")

    phone.tap("[data-turn]")
    phone.tap("[data-turn]")
    expect(phone.find(".facing__told")).to_contain_text("ground hole down")
    expect(phone.find("[data-turn]")).to_be_focused()
    phone.type("volts.h-n", "121")
    phone.next()
    seen = _middles(phone)
    assert seen["n"][0] < seen["h"][0]
    assert seen["g"][1] > seen["h"][1]
    assert sorted(map(str, _marked(phone))) == ["g", "h"]


def test_the_way_on_comes_before_the_way_back_the_bar_never_falls_and_the_hot_proves_the_earth(
    phone: Phone,
) -> None:
    until_readings(phone)
    far = [_progress(phone)]
    phone.find('[name="by"][value="meter"]').focus()
    phone.page.keyboard.press("Tab")
    expect(phone.find("[data-next]")).to_be_focused()
    phone.page.keyboard.press("Tab")
    expect(phone.find("[data-back]")).to_be_focused()
    until_volts(phone)
    for pair, shown in zip(PAIRS, ("121.3", "121.0", "0.4"), strict=True):
        far.append(_progress(phone))
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.expect_verdict("use")
    far.append(_progress(phone))
    phone.add("earth")
    far.append(_progress(phone))
    expect(phone.find('[name^="volts."]').first).to_have_attribute("name", "volts.h-e")
    phone.type("volts.h-e", "3")
    expect(phone.find("[data-part=earth-proved]")).to_contain_text("Not proved: 3 V of 121.3 V")
    phone.type("volts.h-e", "121")
    expect(phone.find("[data-part=earth-proved]")).to_contain_text("Proved: 121 V")

    assert far == sorted(far)
    assert far[-1] == 1


def _learn(phone: Phone, *states: str) -> None:
    for at, state in enumerate(states, 1):
        phone.choose(f"lamp.learnt.{at}", state)
    phone.next()


def _show(phone: Phone, **states: str) -> None:
    for pair, state in states.items():
        phone.choose(f"lamps.{pair.replace('_', '-')}", state)
    phone.next()


# long: a person learns them, tests, tells two of them apart, tests again, and comes back
def test_lamps_without_a_leaflet_are_learnt_at_a_right_outlet_in_the_order_seen(phone: Phone) -> None:
    until_readings(phone)
    phone.choose("by", "lamps")
    phone.next()
    phone.tap("text=No leaflet: learn the lamps")
    _learn(phone, "lit", "lit", "lit")
    phone.expect_problem("lamp.learnt.3", "two lamps light and one stays dark")
    _learn(phone, "lit", "dark", "lit")
    phone.choose("lamp.apart", "none")
    phone.next()
    phone.expect_step("ready")
    phone.next()
    expect(phone.find("[data-lamp] legend")).to_have_text(
        [
            "Hot–neutral or hot–ground “first lamp”",
            "Neutral–ground “second lamp”",
            "Hot–neutral or hot–ground “third lamp”",
        ]
    )
    _show(phone, h_n="lit", n_g="dark", h_g="dark")
    expect(phone.find("[data-no-verdict]")).to_contain_text("No right wiring shows that")
    phone.tap("[data-back]")

    phone.tap("text=Tell the two lamps on hot apart")
    phone.choose("lamp.apart", "3")
    phone.next()
    phone.next()  # dry, and all done
    expect(phone.find("[data-lamp] legend")).to_have_text(
        ["Hot–ground “first lamp”", "Neutral–ground “second lamp”", "Hot–neutral “third lamp”"]
    )
    _show(phone, h_n="lit", n_g="dark", h_g="lit")
    phone.expect_verdict("use-limited")
    phone.expect_saved("phone")
    phone.next()
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(1)

    until_readings(phone)
    for _ in ("by", "tester", "ready"):
        phone.next()
    order = [lamp.get_attribute("data-lamp") for lamp in phone.find("[data-lamp]").all()]
    assert order == ["h-g", "n-g", "h-n"]


def test_without_a_tester_a_look_is_asked_for_and_gives_no_more_than_test_more(phone: Phone) -> None:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.tap("text=Not looked")
    phone.choose("by", "none")
    phone.next()
    expect(phone.find("[data-next]")).to_have_count(0)
    phone.tap("[data-goto=look]")
    for _ in ("look", "by", "no-tester"):
        phone.next()

    phone.expect_verdict("test-more")
    phone.expect_saved("phone")
    phone.open("/arrive")
    phone.expect_step("where")
    expect(phone.find('[name="place.park"]')).to_have_value("")


FIVE = 5


def _quickly(phone: Phone, volts: tuple[str, str, str], looked: str) -> None:
    phone.tap("[data-quick]")
    if not phone.find('[name="outlet"]:checked').count():
        phone.choose("outlet", "TT-30")
    for pair, shown in zip(PAIRS, volts, strict=True):
        phone.type(f"volts.{pair}", shown)
    phone.choose("looked", looked)
    phone.choose("quick.ready", "yes")
    phone.next()


def test_five_taps_and_three_numbers_lead_who_knows_the_meter_to_the_verdict(phone: Phone) -> None:
    phone.open("/arrive")
    phone.type("place.park", "Alder Bend")
    phone.type("place.site", "12")
    _quickly(phone, ("121.3", "121.0", "0.4"), "yes")
    phone.expect_verdict("use")
    assert phone.taps <= FIVE
    phone.expect_saved("phone")
    phone.open("/arrive")
    expect(phone.find('[name="place.site"]')).to_have_value("12")
    phone.taps = 0
    _quickly(phone, ("102", "102", "0.4"), "no")
    phone.expect_verdict("do-not-use")
    assert phone.taps < FIVE
    expect(phone.find("[data-part=reasons]")).to_contain_text("Looking the outlet over")
    phone.expect_saved("phone")

    phone.open("/arrive")
    expect(phone.find('[name="place.park"]')).to_have_value("Alder Bend")
    expect(phone.find('[name="place.site"]')).to_have_value("")
    phone.tap("[data-quick]")
    phone.choose("outlet", "14-50")
    expect(phone.find('form[data-step="quick"] [name^="volts."]')).to_have_count(6)
    phone.next()
    phone.expect_problem("looked", "Say whether you looked")
    phone.expect_problem("volts.x-y", "Type at least one reading")
    phone.tap("text=One thing a screen")
    phone.expect_step("outlet")


def test_a_live_skin_leaves_no_site_to_offer_again(phone: Phone) -> None:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    phone.next()
    prove_earth(phone)
    phone.type("skin.volts", "60")
    phone.next()
    phone.expect_step("unplug")
    phone.expect_saved("phone")
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(1)
    phone.open("/arrive")

    phone.expect_step("where")
    expect(phone.find('[name="place.site"]')).to_have_value("")


def test_an_adapter_and_on_an_inverter_the_kind_of_meter_are_asked_about(phone: Phone, site: Site) -> None:
    phone.open("/arrive")
    phone.choose("supply", "inverter")
    phone.next()
    phone.choose("outlet", "TT-30")
    phone.tap("text=Read behind an adapter?")
    phone.find('[name="via"]').select_option("14-50")
    for _ in ("outlet", "look", "by"):
        phone.next()
    phone.next()
    phone.expect_problem("meter.rms", "Say whether it says True RMS")
    phone.choose("meter.rms", "average")
    phone.next()
    phone.next()  # dry, and all done
    for pair, shown in zip(PAIRS, ("121.3", "121.0", "0.4"), strict=True):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.expect_verdict("use-limited")
    phone.expect_saved("phone")
    account = site.account("Dunnock")
    phone.sign_in("Dunnock", PASSWORD)
    expect(phone.find('.check-card [data-saved="server"]')).to_have_count(1)

    check = site.records(account)[-1]["record"]["body"]["check"]
    assert check["via"] == ["14-50-to-TT-30"]
    assert check["meter"]["rms"] == "average"
