"""Ghost voltages on an open wire beside a hot one.

Source: V = Vs R / sqrt(R^2 + Xc^2), Xc = 1 / (2 pi f C), 120 V, 60 Hz (circuit theory); capacitances of 30
to 100 pF a metre from memory of cable tables. That a low-impedance meter of about 3 kilohm makes them
vanish: common practice. That a ghost is never above what feeds it, and that two readings of one floating
contact sum to less than their source: circuit theory, redone here by nodal analysis (tests/simulated).
"""

import random

import pytest

from fieldlog.engine import assess
from fieldlog.engine.circuit import capacitor, node_volts, resistor, voltage_source
from fieldlog.rulebook import load
from tests import simulated

ROWS = [
    # pF/m, m, with 10 Mohm, 1 Mohm, 3 kohm
    (30, 10, 89.9, 13.5, 0.041),
    (50, 10, 106.0, 22.2, 0.068),
    (100, 3, 89.9, 13.5, 0.041),
    (100, 10, 116.0, 42.3, 0.136),
    (100, 15, 118.2, 59.1, 0.204),
]


def ghost_volts(picofarads: float, ohms: float) -> float:
    source = voltage_source("earth", "hot", 120.0, 0.001)
    volts = node_volts(
        [source, capacitor("hot", "open", picofarads * 1e-12), resistor("open", "earth", ohms)]
    )
    return abs(volts["open"])


@pytest.mark.parametrize(("per_metre", "metres", "high", "middle", "low"), ROWS)
def test_the_ghost_on_an_open_wire(
    per_metre: float, metres: float, high: float, middle: float, low: float
) -> None:
    farads = per_metre * metres

    assert ghost_volts(farads, 10e6) == pytest.approx(high, abs=0.05)
    assert ghost_volts(farads, 1e6) == pytest.approx(middle, abs=0.05)
    assert ghost_volts(farads, 3e3) == pytest.approx(low, abs=0.0005)


def test_a_low_impedance_meter_makes_the_ghost_of_an_open_ground_vanish() -> None:
    ghostly = assess({"outlet": "TT-30", "volts": {"h-n": 120.0, "h-g": 61.0, "n-g": 52.0}}, load())
    meter = {"input": "low-impedance"}
    vanished = assess(
        {"outlet": "TT-30", "meter": meter, "volts": {"h-n": 120.0, "h-g": 0.6, "n-g": 0.4}}, load()
    )

    assert ghostly["faults"][0]["id"] == vanished["faults"][0]["id"] == "open-ground"
    assert ghostly["verdict"] == vanished["verdict"] == "do-not-use"


def test_a_ghost_above_its_source_fits_no_open_wire() -> None:
    answer = assess({"outlet": "TT-30", "volts": {"h-n": 120.0, "h-g": 171.0, "n-g": 120.0}}, load())

    assert answer["faults"][0]["id"] == "other"
    assert answer["verdict"] not in ("use", "use-limited")


def readings_of_a_ghost(truth: str, site_seed: int, ohms: float) -> tuple[float, float, float]:
    site = simulated.drawn_site(random.Random(site_seed), truth)
    network = simulated.Network(site)
    first, second = {"open-ground": ("h-g", "n-g"), "open-neutral": ("h-n", "n-g")}[truth]
    parts = [network.across(pair, [(pair[0], pair[2], 1 / ohms)]) for pair in (first, second)]
    return site.volts, parts[0], parts[1]


@pytest.mark.parametrize("truth", ["open-ground", "open-neutral"])
def test_two_readings_of_one_floating_contact_sum_to_less_than_their_source(truth: str) -> None:
    for site_seed in range(200):
        source, one, two = readings_of_a_ghost(truth, site_seed, 10e6)

        # What neighbours raise the neutral by lies between hot and ground too.
        assert one + two <= source + 2 * 8 * 0.7
        assert max(one, two) <= source


@pytest.mark.parametrize("truth", ["open-ground", "open-neutral"])
def test_a_low_impedance_meter_leaves_next_to_nothing_of_any_ghost(truth: str) -> None:
    """15 nF at most, 177 kilohm, behind 3 kilohm: a sixtieth of 142 V."""
    for site_seed in range(200):
        _, one, two = readings_of_a_ghost(truth, site_seed, 3e3)

        assert max(one, two) <= 142 * 3 / 177 + 0.1


@pytest.mark.parametrize("other", [190.0, 240.0])
def test_readings_of_a_floating_contact_that_sum_to_more_than_the_source_are_no_open_ground(
    other: float,
) -> None:
    volts = {"h-n": 120.0, "h-g": 90.0, "n-g": other - 90.0}
    answer = assess({"outlet": "TT-30", "volts": volts}, load())

    assert answer["faults"][0]["id"] != "open-ground"
    assert answer["verdict"] in ("test-more", "do-not-use")
