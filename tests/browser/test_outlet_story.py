"""What the page of an outlet tells of it, above its test."""

from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, expect

from tests.browser.conftest import Site
from tests.browser.drawn_rigs import DrawnRig, a_drawn_rig, hand_in
from tests.browser.looks import WIDE, Look, faults_in, in_each_look
from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone, another_tab, visit
from tests.builders import a_record, a_trip_test, an_outlet_test
from tests.conftest import PASSWORD

pytestmark = pytest.mark.browser


def a_test(rig: DrawnRig, part: str, day: str, verdict: str = "use", **check: Any) -> dict[str, Any]:
    volts = {"h-n": "120.0 V", "h-g": "120.0 V", "n-g": "0.3 V"}
    meter = {"input": "high-impedance", "accuracy_percent": "1.0 %", "accuracy_volts": "0.3 V"}
    readings = {"outlet": "5-15", "supply": "utility", "where": "rig", "volts": volts, "meter": meter}
    at = f"{day}T10:00:00.000+01:00"
    made = an_outlet_test(rig.id, rig.outlets[part], readings | check, observed_at=at)
    made["body"]["judgement"]["verdict"] = verdict
    return made


def a_load(volts: str) -> dict[str, Any]:
    return {"amps": "10.0 A", "volts": {"h-n": volts}}


def a_look(rig: DrawnRig, part: str, day: str, **points: str | None) -> dict[str, Any]:
    named = {f"outlet-{name.replace('_', '-')}": found for name, found in points.items()}
    seen = {name: found for name, found in named.items() if found is not None}
    missing = [name for name in named if name not in seen]
    body = {"of": "outlet", "points": seen, "not_tested": missing, "note": ""}
    at = f"{day}T10:00:00.000+01:00"
    return a_record("look", body, rig=rig.id, subject=rig.outlets[part], observed_at=at)


def a_change(rig: DrawnRig, *parts: str) -> dict[str, Any]:
    body = {
        "what": "New awning cable",
        "why": "",
        "parts": list(parts),
        "map": None,
        "wire": "",
        "device": "",
    }
    return a_record("change", body, rig=rig.id, observed_at="2026-11-22T10:00:00.000+01:00")


def story_of(phone: Phone, site: Site, name: str, rig: DrawnRig, part: str, *more: dict[str, Any]) -> Any:
    site.hand_in(site.account(name), *rig.records, *more)
    phone.enter(name, PASSWORD)
    phone.open(f"/outlets/{rig.outlets[part]}")
    story = phone.find("fl-outlet-story")
    expect(story.locator("h2").first).to_be_visible()
    return story


def row(story: Any, name: str) -> Any:
    return (
        story.locator(".readings > div").filter(has=story.page.locator(f"dt:text-is('{name}')")).locator("dd")
    )


def test_it_says_where_the_outlet_hangs_and_what_guards_it(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    story = story_of(phone, site, "Pipit", rig, "awning")

    expect(story.locator("h2").first).to_have_text("Awning outlet")
    expect(row(story, "Where")).to_have_text(
        "Inlet → Main breaker → Outlets breaker → Galley outlet (load side) → Dinette outlet → Awning outlet "
        "(outside)"
    )
    expect(row(story, "Guard")).to_have_text("Guarded by Galley outlet")
    expect(row(story, "Under load")).to_have_text("never tested")
    expect(row(story, "Cover, cable, wet: last look")).to_have_text("never")
    expect(story.locator("text=Press TEST at Galley outlet")).to_have_attribute(
        "href", f"/round#rig={rig.id}&device={rig.devices['galley']}"
    )


def test_each_mode_has_its_own_guard(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-sources")
    rig.body["parts"][2] |= {"gfci": True}  # the breaker of the shore side
    rig.body["parts"][5]["kind"] = "receptacle"
    rig.body["parts"][5].pop("device")
    rig.body["runs"][5].pop("from_side")
    story = story_of(phone, site, "Linnet", rig, "desk")

    expect(row(story, "Guard")).to_have_text("shore: Guarded by Outlets breaker station: NOT guarded")
    expect(row(story, "Where")).to_contain_text(
        "station: Power station → Plug moved by hand → Galley outlet → Desk outlet"
    )


def test_the_newest_three_tests_stand_there_and_what_the_loads_told(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    tests = [
        a_test(rig, "dinette", "2026-05-03"),
        a_test(rig, "dinette", "2026-08-03", loaded=a_load("117.9 V")),
        a_test(rig, "dinette", "2026-10-03", "use-limited"),
        a_test(rig, "dinette", "2026-11-03", loaded=a_load("116.6 V")),
    ]
    story = story_of(phone, site, "Redshank S", rig, "dinette", *tests)

    expect(story.locator(".check-card")).to_contain_text(
        ["Use3 Nov 2026, 10:00", "Use with limits3 Oct 2026", "Use3 Aug 2026"]
    )
    expect(story.locator(".check-card").first).to_have_attribute("href", f"/checks/{tests[3]['id']}")
    # 120.0 V less 117.9 V is 2.1 V at 10.0 A: 0.21 ohm; less 116.6 V 0.34 ohm.
    expect(row(story, "Under load")).to_have_text("was 0.21 ohm (3 Aug 2026), now 0.34 ohm (3 Nov 2026)")


def test_the_last_look_says_what_was_bad_and_what_was_not_looked_at(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    look = a_look(rig, "awning", "2026-11-03", cover="bad", strain_relief="good", dry=None)
    story = story_of(phone, site, "Knot S", rig, "awning", look)

    expect(row(story, "Cover, cable, wet: last look")).to_have_text(
        "3 Nov 2026: cover BAD, strain relief good, dryness not looked at"
    )
    expect(story.locator(".caution")).to_have_text(
        "An outlet outside needs a cover that closes with a plug in it."
    )


def test_a_change_that_touches_it_is_not_proved_until_it_is(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    story = story_of(phone, site, "Sandpiper", rig, "awning", a_change(rig, "dinette"))

    expect(story.locator(".notice")).to_contain_text("Changed 22 Nov 2026: New awning cable. Not yet proved.")


def test_the_verdict_of_a_test_says_that_a_change_is_not_proved(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    change = a_change(rig, "dinette")
    story_of(phone, site, "Whimbrel S", rig, "awning", change)
    unproved = phone.page.locator("form[data-step=verdict] [data-part=unproved] .caution")

    expect(unproved).to_have_count(1)
    expect(unproved).to_contain_text(
        "Changed, not yet proved: the wiring that this outlet hangs on was changed"
    )
    expect(unproved).to_contain_text("(New awning cable)")
    expect(unproved.locator("a")).to_have_attribute("href", f"/changes/{change['id']}")
    reasons = "form[data-step=verdict] [data-part=unproved] ~ [data-part=reasons]"
    expect(phone.page.locator(reasons)).to_have_count(1)


def test_a_look_that_leaves_a_point_out_does_not_take_back_what_was_bad(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    bad = a_look(rig, "awning", "2026-11-03", cover="bad")
    later = a_look(rig, "awning", "2026-11-10", cover=None, grip="good")
    story = story_of(phone, site, "Dunlin S", rig, "awning", bad, later)

    expect(story.locator(".caution")).to_have_text(
        "An outlet outside needs a cover that closes with a plug in it."
    )


def test_a_change_elsewhere_is_not_told_of(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    story = story_of(phone, site, "Turnstone S", rig, "dinette", a_change(rig, "cooling"))

    expect(story.locator("dl")).to_be_visible()
    expect(story.locator(".notice")).to_have_count(0)


def test_a_trip_that_left_it_live_is_told(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    trip = a_trip_test(rig.id, rig.devices["galley"], observed_at="2026-11-20T10:00:00.000+01:00")
    trip["body"] |= {"live": [rig.outlets["awning"]], "not_tested": []}
    story = story_of(phone, site, "Ruff S", rig, "awning", trip)

    expect(story.locator(".caution")).to_contain_text("“Awning outlet” stayed live")


def test_it_leads_to_the_test_and_then_stands_out_of_the_way(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits")
    story_of(phone, site, "Snipe S", rig, "awning")
    phone.tap("[data-test]")
    expect(phone.find("form h1")).to_be_focused()
    expect(phone.find("form h1")).to_be_in_viewport()
    phone.next()
    phone.choose("supply", "utility") if phone.step == "outlet" else None
    phone.next() if phone.step == "outlet" else None

    phone.expect_step("look")
    expect(phone.page.locator("fl-outlet-story")).to_be_hidden()


def test_a_stranger_with_the_label_is_told_nothing(phone: Phone, site: Site) -> None:
    rig = a_drawn_rig("two-circuits", "Secret name")
    site.hand_in(site.account("Stint"), *rig.records)
    site.account("Stranger with a label")
    phone.enter("Stranger with a label", PASSWORD)
    phone.open(f"/outlets/{rig.outlets['awning']}")

    expect(phone.find("fl-outlet-story")).to_have_text(
        "This outlet is not on this phone. Sign in to the account that holds it."
    )
    content = phone.page.content()
    assert "Awning" not in content
    assert "Secret name" not in content


def test_a_label_opens_it_cold_with_the_server_dead(browser: Browser, tmp_path: Path) -> None:
    server, rig = Server(tmp_path), a_drawn_rig("two-circuits")
    server.account("Dotterel S")
    try:
        with a_phone(browser, server) as phone:
            visit(phone)
            phone.enter("Dotterel S", PASSWORD)
            hand_in(server, "Dotterel S", [*rig.records, a_change(rig, "dinette")])
            phone.open(f"/outlets/{rig.outlets['awning']}")
            expect(phone.find("fl-outlet-story .notice")).to_contain_text("Not yet proved")
            phone.page.close()
            server.stop()
            cold = another_tab(phone)
            cold.open(f"/outlets/{rig.outlets['awning'].upper()}")

            expect(row(cold.find("fl-outlet-story"), "Guard")).to_have_text("Guarded by Galley outlet")
            expect(cold.find("fl-outlet-story .notice")).to_contain_text("Not yet proved")
    finally:
        server.close()


@in_each_look
def test_the_story_is_fit_for_rain_and_gloves(
    phone: Phone, site: Site, pictures: Path, looks: tuple[Look, ...]
) -> None:
    rig = a_drawn_rig("two-circuits")
    more = [
        a_test(rig, "awning", "2026-08-03", loaded=a_load("117.9 V")),
        a_test(rig, "awning", "2026-11-03", "use-limited", loaded=a_load("116.6 V")),
        a_look(rig, "awning", "2026-11-03", cover="bad", strain_relief="good", dry="good"),
        a_change(rig, "dinette"),
    ]
    story_of(phone, site, f"Story {len(looks)}", rig, "awning", *more)
    expect(phone.find("text=now 0.34 ohm")).to_be_visible()

    assert faults_in((*looks, WIDE), phone, "story", pictures) == []
