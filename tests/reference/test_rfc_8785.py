"""Canonical JSON against RFC 8785: the examples of its sections 3.2.2 and 3.2.3 and its Appendix B.

The numbers are those of Appendix B as the RFC's public test files print them; the order of names in section
3.2.3 and the string of section 3.2.2 are from memory of the RFC.
"""

import json
import struct
import subprocess
from typing import Any

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.model.canonical import canonical
from tests.node import answer_of_node

NUMBERS = [
    ("0000000000000000", "0"),
    ("8000000000000000", "0"),
    ("0000000000000001", "5e-324"),
    ("7fefffffffffffff", "1.7976931348623157e+308"),
    ("4340000000000000", "9007199254740992"),
    ("4430000000000000", "295147905179352830000"),
    ("44b52d02c7e14af5", "9.999999999999997e+22"),
    ("44b52d02c7e14af6", "1e+23"),
    ("44b52d02c7e14af7", "1.0000000000000001e+23"),
    ("444b1ae4d6e2ef4e", "999999999999999700000"),
    ("444b1ae4d6e2ef4f", "999999999999999900000"),
    ("444b1ae4d6e2ef50", "1e+21"),
    ("3eb0c6f7a0b5ed8c", "9.999999999999997e-7"),
    ("3eb0c6f7a0b5ed8d", "0.000001"),
    ("41b3de4355555553", "333333333.3333332"),
    ("41b3de4355555554", "333333333.33333325"),
    ("41b3de4355555555", "333333333.3333333"),
    ("41b3de4355555556", "333333333.3333334"),
    ("41b3de4355555557", "333333333.33333343"),
    ("becbf647612f3696", "-0.0000033333333333333333"),
    ("43143ff3c1cb0959", "1424953923781206.2"),
]
SAMPLES: list[tuple[Any, str]] = [
    (
        {
            "numbers": [1e30, 4.50, 333333333.33333329, 2e-3, 0.000000000000000000000000001],
            "string": '\u20ac$\u000f\nA\'B"\\\\"/',
            "literals": [None, True, False],
        },
        '{"literals":[null,true,false],"numbers":[1e+30,4.5,333333333.3333333,0.002,1e-27],'
        '"string":"\u20ac$\\u000f\\nA\'B\\"\\\\\\\\\\"/"}',
    ),
    ([56, {"d": True, "10": None, "1": []}], '[56,{"1":[],"10":null,"d":true}]'),
    (
        {
            "\u20ac": "Euro Sign",
            "\r": "Carriage Return",
            "\ufb33": "Hebrew Letter Dalet With Dagesh",
            "1": "One",
            "\U0001f600": "Emoji: Grinning Face",
            "\u0080": "Control",
            "\u00f6": "Latin Small Letter O With Diaeresis",
        },
        '{"\\r":"Carriage Return","1":"One","\u0080":"Control",'
        '"\u00f6":"Latin Small Letter O With Diaeresis","\u20ac":"Euro Sign",'
        '"\U0001f600":"Emoji: Grinning Face","\ufb33":"Hebrew Letter Dalet With Dagesh"}',
    ),
]


def double(bits: str) -> float:
    return float(struct.unpack(">d", bytes.fromhex(bits))[0])


@pytest.mark.parametrize(("bits", "text"), NUMBERS)
def test_a_number_is_written_as_in_appendix_b(bits: str, text: str) -> None:
    assert canonical(double(bits)).decode() == text


@pytest.mark.parametrize("bits", ["7fffffffffffffff", "7ff0000000000000"])
def test_no_number_is_refused(bits: str) -> None:
    with pytest.raises(rfc8785.CanonicalizationError):
        canonical(double(bits))


@pytest.mark.parametrize(("value", "text"), SAMPLES)
def test_a_sample_is_written_as_in_the_rfc(value: Any, text: str) -> None:
    assert canonical(value).decode() == text


def test_the_browsers_side_writes_the_same() -> None:
    values = [double(bits) for bits, _ in NUMBERS] + [value for value, _ in SAMPLES]
    sent = "\n".join(json.dumps(value) for value in values)

    written = answer_of_node("canonical", sent).splitlines()

    assert written == [text for _, text in NUMBERS] + [text for _, text in SAMPLES]


NUMBERS_DRAWN = st.integers(-(2**53) + 1, 2**53 - 1) | st.floats(allow_nan=False, allow_infinity=False)
VALUES = st.recursive(
    st.none()
    | st.booleans()
    | NUMBERS_DRAWN
    | st.text()
    | st.sampled_from(['":1e-5,', '":1.0,', '":1.5', ",1e3", "[0.0", "\ufb33\U0001f600"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=12,
)


@given(VALUES)
def test_whatever_the_value_the_text_is_that_of_the_writer_made_for_it(value: Any) -> None:
    assert canonical(value) == rfc8785.dumps(value)


@pytest.mark.parametrize("value", [2**53, -(2**53), [2**53], {"a": [2**60]}, 10**30])
def test_a_whole_number_that_no_browser_keeps_exactly_is_refused(value: Any) -> None:
    with pytest.raises(rfc8785.CanonicalizationError):
        canonical(value)


def test_half_a_character_is_refused_on_both_sides() -> None:
    with pytest.raises(rfc8785.CanonicalizationError):
        canonical("\ud800")
    with pytest.raises(subprocess.CalledProcessError):
        answer_of_node("canonical", json.dumps("\ud800"))
