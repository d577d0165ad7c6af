"""Outlets simulated apart from the engine (tests/simulated), scored by what the readings can tell.

The figures asked for: first explanation the truth or its twin in 99 %; truth kept in 99.9 %; no dangerous
truth used that the readings tell from right wiring; at most 0.5 % of good outlets refused; the ohms of a loop
within 8 % in the median for a load of 10 A; a loose joint named where the readings place it.
"""

import json
import os
import pickle
import random
from collections import Counter
from dataclasses import dataclass, field, replace
from pathlib import Path
from statistics import median
from typing import Any
from uuid import uuid4

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load
from tests import simulated
from tests.known_figures import hold_known

USUAL_LIFT_VOLTS = 2.5
"""How far neighbours of a usual site lift its neutral, own estimate: 8 A in some 0.3 ohm."""
LOOSE = ("high-resistance-hot", "high-resistance-neutral")
BARE = {"open-neutral-with-load": "open-neutral", "leaking-appliance": "open-ground"}
BANDS = ("voltage-low", "voltage-high", "loop-drop")


@dataclass(frozen=True)
class Kind:
    """What is read at which outlets."""

    reading: str
    family: str = "three-wire"
    supply: str = "utility"
    legs: int | None = None
    can_be_used: bool = True

    @property
    def truths(self) -> list[str]:
        """Name what may be wrong; a loose joint shows only under a load."""
        every = simulated.THREE_WIRE if self.family == "three-wire" else simulated.SPLIT_PHASE
        return [truth for truth in every if "load" in self.reading or truth not in LOOSE]

    def site(
        self,
        rng: random.Random,
        truth: str,
        low: float = 92.0,
        high: float = 142.0,
        most_lift_volts: float | None = None,
    ) -> simulated.Site:
        """Draw a site of this kind."""
        return simulated.drawn_site(
            rng,
            truth,
            low,
            high,
            family=self.family,
            supply=self.supply,
            legs=self.legs,
            most_lift_volts=most_lift_volts,
        )


KINDS = {
    "meter": Kind("meter"),
    "low-meter": Kind("low-meter"),
    "lamps": Kind("lamps"),
    "meter+lamps": Kind("meter+lamps"),
    "meter+load": Kind("meter+load"),
    "low-meter+load": Kind("low-meter+load"),
    "meter+low": Kind("meter+low"),
    "meter+unplugged": Kind("meter+unplugged"),
    "meter+earth": Kind("meter+earth"),
    "generator meter": Kind("meter", supply="generator"),
    "inverter meter+lamps": Kind("meter+lamps", supply="inverter"),
    "generator low-meter": Kind("low-meter", supply="generator"),
    "generator meter+load": Kind("meter+load", supply="generator"),
    "14-50 meter": Kind("meter", "split-phase", can_be_used=False),
    "14-50 low-meter": Kind("low-meter", "split-phase"),
    "14-50 meter+low": Kind("meter+low", "split-phase"),
    "14-50 meter+lamps": Kind("meter+lamps", "split-phase", can_be_used=False),
    "14-50 meter+leg-lamps": Kind("meter+leg-lamps", "split-phase", can_be_used=False),
    "14-50 lamps": Kind("lamps", "split-phase", can_be_used=False),
    "14-50 meter+load": Kind("meter+load", "split-phase", can_be_used=False),
    "14-50 low-meter+load": Kind("low-meter+load", "split-phase"),
    "14-50 meter+low at 208 V": Kind("meter+low", "split-phase", legs=208),
    "14-50 generator meter+low": Kind("meter+low", "split-phase", "generator", legs=240),
}


LEAST_KINDS = {
    "14-50 leg-lamps": Kind("leg-lamps", "split-phase"),
}
"""Lamps of one leg alone: nothing dangerous may be used, explained or not."""


@dataclass
class Score:
    """What came of many outlets."""

    outlets: int = 0
    missed: list[tuple[str, str]] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)
    used: list[str] = field(default_factory=list)
    samples: dict[str, dict[str, Any]] = field(default_factory=dict)

    def add(self, kind: Kind, truth: str, case: "Case") -> None:
        """Count one outlet."""
        self.outlets += 1
        if not case.is_explained:
            self.missed.append((truth, case.first))
            self.samples.setdefault(f"missed: {truth} as {case.first}", case.check)
        if not case.is_kept:
            self.lost.append(truth)
            self.samples.setdefault(f"lost: {truth}", case.check)
        if case.is_wrongly_used:
            self.used.append(truth)
            self.samples.setdefault(f"used: {truth}", case.check)

    def __str__(self) -> str:
        missed = ", ".join(
            f"{truth} as {first} {n}" for (truth, first), n in Counter(self.missed).most_common(8)
        )
        lost = ", ".join(f"{truth} {n}" for truth, n in Counter(self.lost).most_common(5))
        return (
            f"{self.outlets} outlets, {len(self.missed)} missed ({missed}), {len(self.lost)} lost ({lost}), "
            f"{len(self.used)} wrongly used {dict(Counter(self.used))}"
        )


class Case:
    """One simulated outlet and what the engine makes of it."""

    def __init__(self, rng: random.Random, kind: Kind, truth: str) -> None:
        self.kind, self.site = kind, kind.site(rng, truth)
        self._instruments = rng.getstate()
        self.check = simulated.drawn_check(rng, self.site, kind.reading)
        self.answer = assess(self.check, load())
        self.first: str = self.answer["faults"][0]["id"]

    @property
    def truth(self) -> str:
        """Name what is wrong, with nothing plugged in where everything was unplugged."""
        truth = self.site.truth
        return BARE.get(truth, truth) if "unplugged" in self.kind.reading else truth

    @property
    def is_explained(self) -> bool:
        """Tell whether the first explanation is the truth or shows the same here."""
        if self.truth == "neutral-lost-upstream":
            return True  # it has no name; what counts is that it is not used
        return self._is_twin(self.first) or self._is_as(self.first) or self._has_odd_return(self.first)

    @property
    def is_kept(self) -> bool:
        """Tell whether the truth is left in the answer; a loose joint's ohms decide about it."""
        if self.truth in (*LOOSE, "neutral-lost-upstream"):
            return True
        kept = {fault["id"]: fault["probability"] for fault in self.answer["faults"]}
        return kept.get(self.truth, 0.0) >= 0.01 or self.truth in self.answer["not_ruled_out"]

    @property
    def is_wrongly_used(self) -> bool:
        """Tell whether something dangerous is used that the readings tell from what is usable."""
        if self.answer["verdict"] not in ("use", "use-limited") or self.truth in LOOSE:
            return False
        usable = ["correct"]
        if self.site.supply != "utility":
            usable += ["floating-supply", "neutral-ground-bonded"]
        is_told = not any(self._is_twin(name) for name in usable) and not simulated.looks_right(self.check)
        return is_told and not self._may_float

    @property
    def _may_float(self) -> bool:
        """Tell whether a source that is joined to no ground shows the same; such a one may be used.

        To the meter, and to the same lamps where its capacitances share its volts as was read.
        """
        if self.site.supply == "utility" or not simulated.may_float(self.check):
            return False
        floating = simulated.floating_as_read(self.site, self.check["volts"])
        return self._read_by_the_same(floating).get("lamps") == self.check.get("lamps")

    def _has_odd_return(self, name: str) -> bool:
        """Tell whether a load's current returns by a ground wire unlike the hot, as by a loose joint."""
        share = self.site.ground_ohms / (self.site.ground_ohms + self.site.hot_ohms)
        is_odd = self.truth == "neutral-ground-reversed" and not 0.33 <= share <= 0.67
        return is_odd and "load" in self.kind.reading and name in (*LOOSE, "neutral-ground-bonded")

    def _is_twin(self, name: str) -> bool:
        return simulated.are_twins(name, self.truth, self.check)

    def _is_as(self, name: str) -> bool:
        """Tell whether this site, wired in that way, shows the same to the same instruments."""
        every = simulated.THREE_WIRE if self.kind.family == "three-wire" else simulated.SPLIT_PHASE
        if name not in every:
            return False
        if name in simulated.HIDDEN and self.truth not in LOOSE and simulated.looks_right(self.check):
            return True
        return simulated.show_the_same(self.check, self._read_by_the_same(replace(self.site, truth=name)))

    def _read_by_the_same(self, site: simulated.Site) -> dict[str, Any]:
        """Read another site by the instruments of this one, with the same errors."""
        rng = random.Random()
        rng.setstate(self._instruments)
        return simulated.drawn_check(rng, site, self.kind.reading)


@pytest.fixture(scope="session")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder of this run, the same for all who run tests at once."""
    own = tmp_path_factory.getbasetemp()
    return own.parent if "PYTEST_XDIST_WORKER" in os.environ else own


def scored(shared: Path, name: str, seed: int, rounds: int) -> Score:
    """Give the score of one kind; whoever needs it first works it out."""
    kept = shared / f"scored {name} {seed} {rounds}"
    if not kept.exists():
        fresh = shared / f"{uuid4()}"
        fresh.write_bytes(pickle.dumps(newly_scored(name, seed, rounds)))
        fresh.replace(kept)
    score: Score = pickle.loads(kept.read_bytes())
    return score


def newly_scored(name: str, seed: int, rounds: int) -> Score:
    kind, rng, score = (KINDS | LEAST_KINDS)[name], random.Random(f"{seed} {name}"), Score()
    for _ in range(rounds):
        for truth in kind.truths:
            score.add(kind, truth, Case(rng, kind, truth))
    print(f"{name}, seed {seed}: {score}")
    for what, check in list(score.samples.items())[:4]:
        print("   ", what, json.dumps(check))
    return score


def refused(name: str, seed: int, outlets: int, most_lift_volts: float = USUAL_LIFT_VOLTS) -> float:
    """Give the share of good outlets, within service range B, that are refused for their wiring."""
    kind, rng, against = KINDS[name], random.Random(f"{seed} {name}"), Counter[str]()
    for _ in range(outlets):
        site = kind.site(rng, "correct", low=110.0, high=127.0, most_lift_volts=most_lift_volts)
        answer = assess(simulated.drawn_check(rng, site, kind.reading), load())
        is_out_of_band = any(one["level"] == "stop" and one["id"] in BANDS for one in answer["findings"])
        if answer["verdict"] in ("test-more", "do-not-use") and not is_out_of_band:
            against[answer["faults"][0]["id"]] += 1
    print(f"{name}, seed {seed}: {against.total()} of {outlets} good outlets refused {dict(against)}")
    return against.total() / outlets


USABLE = [name for name, kind in KINDS.items() if kind.can_be_used]


@pytest.mark.parametrize("name", KINDS)
def test_nothing_dangerous_is_used_that_the_readings_tell(shared: Path, name: str) -> None:
    assert scored(shared, name, seed=4, rounds=12).used == []


def test_over_all_kinds_the_truth_comes_first_and_is_kept(shared: Path) -> None:
    outlets, missed, lost, _ = over_all_kinds(shared, seed=4, rounds=12)

    assert missed <= 0.01 * outlets
    assert lost <= 0.001 * outlets


def over_all_kinds(shared: Path, seed: int, rounds: int) -> tuple[int, int, int, int]:
    """Count outlets, first explanations that are wrong, truths lost, and dangers used that readings tell."""
    scores = [scored(shared, name, seed, rounds) for name in KINDS]
    outlets = sum(score.outlets for score in scores)
    missed, lost, used = (
        sum(len(getattr(score, what)) for score in scores) for what in ("missed", "lost", "used")
    )
    print(f"all kinds, seed {seed}: {outlets} outlets, {missed} missed, {lost} lost, {used} wrongly used")
    return outlets, missed, lost, used


SHOWING = [name for name, kind in KINDS.items() if kind.family == "split-phase" and kind.supply == "utility"]


def used_with_open_contact(name: str, truth: str, seed: int, outlets: int) -> list[dict[str, Any]]:
    """Give the checks of an open neutral or ground that were let pass, those that read right included."""
    rng, kind = random.Random(f"{seed} {name} {truth}"), (KINDS | LEAST_KINDS)[name]
    cases = [Case(rng, kind, truth) for _ in range(outlets)]
    used = [case.check for case in cases if case.answer["verdict"] in ("use", "use-limited")]
    print(f"{name}, seed {seed}: {len(used)} of {outlets} with {truth} used {json.dumps(used[:1])}")
    return used


@pytest.mark.parametrize("truth", ["open-neutral", "open-ground"])
@pytest.mark.parametrize("name", SHOWING)
def test_an_open_neutral_or_ground_of_a_14_50_is_never_used_even_where_it_reads_right(
    name: str, truth: str
) -> None:
    """About a tenth of them read right on a high-impedance meter; what draws current shows them."""
    assert used_with_open_contact(name, truth, seed=9, outlets=40) == []


@pytest.mark.deep
@pytest.mark.parametrize("truth", ["open-neutral", "open-ground"])
@pytest.mark.parametrize("name", SHOWING)
def test_of_many_open_contacts_of_a_14_50_none_is_used(name: str, truth: str) -> None:
    assert used_with_open_contact(name, truth, seed=15, outlets=3000) == []


@pytest.mark.parametrize("name", LEAST_KINDS)
def test_lamps_of_one_leg_never_let_something_dangerous_be_used(shared: Path, name: str) -> None:
    assert scored(shared, name, seed=8, rounds=8).used == []


@pytest.mark.parametrize("name", ["meter", "low-meter", "14-50 low-meter"])
def test_right_wiring_on_a_long_feeder_is_seldom_refused(name: str) -> None:
    """Neighbours lift its neutral by up to 5 V in either sense."""
    assert refused(name, seed=7, outlets=200, most_lift_volts=5.0) <= 0.02


def test_good_outlets_are_hardly_ever_refused() -> None:
    shares = {name: refused(name, seed=5, outlets=120) for name in USABLE}

    assert sum(shares.values()) / len(shares) <= 0.005
    assert max(shares.values()) <= 0.01, shares


@pytest.mark.deep
@pytest.mark.parametrize("seed", [11, 12, 13])
def test_many_simulated_outlets_keep_the_figures(shared: Path, seed: int) -> None:
    outlets, missed, lost, used = over_all_kinds(shared, seed, rounds=400)

    assert missed <= 0.01 * outlets
    assert lost <= 0.001 * outlets
    assert used == 0


KNOWN_REFUSED = {"meter+earth": 63}
"""Of 10,000 of seed 14, the goal being 50: too strict where soil at 2 to 4 V lifts both (DEVELOPERS.md)."""


@pytest.mark.deep
@pytest.mark.parametrize("name", USABLE)
def test_many_good_outlets_are_hardly_ever_refused(name: str) -> None:
    outlets, goal = 10000, 0.005
    share = refused(name, seed=14, outlets=outlets)

    if name in KNOWN_REFUSED:
        count, known = round(share * outlets), KNOWN_REFUSED[name]
        hold_known("good outlets refused:", count, of=outlets, goal=goal * outlets, known=known)
    else:
        assert share <= goal


def loaded_with_ten_amps(
    rng: random.Random, truth: str, family: str
) -> tuple[simulated.Site, dict[str, Any], dict[str, Any]]:
    """Load an outlet with 10 A and give the site, the check and the answer."""
    site = simulated.drawn_site(rng, truth, 110.0, 127.0, family=family)
    check = simulated.drawn_check(rng, site, "meter+load", load_amps=10.0)
    return site, check, assess(check, load())


@pytest.mark.parametrize("family", ["three-wire", "split-phase"])
def test_the_ohms_of_a_loop_come_out_within_eight_percent_in_the_median(family: str) -> None:
    seed, off = 6, []
    rng = random.Random(seed)
    for _ in range(200):
        site, check, answer = loaded_with_ten_amps(rng, "correct", family)
        true_ohms = site.ohms_of_loop(check["loaded"]["across"])
        off.append(abs(answer["supply"]["ohms"] - true_ohms) / true_ohms)
        # The display's last digit, half of 0.1 V twice, is not in the accuracy of a leaflet.
        slack = 0.1 / check["loaded"]["amps"]
        assert abs(answer["supply"]["ohms"] - true_ohms) <= answer["supply"]["ohms_uncertainty"] + slack
        assert answer["supply"]["ohms_bound"] >= answer["supply"]["ohms_uncertainty"]
    print(f"seed {seed}, {family}: loop ohms {100 * median(off):.1f} % off in the median")

    assert median(off) <= 0.08


@pytest.mark.parametrize("family", ["three-wire", "split-phase"])
@pytest.mark.parametrize("truth", LOOSE)
def test_a_loose_joint_is_placed_where_the_readings_place_it(truth: str, family: str) -> None:
    seed, placed, wrong = 7, 0, Counter[str]()
    rng = random.Random(f"{seed} {truth} {family}")
    while placed < 80:
        site, check, answer = loaded_with_ten_amps(rng, truth, family)
        if simulated.stands_out(site, check):
            placed += 1
            wrong[answer["faults"][0]["id"]] += 1
    right = wrong.pop(truth, 0)
    print(f"seed {seed}, {family}: {truth} placed in {right} of {placed}, else {dict(wrong)}")

    assert right >= 0.95 * placed
