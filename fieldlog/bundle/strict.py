"""Reads JSON so that one text has one meaning, or none."""

import json
from typing import Any, Final

from fieldlog.bundle.refused import Refused

MOST_BYTES: Final = 64 * 1024 * 1024
"""Own choice: a hundred times a busy rig's ten years."""
MOST_WHOLE: Final = 2**53 - 1
"""The largest whole number that every reader takes exactly (RFC 8259, section 6; RFC 7493, section 2.2)."""
DEEPEST: Final = 60
"""Own choice: five times as deep as any record of ours."""


def read_strictly(text: bytes) -> Any:
    """Read a JSON text.

    Raises
    ------
    Refused
        Where it is no JSON or no UTF-8, names a member twice, holds NaN, an infinity, half a character pair
        or a number that readers round unlike, is larger than MOST_BYTES or nested deeper than DEEPEST.

    References
    ----------
    RFC 7493, The I-JSON Message Format, 2015: section 2.1 encoding, 2.2 numbers, 2.3 names of members.
    """
    if len(text) > MOST_BYTES:
        raise Refused("too-large", most=MOST_BYTES // 1024**2)
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
        raise Refused("no-utf-8") from error
    except (ValueError, RecursionError) as error:
        raise Refused("no-json") from error
    if _is_deeper(value, DEEPEST):
        raise Refused("too-deep", most=DEEPEST)
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
        raise Refused("twice", name=twice[:40])
    return found


def _no_constant(_name: str) -> Any:
    raise Refused("no-number")


def _whole(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > MOST_WHOLE:
        raise Refused("no-number")
    return int(text)


def _finite(text: str) -> float:
    number = float(text)
    if abs(number) == float("inf"):
        raise Refused("no-number")
    return number
