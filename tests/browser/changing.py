"""A rig with a change, and the way through its proofs on a phone."""

import itertools
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from playwright.sync_api import expect

from fieldlog.clock import now
from tests.browser.phone import FINE, PAIRS, Phone, read_to_earth, read_under_load
from tests.builders import a_device, a_record, a_rig, an_outlet

WHAT = "New cable to the sink"


FIRST = ("unplugged", "source-dead", "battery-off", "meter-before")


@dataclass(frozen=True)
class Changed:
    """A rig with an outlet behind a ground-fault receptacle, and a change of that outlet."""

    rig: dict[str, Any]
    device: dict[str, Any]
    sink: dict[str, Any]
    change: dict[str, Any]

    @property
    def page(self) -> str:
        """Give the address of the change."""
        return f"/changes/{self.change['id']}"

    def proof(
        self,
        step: str,
        outcome: str | None,
        *,
        pair: str | None = None,
        ago: timedelta = timedelta(0),
        **body: Any,
    ) -> dict[str, Any]:
        """Give a proof of a step; those of each pair or of the outlet name the sink, unless said."""
        of_part = step in ("no-volts", "ground-continuous", "polarity", "under-load")
        told = {"step": step, "part": self.sink["id"] if of_part else None, "pair": pair, "outcome": outcome}
        rest = {"value": None, "unit": None, "record": None, "note": ""}
        observed_at = (now() - ago).isoformat()
        members = {"rig": self.rig["id"], "subject": self.change["id"], "observed_at": observed_at}
        return a_record("proof", told | rest | body, **members)

    def shown_dead(self, ago: timedelta = timedelta(0)) -> list[dict[str, Any]]:
        """Give all that shows the absence of volts, up to the meter's second proof."""
        first = [self.proof(step, "good", ago=ago) for step in FIRST]
        volts = [
            self.proof(step, "good", pair=pair, ago=ago, value="0.1", unit="V", part=part)
            for step, part in (
                ("no-volts", "inlet"),
                ("no-volts", self.sink["id"]),
                ("no-volts-dc", "inlet"),
            )
            for pair in PAIRS
        ]
        last = [self.proof(step, "good", ago=ago) for step in ("meter-after", "leads-zeroed")]
        return in_order([*first, *volts, *last], ago + timedelta(seconds=30))

    def shown_apart(self) -> list[dict[str, Any]]:
        """Give the other steps with the power off, once volts were shown absent."""
        first = [self.proof("ground-continuous", "good", value="0.3", unit="ohm")]
        first += [self.proof("frame-bond", "good", value="0.3", unit="ohm")]
        first += [self.proof(step, "good") for step in ("dc-negative", "joints-made", "spared")]
        hot = self.proof("hot-ground-apart", "good", part="inlet", pair="h-g", value="9", unit="Mohm")
        neutral = self.proof("neutral-ground-apart", "good", value="9", unit="Mohm")
        across = self.proof("hot-neutral-apart", "good", part="inlet", pair="h-n", value="900", unit="ohm")
        last = [self.proof(step, "good") for step in ("behind-relays", "branches-off")]
        return in_order([*first, hot, neutral, self.proof("loads-off", "good"), across, *last])


def in_order(records: list[dict[str, Any]], ago: timedelta = timedelta(0)) -> list[dict[str, Any]]:
    """Give records of the same moment as made one second after the other."""
    last = now() - ago
    return [
        record | {"observed_at": (last - timedelta(seconds=len(records) - i)).isoformat()}
        for i, record in enumerate(records)
    ]


def a_changed_rig() -> Changed:
    rig = a_rig()
    device = a_device(rig["id"], "Galley receptacle")
    sink = an_outlet(rig["id"], "Sink", device["id"])
    body = {"what": WHAT, "why": "", "parts": [sink["id"]], "map": None, "wire": "", "device": ""}
    return Changed(rig, device, sink, a_record("change", body, rig=rig["id"]))


def go_on(phone: Phone, step: str) -> None:
    """Tap the way on to a step, once what was handed in has led there."""
    phone.tap(f'a[data-next][href*="at={step}%7C"]')
    phone.expect_step(step)


def yes(phone: Phone, then: str) -> None:
    """Answer yes, and wait for the next step."""
    phone.tap("[data-outcome=good]")
    phone.expect_step(then)


def show(phone: Phone, value: str, then: str) -> None:
    """Type what the meter shows, and wait for the next step."""
    phone.type("value", value)
    phone.next()
    phone.expect_step(then)


def unplug(phone: Phone) -> None:
    """Answer what comes before the first reading, from the list."""
    go_on(phone, "unplugged")
    yes(phone, "source-dead")
    yes(phone, "battery-off")
    yes(phone, "meter-before")
    yes(phone, "no-volts")


def absent(phone: Phone, then: str) -> None:
    """Find no volts on any pair, at the inlet and at the outlet."""
    words = ("hot–neutral", "hot–ground", "neutral–ground")
    places = ("Inlet", "Sink", "Inlet")  # AC volts at each, then DC volts at the inlet
    for part, (pair, between) in itertools.product(places, zip(PAIRS, words, strict=True)):
        expect(phone.find(".proving-place")).to_have_text(f"{part}, {between}")
        phone.type("value", "0,2" if pair == "h-g" else "0")
        phone.next()
    phone.expect_step(then)


def prove_dead(phone: Phone) -> None:
    """Do all steps with the power off, from the list."""
    unplug(phone)
    absent(phone, "meter-after")
    yes(phone, "leads-zeroed")
    yes(phone, "ground-continuous")
    show(phone, "0,3", "frame-bond")
    show(phone, "0,4", "dc-negative")
    named(phone, "joined at the panel", "joints-made")
    named(phone, "14 lb-in", "spared")
    yes(phone, "hot-ground-apart")
    over(phone, "neutral-ground-apart")
    over(phone, "loads-off")
    yes(phone, "hot-neutral-apart")
    over(phone, "behind-relays")
    named(phone, "none", "branches-off")
    yes(phone, "skin-plugged")


def over(phone: Phone, then: str) -> None:
    """Say that the meter shows more than it can, and wait for the next step."""
    phone.tap("[data-over]")
    phone.expect_step(then)


def named(phone: Phone, text: str, then: str) -> None:
    """Answer yes with what has to be named, and wait for the next step."""
    phone.tap("[data-outcome=good]")
    phone.expect_problem("named", "Type it")
    phone.type("named", text)
    yes(phone, then)


def press_test(phone: Phone, changed: Changed) -> None:
    """Press TEST, from the step that asks for it, and come back to it."""
    phone.tap("a[data-next]")
    phone.choose("tripped", "yes")
    phone.choose("face_dead", "yes")
    phone.choose(f"outlet.{changed.sink['id']}", "dead")
    phone.choose("pressed", "yes")
    phone.choose("reset", "yes")
    phone.next()
    expect(phone.find("h1")).to_have_text(WHAT)
    go_on(phone, "trips")


def check_the_sink(phone: Phone, *, is_loaded: bool) -> None:
    """Test the sink by meter, or with a load, on its own page, and come back."""
    phone.tap("a[data-next]")
    expect(phone.find("h1")).to_have_text("Test Sink")
    phone.type("breaker_amps", "15")
    for _ in ("outlet", "look", "by", "proved", "ready"):
        phone.next()
    for pair, shown in zip(PAIRS, FINE, strict=True):
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.tap("text=Not pressed")
    phone.expect_verdict("use")
    if is_loaded:
        read_to_earth(phone)
        read_under_load(phone, "10", {"h-n": "118.3", "n-g": "1.9"})
    phone.expect_saved("server")
    phone.tap("a[data-finish]")
    expect(phone.find("h1")).to_have_text(WHAT)


def state(phone: Phone) -> str:
    """Give how the change stands by the list."""
    return phone.find(".proving-state").get_attribute("data-state") or ""
