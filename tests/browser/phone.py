"""A phone-sized browser with a finger, and the ways through a check that the tests take."""

from typing import Final

from playwright.sync_api import BrowserContext, ConsoleMessage, Locator, Page, expect

from tests.conftest import token_of

FINE: Final = ("121.3", "121.0", "0.4")
PAIRS: Final = ("h-n", "h-g", "n-g")
PATIENCE_MS: Final = 30_000
"""How long a test waits for what must come; only a failing one does, so a busy machine fails none."""
STEP_OF_CHECK: Final = """() =>
  document.querySelector("fl-check form[data-step]:not([hidden])")?.dataset.step"""
LEGS: Final = {"x-y": "241", "x-n": "120.4", "y-n": "120.6", "x-g": "120.4", "y-g": "120.5", "n-g": "0.3"}


class Phone:
    """One browser page; it counts taps and remembers what went wrong in it."""

    def __init__(self, context: BrowserContext, site: str) -> None:
        self.context = context
        self.site = site
        self.page: Page = context.new_page()
        self.page.set_default_timeout(PATIENCE_MS)
        self.taps = 0
        self.errors: list[str] = []
        self.excused: list[str] = []
        self.page.on("console", self._heard)
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))

    def _heard(self, message: ConsoleMessage) -> None:
        is_wrong = message.type == "error" or "Content Security Policy" in message.text
        if is_wrong and not any(part in message.text for part in self.excused):
            self.errors.append(message.text)

    def excuse(self, *parts: str) -> None:
        """Let messages with one of these parts be none of the errors, heard already or still to come."""
        self.excused += parts
        self.errors = [error for error in self.errors if not any(part in error for part in parts)]

    def open(self, path: str) -> None:
        """Go to a page of the site."""
        self.page.goto(self.site + path)

    def find(self, selector: str) -> Locator:
        """Find what is visible."""
        return self.page.locator(selector).locator("visible=true")

    def tap(self, selector: str) -> None:
        """Tap something, once."""
        self.find(selector).first.tap()
        self.taps += 1

    def type(self, name: str, text: str) -> None:
        """Fill a field."""
        self.find(f'[name="{name}"]').fill(text)

    def choose(self, name: str, value: str) -> None:
        """Tap one of the choices of a name."""
        self.tap(f'[name="{name}"][value="{value}"]')

    def add(self, test: str, step: str = "") -> None:
        """Open a test from the verdict, where the button stands by itself or behind its fold."""
        self.page.locator(f'[data-step="verdict"] [data-add="{test}"]').first.wait_for(state="attached")
        if not self.find(f'[data-add="{test}"]').count():
            self.unfold("Other tests you can add")
        self.tap(f'[data-add="{test}"]')
        self.expect_step(step or test)

    def unfold(self, title: str) -> None:
        """Open what is folded away."""
        self.tap(f'.fold > summary:text("{title}")')

    def next(self) -> None:
        """Tap the forward button; in a check, wait until it has moved on or says what is missing."""
        step = self.find("button[data-next]").first.evaluate(STEP_OF_CHECK)
        self.tap("button[data-next]")
        if step:
            # By XPath, which the browser finds itself: for :not and :has Playwright asks every element.
            same = f'//form[@data-step="{step}"][not(@hidden)][not(.//*[@data-problem][not(@hidden)])]'
            self.page.locator(same).wait_for(state="hidden")

    @property
    def step(self) -> str:
        """The step on screen."""
        return self.page.locator("//form[@data-step][not(@hidden)]").get_attribute("data-step") or ""

    def expect_step(self, name: str) -> None:
        """Wait for a step."""
        expect(self.page.locator(f'form[data-step="{name}"]')).to_be_visible()

    def expect_problem(self, name: str, sentence: str) -> None:
        """Wait for a sentence at a field."""
        expect(self.find(f'[data-problem="{name}"]')).to_contain_text(sentence)

    def expect_saved(self, where: str) -> None:
        """Wait until a record is said to be saved there."""
        expect(self.find(f'fl-saved [data-saved="{where}"]')).to_be_visible()

    def expect_verdict(self, verdict: str) -> None:
        """Wait for a verdict."""
        expect(self.find(f'.verdict[data-verdict="{verdict}"]')).to_be_visible()

    def enter(self, name: str, password: str, path: str = "/") -> None:
        """Sign in without the page for it, and open another."""
        form = self.context.request.get(f"{self.site}/sign-in").text()
        fields: dict[str, str | float | bool] = {
            "csrf_token": token_of(form),
            "name": name,
            "password": password,
        }
        headers = {"Origin": self.site, "Sec-Fetch-Site": "same-origin"}
        answer = self.context.request.post(
            f"{self.site}/sign-in", form=fields, headers=headers, max_redirects=0
        )
        assert answer.status == 303, answer.text()
        self.open(path)

    def sign_in(self, name: str, password: str) -> None:
        """Sign in on the page for it."""
        self.open("/sign-in")
        self.page.locator("[name=name]").fill(name)
        self.page.locator("[name=password]").fill(password)
        self.page.locator("main button[type=submit]").tap()
        expect(self.page.locator("fl-checks")).to_be_visible()


def until_readings(phone: Phone, outlet: str = "TT-30", breaker: str = "30", supply: str = "utility") -> None:
    """Go from the start of an arrival check to the choice of instrument."""
    phone.open("/arrive")
    phone.expect_step("where")
    phone.type("place.park", "Alder Bend")
    phone.type("place.site", "12")
    if supply != "utility":
        phone.choose("supply", supply)
    phone.next()
    phone.choose("outlet", outlet)
    phone.type("breaker_amps", breaker)
    phone.next()
    phone.next()  # looked, none of these
    if phone.step == "ready":
        phone.next()  # an earlier release made ready before it asked what tests
    phone.expect_step("by")


def until_volts(phone: Phone) -> None:
    """Go from the choice of instrument to the first reading by meter."""
    if not phone.find('[name="by"][value="meter"]').is_checked():
        phone.choose("by", "meter")  # lamps were remembered
    phone.next()
    phone.next()  # proved
    if phone.step == "ready":
        phone.next()  # dry, and all done


def read_meter(phone: Phone, volts: tuple[str, str, str] = FINE) -> None:
    """Go from the choice of instrument through three readings by meter."""
    until_volts(phone)
    for pair, shown in zip(PAIRS, volts, strict=True):
        phone.type(f"volts.{pair}", shown)
        phone.next()


def arrive_by_meter(phone: Phone, volts: tuple[str, str, str] = FINE, settled: bool = False) -> None:
    """Make a whole arrival check at a TT-30 by meter; settled: the order of the readings is asked about."""
    until_readings(phone)
    read_meter(phone, volts)
    if settled:
        phone.expect_step("read-again")
        phone.tap("[data-skip]")
    phone.expect_step("verdict")


def arrive_at_a_generator(phone: Phone) -> None:
    """Make a whole arrival check at a generator by meter."""
    until_readings(phone, supply="generator")
    read_meter(phone)
    phone.expect_step("verdict")


def prove_earth(phone: Phone, answer: str = "yes") -> None:
    """Say at the step of plugging in whether the earth was proved on the hot contact, and go on."""
    phone.expect_step("plug")
    phone.choose("skin.earth", answer)
    phone.next()


def arrive_at_two_legs(phone: Phone) -> None:
    """Make a whole arrival check at a 14-50 by high-impedance meter, up to the verdict."""
    until_readings(phone, outlet="14-50", breaker="50")
    until_volts(phone)
    for pair, shown in LEGS.items():
        phone.type(f"volts.{pair}", shown)
        phone.next()
    phone.expect_step("verdict")


def read_low_impedance(phone: Phone, volts: dict[str, str]) -> None:
    """Add the readings of a low-impedance meter to a check that was judged."""
    phone.add("low-impedance")
    for pair, shown in volts.items():
        phone.type(f"low-impedance.volts.{pair}", shown)
    phone.next()
    phone.expect_step("verdict")


def read_to_earth(phone: Phone) -> None:
    """Add readings to an earth, which show that the ground contact is not live."""
    phone.add("earth")
    for pair, shown in (("h-e", "121.4"), ("n-e", "0.5"), ("g-e", "0.2")):
        phone.type(f"volts.{pair}", shown)
    phone.next()
    phone.expect_step("verdict")


def read_under_load(phone: Phone, amps: str, volts: dict[str, str]) -> None:
    """Add a load and the volts beside it to a check that was judged."""
    phone.add("load")
    phone.type("loaded.amps", amps)
    for pair, shown in volts.items():
        phone.type(f"loaded.volts.{pair}", shown)
    phone.next()
    phone.expect_step("verdict")
