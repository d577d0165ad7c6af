"""What is felt on a phone: when its largest part is seen, how soon it answers, whether it moves by itself."""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final, NamedTuple

from playwright.sync_api import Browser

from tests.browser.phone import Phone
from tests.browser.served import Server, a_phone
from tests.calibration import page_turn_ms

# How much slower than this machine a phone is taken to be.
SLOWED: Final = 4
# A slow mobile network, as web.dev's tools take it.
NETWORK: Final = "1.6 Mbit/s and 150 ms"
CONDITIONS: Final = {
    "offline": False,
    "latency": 150,
    "downloadThroughput": 1.6e6 / 8,
    "uploadThroughput": 750e3 / 8,
}

# The browser's own measures, from the start of the page; an answer is known by its interaction.
WATCH: Final = """(() => {
  const felt = { largest: 0, shifted: 0, answers: {} };
  globalThis.felt = felt;
  const watch = (type, more, note) => {
    const observer = new PerformanceObserver((list) => list.getEntries().forEach(note));
    observer.observe({ type, buffered: true, ...more });
  };
  watch("largest-contentful-paint", {}, (entry) => (felt.largest = entry.startTime));
  watch("layout-shift", {}, (entry) => (felt.shifted += entry.hadRecentInput ? 0 : entry.value));
  watch("event", { durationThreshold: 16 }, ({ interactionId, duration }) => {
    if (interactionId) felt.answers[interactionId] = Math.max(felt.answers[interactionId] ?? 0, duration);
  });
})()"""
TWO_FRAMES: Final = "() => new Promise((seen) => requestAnimationFrame(() => requestAnimationFrame(seen)))"


class FirstVisit(NamedTuple):
    """What a person with a new phone sees, and what a turn takes on it."""

    largest_ms: float
    shifted: float
    turn_ms: float


class Typing(Phone):
    """A phone on which each key is pressed."""

    def __init__(self, phone: Phone) -> None:
        self.__dict__ = phone.__dict__

    def type(self, name: str, text: str) -> None:
        """Empty a field and type, key by key."""
        field = self.find(f'[name="{name}"]')
        field.tap()
        field.press("Control+a")
        field.press_sequentially(text)


@contextmanager
def a_new_phone(browser: Browser, server: Server, slowed: int) -> Iterator[Phone]:
    """Hold a slowed phone that has never been here."""
    with a_phone(browser, server) as phone:
        phone.page.add_init_script(WATCH)
        session = phone.context.new_cdp_session(phone.page)
        session.send("Emulation.setCPUThrottlingRate", {"rate": slowed})
        yield phone


def first_visit(browser: Browser, server: Server, path: str, slowed: int) -> FirstVisit:
    """Open a page over a slow network."""
    with a_new_phone(browser, server, slowed) as phone:
        session = phone.context.new_cdp_session(phone.page)
        session.send("Network.enable")
        session.send("Network.emulateNetworkConditions", CONDITIONS)
        phone.open(path)
        phone.page.wait_for_load_state("networkidle")
        phone.page.evaluate(TWO_FRAMES)
        largest_ms = float(phone.page.evaluate("() => felt.largest"))
        return FirstVisit(largest_ms, shifted(phone), page_turn_ms(phone.page))


def watch_answers(phone: Phone) -> None:
    """Begin on a page that has been open for a while."""
    phone.open("/arrive")
    phone.expect_step("where")


def at_95_percent(phone: Phone) -> float:
    """Give the ms within which 95 of 100 taps and keys were answered; those under 16 ms are not counted."""
    phone.page.evaluate(TWO_FRAMES)
    taken = sorted(float(ms) for ms in phone.page.evaluate("() => Object.values(felt.answers)"))
    assert len(taken) >= 20, taken
    return taken[int(0.95 * (len(taken) - 1))]


def shifted(phone: Phone) -> float:
    """Give the cumulative layout shift."""
    return float(phone.page.evaluate("() => felt.shifted"))
