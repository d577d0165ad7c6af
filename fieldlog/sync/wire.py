"""Reads JSON strictly: what two parsers could read in two ways is refused before it gets a hash."""

import json
from typing import Any, NoReturn

from fieldlog.errors import BadInput
from fieldlog.model.problem import Problem

MOST_LEVELS = 20
MOST_EXACT = 2**53 - 1  # RFC 8785 and every browser keep whole numbers exactly up to here


def parse_strictly(data: bytes) -> Any:
    """Give the JSON value in the bytes, or raise BadInput with a sentence."""
    try:
        value = json.loads(
            data.decode("utf-8"),
            object_pairs_hook=_object,
            parse_constant=_constant,
            parse_int=_whole,
            parse_float=_decimal,
        )
    except UnicodeDecodeError:
        _refuse("The body is not UTF-8 text; send it as UTF-8.")
    except RecursionError:
        _refuse_depth()
    except json.JSONDecodeError as error:
        _refuse(f"The body is not JSON: {error.msg} in line {error.lineno}, column {error.colno}.")
    if _levels(value) > MOST_LEVELS:
        _refuse_depth()
    return value


def _object(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    value = dict(pairs)
    if len(value) < len(pairs):
        seen: set[str] = set()
        twice = next(name for name, _ in pairs if name in seen or seen.add(name))  # type: ignore[func-returns-value]  # add gives None, which is meant
        _refuse(f"The member {_clipped(twice)} stands twice in one object; keep one of them.")
    return value


def _constant(text: str) -> NoReturn:
    _refuse(f"{text} is not a JSON number; leave the value out or send null.")


def _whole(text: str) -> int:
    if len(text) > 17 or abs(int(text)) > MOST_EXACT:
        _refuse(
            f"The whole number {_clipped(text)} is too large to be kept exactly; the most is {MOST_EXACT}."
        )
    return int(text)


def _decimal(text: str) -> float:
    number = float(text)
    if number in (float("inf"), float("-inf")):
        _refuse(f"The number {_clipped(text)} is too large.")
    return number


def _levels(value: Any) -> int:
    """Count how deep objects and lists are nested, without recursion."""
    levels, row = 0, [value]
    while row and levels <= MOST_LEVELS:
        row = [inner for outer in row for inner in _inside(outer)]
        levels += 1
    return levels


def _inside(value: Any) -> list[Any]:
    if isinstance(value, dict):
        return list(value.values())
    return value if isinstance(value, list) else []


def _clipped(text: str) -> str:
    return json.dumps(text if len(text) <= 40 else text[:39] + "…", ensure_ascii=False)


def _refuse_depth() -> NoReturn:
    _refuse(f"The body is nested more than {MOST_LEVELS} levels deep; no record is.")


def _refuse(sentence: str) -> NoReturn:
    raise BadInput([Problem("", sentence)])
