"""Reads JSON so that one text has one meaning, or none."""

import json
from typing import Any, Final

from fieldlog.errors import FieldlogError

MOST_BYTES: Final = 64 * 1024 * 1024
"""Own choice: a hundred times a busy rig's ten years."""
MOST_WHOLE: Final = 2**53 - 1
"""The largest whole number that every reader takes exactly (RFC 8259, section 6; RFC 7493, section 2.2)."""
DEEPEST: Final = 60
"""Own choice: five times as deep as any record of ours."""


class NotStrict(FieldlogError):
    """A text is no JSON, or may be read in two ways."""

    def __init__(self, reason: str) -> None:
        super().__init__(f"This is not a signed record that can be read in one way only: {reason}.")


def read_strictly(text: bytes) -> Any:
    """Read a JSON text.

    Raises
    ------
    NotStrict
        Where it is no JSON or no UTF-8, names a member twice, holds NaN, an infinity, half a character pair
        or a number that readers round unlike, is larger than MOST_BYTES or nested deeper than DEEPEST.

    References
    ----------
    RFC 7493, The I-JSON Message Format, 2015: section 2.1 encoding, 2.2 numbers, 2.3 names of members.
    """
    if len(text) > MOST_BYTES:
        raise NotStrict(f"it has more than {MOST_BYTES // 1024**2} MB")
    try:
        value = json.loads(
            text.decode("utf-8"),
            object_pairs_hook=_once_each,
            parse_constant=_no_constant,
            parse_int=_whole,
            parse_float=_finite,
        )
        json.dumps(value, ensure_ascii=False).encode("utf-8")
    except UnicodeError as error:
        raise NotStrict("it is not written in UTF-8, or holds half a character") from error
    except (ValueError, RecursionError) as error:
        raise NotStrict("it is no JSON") from error
    if _is_deeper(value, DEEPEST):
        raise NotStrict(f"it is nested deeper than {DEEPEST} levels")
    return value


def _is_deeper(value: Any, levels: int) -> bool:
    if not isinstance(value, (dict, list)):
        return False
    held = value.values() if isinstance(value, dict) else value
    return levels == 0 or any(_is_deeper(each, levels - 1) for each in held)


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise NotStrict(f"the member {twice[:40]!r} stands twice in one object")
    return found


def _no_constant(name: str) -> Any:
    raise NotStrict(f"it holds {name}, which is no number")


def _whole(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > MOST_WHOLE:
        raise NotStrict(f"the number {text[:40]} is larger than readers take exactly")
    return int(text)


def _finite(text: str) -> float:
    number = float(text)
    if abs(number) == float("inf"):
        raise NotStrict(f"the number {text[:40]} is larger than readers take")
    return number
