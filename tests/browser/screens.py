"""The ways past every screen of a check, with something on it."""

from collections.abc import Iterator

from playwright.sync_api import expect

from tests.browser.phone import (
    LEGS,
    PAIRS,
    Phone,
    arrive_at_two_legs,
    arrive_by_meter,
    prove_earth,
    read_low_impedance,
    read_to_earth,
    read_under_load,
    until_readings,
)


def all_screens(phone: Phone) -> Iterator[str]:
    """Stop at every screen there is, with something on it."""
    for way in (
        _checks,
        _box,
        _by_meter,
        _by_lamps,
        _stopped,
        _live_skin,
        _one_check,
        _two_legs,
        _added,
        _others,
    ):
        yield from way(phone)


def _checks(phone: Phone) -> Iterator[str]:
    for path in ("/", "/sign-in", "/arrive/plain"):
        phone.open(path)
        yield path.strip("/").replace("/", "-") or "no-checks"


def _box(phone: Phone) -> Iterator[str]:
    phone.open("/box")
    yield "box"
    phone.tap("text=Terminal blocks")
    phone.choose("edition", "2017")
    phone.choose("clamps", "yes")
    for name, count in (("conductors.14", "4"), ("conductors.12", "2"), ("devices.12", "1")):
        phone.type(name, count)
    for volume, name in (("30,3", "It holds it"), ("12", "Too full"), ("abc", "The volume must be")):
        phone.type("volume_in3", volume)
        phone.tap("main button[type=submit]")
        phone.find(f"text={name}").first.wait_for()
        yield f"box-{name.lower().replace(' ', '-')}"
    phone.excuse("400 (BAD REQUEST)")


# long: the screens in their order
def _by_meter(phone: Phone) -> Iterator[str]:
    phone.open("/arrive")
    phone.expect_step("where")
    yield "where"
    phone.next()
    yield "outlet"
    phone.next()
    phone.expect_problem("outlet", "Choose the outlet")
    yield "outlet-unchosen"
    phone.choose("outlet", "5-20")
    phone.next()
    yield "look"
    phone.next()
    phone.choose("by", "both")
    yield "by"
    phone.next()
    for more in phone.find("summary").all():
        more.tap()
    yield "meter"
    phone.next()
    yield "lamp-names"
    phone.next()
    phone.tap("summary")
    yield "tester"
    phone.next()
    yield "ready"
    phone.tap("text=It is wet, or there is thunder")
    yield "not-now"
    phone.next()
    phone.type("volts.h-n", "12.0")
    yield "question"
    phone.type("volts.h-n", "abc")
    phone.next()
    yield "problem"
    for pair, shown in zip(PAIRS, ("108.2", "108.0", "0.3"), strict=True):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    for pair, shown in zip(PAIRS, ("lit", "lit", "dark"), strict=True):
        phone.choose(f"lamps.{pair}", shown)
    yield "lamps"
    phone.next()
    phone.choose("trip.tripped", "yes")
    yield "trip"
    phone.choose("trip.face_dead", "yes")
    phone.choose("trip.reset", "yes")
    phone.next()
    phone.expect_saved("phone")
    yield "use-limited"
    phone.next()
    yield "plug"
    prove_earth(phone)
    yield "skin"
    phone.choose("skin.by", "detector")
    yield "skin-detector"
    phone.choose("skin.detected", "no")
    phone.next()
    phone.type("inside", "107.9")
    yield "inside"
    phone.next()
    phone.expect_saved("phone")
    yield "done"
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(1)


def _by_lamps(phone: Phone) -> Iterator[str]:
    until_readings(phone)
    phone.choose("by", "lamps")
    phone.next()
    phone.next()  # proved
    phone.next()  # dry, and all done
    for pair in PAIRS:
        phone.choose(f"lamps.{pair}", "none" if pair == "n-g" else "lit")
    phone.next()
    phone.expect_saved("phone")
    yield "test-more"
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(2)


def _stopped(phone: Phone) -> Iterator[str]:
    phone.open("/arrive")
    phone.next()
    phone.choose("outlet", "5-15")
    phone.next()
    phone.choose("look", "burned")
    yield "look-burned"
    phone.next()
    phone.expect_saved("phone")
    yield "do-not-use"
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(3)


def _live_skin(phone: Phone) -> Iterator[str]:
    arrive_by_meter(phone)
    phone.expect_saved("phone")
    yield "use"
    phone.next()
    prove_earth(phone)
    phone.type("skin.volts", "12")
    phone.next()
    phone.expect_saved("phone")
    yield "unplug"
    phone.tap("a[data-finish]")
    expect(phone.find(".check-card")).to_have_count(4)
    yield "checks"


def _one_check(phone: Phone) -> Iterator[str]:
    phone.tap(".check-card")
    phone.find("[data-correct]").wait_for()
    yield "one-check"
    phone.tap("[data-correct]")
    yield "correction"


def _two_legs(phone: Phone) -> Iterator[str]:
    until_readings(phone, outlet="14-50", breaker="50")
    phone.choose("by", "both")
    phone.next()
    phone.next()  # proved
    phone.type("lamp4.x-n.called", "the upper one")
    phone.type("lamp4.y-n.called", "the lower one")
    yield "lamp4-names"
    phone.next()
    phone.next()  # proved
    phone.next()  # dry, and all done
    for pair, shown in LEGS.items():
        phone.expect_step(f"volts.{pair}")
        yield f"volts-{pair}"
        phone.type(f"volts.{pair}", shown)
        phone.next()
    yield "lamp4s"
    phone.choose("lamps.x-n", "lit")
    phone.choose("lamps.y-n", "lit")
    phone.next()
    phone.expect_saved("phone")
    yield "two-legs"
    arrive_at_two_legs(phone)
    phone.expect_saved("phone")
    yield "two-legs-by-meter"
    read_low_impedance(phone, LEGS)
    yield "two-legs-read-twice"


# long: the screens of the tests in their order
def _added(phone: Phone) -> Iterator[str]:
    arrive_by_meter(phone)
    for test in ("detector", "low-impedance", "unplug-others", "earth"):
        phone.add(test)
        yield test
        if test == "unplug-others":
            phone.choose("unplugged.by", "lamps")
            yield "unplugged-lamps"
        phone.page.go_back()
        phone.expect_step("verdict")
    read_to_earth(phone)
    phone.add("load")
    phone.next()
    phone.expect_problem("loaded.amps", "Type the amps")
    yield "load-empty"
    phone.page.go_back()
    phone.expect_step("verdict")
    read_under_load(phone, "9.8", {"h-n": "113.9", "h-g": "117.1", "n-g": "3.6"})
    phone.expect_saved("phone")
    yield "loaded"
    phone.open("/")
    phone.tap(".check-card")
    phone.tap("[data-correct]")
    yield "correction-of-a-load"


def _others(phone: Phone) -> Iterator[str]:
    """Stop where who knows the meter, has no tester or has no leaflet is led."""
    phone.open("/arrive")
    phone.tap("[data-quick]")
    phone.choose("outlet", "TT-30")
    phone.next()
    phone.expect_problem("looked", "Say whether you looked")
    yield "quick"
    phone.tap("text=One thing a screen")
    phone.next()
    phone.tap("text=Not looked")
    phone.choose("by", "none")
    phone.next()
    yield "no-tester"
    phone.page.go_back()
    phone.expect_step("by")
    phone.choose("by", "lamps")
    for _ in ("by", "tester", "ready"):
        phone.next()
    phone.tap("text=Change the lamps’ names")
    phone.tap("text=No leaflet: learn the lamps")
    for at, state in enumerate(("lit", "dark", "lit"), 1):
        phone.choose(f"lamp.learnt.{at}", state)
    yield "lamp-learn"
    phone.next()
    yield "lamp-apart"
    phone.choose("lamp.apart", "none")
    phone.next()
    phone.next()  # dry, and all done
    yield "lamps-not-told-apart"
