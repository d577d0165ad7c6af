"""What a 14-50 can show, by circuit theory: open contacts that read right, legs, bands.

Open contacts: a floating contact settles midway between the legs where its capacitances to both are alike,
which is where the neutral is; nodal analysis redone here by numpy over the plausible world
(tests/simulated). Bands between the legs: ANSI C84.1-2020 Table 1, twice those of 120 V for 240 V systems,
191 to 220 V for 208Y/120 (range B, from memory). Frequency: NEMA MG 1-12.44.1, 5 % of 60 Hz.
"""

import random
from typing import Any

import pytest

from fieldlog.engine import assess
from fieldlog.rulebook import load
from tests import simulated

EXACT = {"accuracy_percent": 0, "accuracy_volts": 0}
BARE = ("x-y", "x-n", "y-n", "x-g", "y-g", "n-g")
HIGH_METER_OHMS, LOW_METER_OHMS = 10e6, 3e3


def share_that_reads_right(truth: str, ohms: float, seed: int, outlets: int) -> float:
    """Give the share of plausible sites where no pair is off by more than 5 V from right wiring's."""
    rng, count = random.Random(seed), 0
    for _ in range(outlets):
        site = simulated.drawn_site(
            rng, truth, 114.0, 126.0, family="split-phase", legs=240, most_lift_volts=2.5
        )
        network = simulated.Network(site)
        read = {pair: network.across(pair, [(pair[0], pair[2], 1 / ohms)]) for pair in BARE}
        right = dict.fromkeys(BARE, site.volts) | {"x-y": 2 * site.volts, "n-g": 0.0}
        count += all(abs(read[pair] - right[pair]) <= 5.0 for pair in BARE)
    print(f"{truth}, seed {seed}, {ohms:g} ohm: {count} of {outlets} read right")
    return count / outlets


@pytest.mark.parametrize("truth", ["open-neutral", "open-ground"])
def test_about_a_tenth_of_open_contacts_read_right_by_a_high_impedance_meter(truth: str) -> None:
    assert 0.05 <= share_that_reads_right(truth, HIGH_METER_OHMS, 61, 600) <= 0.15


@pytest.mark.parametrize("truth", ["open-neutral", "open-ground"])
def test_no_open_contact_reads_right_by_a_low_impedance_meter(truth: str) -> None:
    assert share_that_reads_right(truth, LOW_METER_OHMS, 62, 200) == 0.0


READS_RIGHT = {"x-y": 240.2, "x-n": 119.6, "y-n": 119.8, "x-g": 120.1, "y-g": 120.1, "n-g": 0.4}


def judged(**check: Any) -> dict[str, Any]:
    return assess({"outlet": "14-50", "look": [], **check}, load())


def ids_of(answer: dict[str, Any]) -> list[str]:
    return [one["id"] for one in answer["findings"]]


def test_a_14_50_that_reads_right_by_a_high_impedance_meter_alone_is_not_used() -> None:
    answer = judged(volts=READS_RIGHT)

    assert answer["verdict"] == "test-more"
    assert "neutral-and-ground-not-shown" in ids_of(answer)


@pytest.mark.parametrize("contact", ["n", "g"])
def test_a_low_impedance_meter_shows_the_contact_that_nothing_holds(contact: str) -> None:
    low = READS_RIGHT | dict.fromkeys([pair for pair in BARE if contact in pair.split("-")], 0.2)
    answer = judged(volts=READS_RIGHT, more=[{"meter": {"input": "low-impedance"}, "volts": low}])

    assert answer["verdict"] == "do-not-use"
    assert answer["faults"][0]["id"] == {"n": "open-neutral", "g": "open-ground"}[contact]


def test_a_load_on_one_leg_shows_an_open_neutral() -> None:
    """The load pulls the floating neutral to its own leg: nothing across it, all across the other pair."""
    loaded = {
        "across": "x-n",
        "amps": 10.0,
        "volts": {"x-y": 240.2, "x-n": 0.1, "y-n": 240.1, "x-g": 120.1, "y-g": 120.1, "n-g": 120.0},
    }
    answer = judged(volts=READS_RIGHT, loaded=loaded)

    assert answer["verdict"] == "do-not-use"
    assert answer["faults"][0]["id"] == "open-neutral"


def test_both_hots_from_the_same_leg_are_named() -> None:
    """Common practice: nothing between the hots with both at 120 V; the neutral then carries the sum."""
    answer = judged(volts={"x-y": 0.1, "x-n": 120.0, "y-n": 120.0, "x-g": 120.1, "y-g": 120.1, "n-g": 0.3})

    assert (answer["faults"][0]["id"], answer["verdict"]) == ("same-leg", "do-not-use")


@pytest.mark.parametrize(("x_n", "y_n"), [(160.0, 80.0), (48.0, 192.0)])
def test_the_open_neutral_of_two_lamps_and_of_two_heaters_is_refused(x_n: float, y_n: float) -> None:
    """160 and 80 V behind 100 and 200 W, 48 and 192 V behind 1200 and 300 W: Ohm's law by hand."""
    rise = abs(x_n - 120.0)
    low = {"input": "low-impedance"}
    volts = {"x-y": 240.0, "x-n": x_n, "y-n": y_n, "x-g": 120.0, "y-g": 120.0, "n-g": rise}
    answer = judged(meter=low, volts=volts)

    assert (answer["faults"][0]["id"], answer["verdict"]) == ("lost-neutral", "do-not-use")


def legs_band(x_y: float, each: float) -> list[tuple[str, str]]:
    volts = {"x-y": x_y, "x-n": each, "y-n": each, "x-g": each, "y-g": each, "n-g": 0.0}
    found = judged(meter=EXACT, volts=volts)["findings"]
    return [(one["id"], one["level"]) for one in found if one["quantity"] == "x-y"]


@pytest.mark.parametrize(
    ("x_y", "expected"),
    [
        (207.8, [("voltage-low", "stop")]),  # 2 x 104, utilization range B
        (208.0, [("voltage-low", "limit")]),
        (219.8, [("voltage-low", "limit")]),
        (220.0, [("voltage-low", "note")]),  # service range B, 220 to 254 V
        (227.8, [("voltage-low", "note")]),
        (228.0, []),  # service range A, 228 to 252 V
        (252.0, []),
        (252.2, [("voltage-high", "note")]),
        (254.0, [("voltage-high", "note")]),
        (254.2, [("voltage-high", "limit")]),
        (264.2, [("voltage-high", "stop")]),  # 1.1 of 240 V, IEEE 1159
    ],
)
def test_between_the_legs_of_240_volts_the_bands_are_doubled(x_y: float, expected: list[Any]) -> None:
    assert legs_band(x_y, x_y / 2) == expected


@pytest.mark.parametrize(
    ("x_y", "level"), [(190.9, "limit"), (191.0, "note"), (208.0, "note"), (220.0, "note"), (220.1, "limit")]
)
def test_208_volts_between_the_legs_are_legal(x_y: float, level: str) -> None:
    """Between two phases of three the whole is 0.866 of the legs' sum: the square root of 3 over 2."""
    assert legs_band(x_y, x_y / 3**0.5) == [("legs-208", level)]


@pytest.mark.parametrize("share", [0.95, 0.999])
def test_just_above_the_border_the_legs_are_of_240_volts(share: float) -> None:
    """Own border, 0.94: neither kind of supply lies near it, which a meter without errors tells."""
    assert [name for name, _ in legs_band(240.0 * share, 120.0)] == ["legs-disagree"]


@pytest.mark.parametrize(
    ("volts", "level"), [(103.9, "stop"), (104.0, "limit"), (107.9, "limit"), (108.0, None)]
)
def test_under_load_the_utilization_range_counts(volts: float, level: str | None) -> None:
    """ANSI C84.1-2020, utilization: 108 V range A, 104 V range B (from memory)."""
    loaded = {"across": "x-n", "amps": 10.0, "volts": {"x-n": volts}}
    found = judged(meter=EXACT, volts=READS_RIGHT, loaded=loaded)["findings"]
    levels = [one["level"] for one in found if one["quantity"] == "loaded.x-n"]

    assert levels == ([level] if level else [])


@pytest.mark.parametrize(
    ("volts", "level"), [(103.9, "stop"), (104.0, "limit"), (107.9, "limit"), (108.0, "note"), (114.0, None)]
)
def test_in_the_rig_the_utilization_range_counts_on_every_leg(volts: float, level: str | None) -> None:
    legs = READS_RIGHT | {"y-n": volts}
    found = judged(meter=EXACT, where="rig", volts=legs)["findings"]
    levels = [one["level"] for one in found if one["quantity"] == "y-n"]

    assert levels == ([level] if level else [])


@pytest.mark.parametrize(("hertz", "is_found"), [(57.0, False), (63.0, False), (56.9, True), (63.1, True)])
def test_a_frequency_further_than_five_percent_off_is_a_limit(hertz: float, is_found: bool) -> None:
    found = judged(volts=READS_RIGHT, hertz=hertz)["findings"]

    assert [one["level"] for one in found if one["id"] == "frequency"] == (["limit"] if is_found else [])


@pytest.mark.parametrize("supply", ["generator", "inverter"])
def test_a_source_that_bonds_its_neutral_shows_no_rise_and_is_right(supply: str) -> None:
    """By circuit theory: at the source's own outlet, neutral and ground meet behind the contacts."""
    volts = {"h-n": 121.0, "h-g": 121.0, "n-g": 0.0}
    loaded = {"across": "h-n", "amps": 12.0, "volts": {"h-n": 116.0, "h-g": 116.0, "n-g": 0.0}}
    check = {"outlet": "5-20", "supply": supply, "look": [], "volts": volts, "loaded": loaded}

    assert assess(check, load())["verdict"] in ("use", "use-limited")


def test_the_same_at_a_pedestal_of_a_utility_is_never_plain_use_of_a_hidden_bond() -> None:
    volts = {"h-n": 121.0, "h-g": 121.0, "n-g": 0.0}
    loaded = {"across": "h-n", "amps": 12.0, "volts": {"h-n": 116.0, "h-g": 116.0, "n-g": 0.0}}
    answer = assess({"outlet": "TT-30", "look": [], "volts": volts, "loaded": loaded}, load())

    bonded = {"neutral-ground-bonded", "reversed-with-bonded-ground"}
    assert answer["faults"][0]["id"] in bonded or bonded & set(answer["not_ruled_out"])
    assert answer["verdict"] in ("test-more", "do-not-use")
