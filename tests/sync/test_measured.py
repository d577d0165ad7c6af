"""Measured values as records carry them."""

import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.identity import is_identity, made_at_ms, uuid7
from fieldlog.model.measured import RANGES, check_input, measured, out_of_range
from fieldlog.rulebook import load
from tests.repository import ROOT

CASES = json.loads((ROOT / "tests/cases/measured.json").read_text(encoding="utf-8"))
EACH = pytest.mark.parametrize("case", CASES["cases"], ids=lambda case: case["name"])


@given(st.integers(0, 99999), st.sampled_from(["V", "A", "Hz", "%", "ms", "mA"]))
def test_a_number_with_its_unit_is_read(number: int, unit: str) -> None:
    assert measured(f"{number} {unit}", unit) == number


@pytest.mark.parametrize("text", CASES["not_measured"])
def test_anything_else_is_refused(text: str) -> None:
    with pytest.raises(ValueError):
        measured(text, "V")


@EACH
def test_every_measured_value_of_a_check_becomes_a_number(case: dict[str, Any]) -> None:
    assert check_input(case["check"]) == case["input"]


@EACH
def test_what_no_instrument_shows_is_named(case: dict[str, Any]) -> None:
    assert [list(found) for found in out_of_range(case["check"])] == case["out_of_range"]


def test_a_record_takes_what_the_assessment_takes() -> None:
    """The ranges of the rulebook's inputs; the percentage of a current is as wide as that of a meter."""
    inputs = load().raw["inputs"]
    ranges = {name: (entry["unit"], entry["low"], entry["high"]) for name, entry in inputs.items()}

    taken = {name: (span.unit, span.least, span.most) for name, span in RANGES.items()}
    assert taken == ranges | {"amps_percent": ranges["accuracy_percent"], "after": ranges["volts"]}


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
