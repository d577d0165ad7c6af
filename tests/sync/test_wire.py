"""Reading JSON strictly."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from fieldlog.errors import BadInput
from fieldlog.sync.wire import MOST_EXACT, MOST_LEVELS, parse_strictly

JSON = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-MOST_EXACT, MOST_EXACT)
    | st.floats(allow_nan=False, allow_infinity=False)
    | st.text(),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=10,
)


@given(JSON)
def test_what_is_json_is_read_as_it_stands(value: object) -> None:
    assert parse_strictly(json.dumps(value).encode()) == value


@pytest.mark.parametrize(
    ("body", "sentence"),
    [
        (b"", "not JSON"),
        (b"{", "not JSON"),
        (b'{"a": 1,}', "not JSON"),
        (b"{'a': 1}", "not JSON"),
        (b'{"a": 1} x', "not JSON"),
        (b'{"a": 01}', "not JSON"),
        (b'{"a": .5}', "not JSON"),
        (b'"\x00"', "not JSON"),
        (b"\xef\xbb\xbf{}", "not JSON"),
        (b"\xff", "not UTF-8"),
        ('{"a": 1}'.encode("utf-16"), "not UTF-8"),
        (b'"\xed\xa0\x80"', "not UTF-8"),
        (b'{"a": 1, "a": 2}', 'The member "a" stands twice'),
        (b'{"x": [{"a": {}, "b": 1, "a": 3}]}', 'The member "a" stands twice'),
        (b'{"a": NaN}', "NaN is not a JSON number"),
        (b"[Infinity]", "Infinity is not a JSON number"),
        (b"[-Infinity]", "-Infinity is not a JSON number"),
        (b"[1e999]", "too large"),
        (b"[-1e999]", "too large"),
        (b"[9007199254740992]", "too large to be kept exactly"),
        (b"[-9007199254740992]", "too large to be kept exactly"),
        (b"[" + b"9" * 5000 + b"]", "too large to be kept exactly"),
        (b"[" * 21 + b"]" * 21, "nested more than"),
        (b"[" * 200_000, "nested more than"),
        (b'{"a":' * 100_000, "nested more than"),
        (b"[" * 50_000 + b"]" * 50_000, "nested more than"),
    ],
)
def test_what_could_be_read_in_two_ways_or_not_at_all_is_refused_with_a_sentence(
    body: bytes, sentence: str
) -> None:
    with pytest.raises(BadInput) as caught:
        parse_strictly(body)

    assert sentence in caught.value.problems[0].problem


@pytest.mark.parametrize("number", [MOST_EXACT, -MOST_EXACT, 0])
def test_whole_numbers_are_exact_up_to_the_border(number: int) -> None:
    assert parse_strictly(str(number).encode()) == number


def test_the_deepest_nesting_that_is_allowed_is_read() -> None:
    body = b"[" * MOST_LEVELS + b"]" * MOST_LEVELS

    assert parse_strictly(body)


@given(st.binary(max_size=60))
def test_no_bytes_end_in_anything_but_a_value_or_a_problem(body: bytes) -> None:
    try:
        parse_strictly(body)
    except BadInput as error:
        assert error.problems
