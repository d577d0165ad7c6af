"""Measured values as records carry them."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.identity import is_identity, made_at_ms, uuid7
from fieldlog.model.measured import check_input, measured, out_of_range
from tests.builders import a_check
from tests.sync.test_shape import FULL_CHECK


@given(st.integers(0, 99999), st.sampled_from(["V", "A", "Hz", "%", "ms", "mA"]))
def test_a_number_with_its_unit_is_read(number: int, unit: str) -> None:
    assert measured(f"{number} {unit}", unit) == number


@pytest.mark.parametrize(
    "text", ["", "1", "1 A", "1  V", "1V", "-1 V", "1e3 V", "1 V\n", "nan V", "\u0661 V", "1,5 V", "1_0 V"]
)
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        measured(text, "V")


def test_every_measured_value_of_a_check_becomes_a_number() -> None:
    assert check_input(FULL_CHECK) == FULL_CHECK | {
        "breaker_amps": 30.0,
        "hertz": 60.0,
        "meter": {"input": "high-impedance", "accuracy_percent": 1.0, "accuracy_volts": 0.3},
        "volts": {"h-n": 121.3, "h-g": 121.0, "n-g": 0.4},
        "loaded": {"across": "h-n", "amps": 12.0, "amps_percent": 5.0, "volts": {"h-n": 116.9}},
        "more": [{"state": "unplugged", "volts": {"h-n": 121.0}}],
        "trip": [
            {"by": "external", "device": "this", "tripped": True, "milliseconds": 24.0, "milliamps": 7.0},
        ],
    }


def test_what_was_not_measured_stays_away() -> None:
    assert check_input({"outlet": "5-15", "look": []}) == {"outlet": "5-15", "look": []}


@pytest.mark.parametrize(
    ("check", "at"),
    [
        (a_check(volts={"n-g": "600.1 V"}), ["/volts/n-g"]),
        (a_check(volts={"n-g": "600 V", "h-n": "0 V"}), []),
        (a_check(hertz="29.9 Hz"), ["/hertz"]),
        (a_check(breaker_amps="0 A"), ["/breaker_amps"]),
        (a_check(loaded={"amps": "0.0 A", "volts": {"h-n": "700 V"}}), ["/loaded/amps", "/loaded/volts/h-n"]),
        (
            a_check(more=[{"state": "unplugged", "meter": {"accuracy_volts": "20.5 V"}}]),
            ["/more/0/meter/accuracy_volts"],
        ),
        (FULL_CHECK, []),
    ],
)
def test_what_no_instrument_shows_is_named(check: dict[str, object], at: list[str]) -> None:
    assert [place for place, _ in out_of_range(check)] == at


def test_the_id_of_the_standards_example_is_laid_out() -> None:
    """RFC 9562, appendix A.6."""
    made = uuid7(0x017F22E279B0, 0xCC3, 0x18C4DC0C0C07398F)

    assert made == "017F22E2-79B0-7CC3-98C4-DC0C0C07398F".lower()
    assert made_at_ms(made) == 1645557742000


@given(st.integers(0, 2**48 - 1), st.integers(0, 2**12 - 1), st.integers(0, 2**62 - 1))
def test_every_id_has_the_form_and_its_time(unix_ms: int, rand_a: int, rand_b: int) -> None:
    made = uuid7(unix_ms, rand_a, rand_b)

    assert is_identity(made)
    assert made_at_ms(made) == unix_ms


@given(st.integers(0, 2**48 - 2), st.integers(0, 2**12 - 1), st.integers(0, 2**62 - 1))
def test_later_ids_sort_later(unix_ms: int, rand_a: int, rand_b: int) -> None:
    assert uuid7(unix_ms, rand_a, rand_b) < uuid7(unix_ms + 1, 0, 0)


@pytest.mark.parametrize(
    ("unix_ms", "rand_a", "rand_b"), [(2**48, 0, 0), (0, 2**12, 0), (0, 0, 2**62), (-1, 0, 0)]
)
def test_what_does_not_fit_is_refused(unix_ms: int, rand_a: int, rand_b: int) -> None:
    with pytest.raises(ValueError):
        uuid7(unix_ms, rand_a, rand_b)
