"""Holds a record against its schema and says in plain sentences what is wrong with it.

Whoever is signed in can send any JSON here. So the sentences are sought one by one, until there are enough,
and nothing takes more steps than the record has bytes: a list that is too long is not looked into, and twins
are found by a set.
"""

import json
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from itertools import islice
from pathlib import Path
from typing import Any, Final

import jsonschema_rs
from jsonschema import Draft202012Validator, ValidationError
from jsonschema.protocols import Validator
from jsonschema.validators import extend

from fieldlog.model.problem import Problem

SCHEMA = Path(__file__).resolve().parents[2] / "schemas" / "record.schema.json"
# Own choice: more than a person mends at once, and an answer that stays a small part of what was sent.
MOST_PROBLEMS: Final = 20
MORE: Final = f"More is wrong with it than these {MOST_PROBLEMS}; mend them first, then send it again."
# Own choice: a pointer to a member of ours is shorter; a longer one holds a name that somebody made up.
LONGEST_AT: Final = 200


def problems_of_shape(record: Any) -> list[Problem]:
    """Give what the schema finds wrong, one problem a place; an empty list when it finds nothing."""
    if _quick_validator().is_valid(record):
        return []
    found = first_of(_one_a_place(p for error in _validator().iter_errors(record) for p in _problems(error)))
    return sorted(found[:MOST_PROBLEMS], key=lambda each: each.at.split("/")) + found[MOST_PROBLEMS:]


def first_of(problems: Iterable[Problem]) -> list[Problem]:
    """Give as many problems as are told of one record, and a last one that says that there are more."""
    found = [Problem(_short(each.at), each.problem) for each in islice(problems, MOST_PROBLEMS + 1)]
    return found if len(found) <= MOST_PROBLEMS else [*found[:MOST_PROBLEMS], Problem("", MORE)]


def pointer(steps: Sequence[str | int]) -> str:
    """Write steps into a JSON value as a JSON pointer (RFC 6901)."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in steps)


@cache
def _validator() -> Validator:
    items: Callable[..., Iterator[ValidationError]] = Draft202012Validator.VALIDATORS["items"]
    ours = {"pattern": _pattern, "items": _unless_too_long(items), "uniqueItems": _unless_too_long(_unique)}
    exact: type[Validator] = extend(Draft202012Validator, ours)  # type: ignore[no-untyped-call]  # it has no types
    return exact(_schema())


@cache
def _quick_validator() -> jsonschema_rs.Draft202012Validator:
    """Give what says yes or no a hundred times as fast; why not is the slower one's to say."""
    # It takes five blank characters for written ones that Python's \s does not.
    text = json.dumps(_schema()).replace(r'"pattern": "\\S"', r'"pattern": "[^\\s\\x1c-\\x1f\\x85]"')
    return jsonschema_rs.Draft202012Validator(json.loads(text))


@cache
def _schema() -> dict[str, Any]:
    schema: dict[str, Any] = json.loads(SCHEMA.read_text(encoding="utf-8"))
    return schema


def _pattern(_validator: Any, pattern: str, instance: Any, _schema: Any) -> Iterator[ValidationError]:
    """Match as ECMA 262 does, where $ is the very end; Python's $ also stands before a last newline."""
    python = re.sub(r"\$$", r"\\Z", pattern)
    if isinstance(instance, str) and not re.search(python, instance):
        yield ValidationError(f"does not match {pattern}")


def _unless_too_long(check: Callable[..., Iterator[ValidationError]]) -> Callable[..., Any]:
    """Have a list that is too long not looked into; that it is too long is said by maxItems."""

    def unless(validator: Any, value: Any, instance: Any, schema: Any) -> Iterator[ValidationError]:
        is_too_long = isinstance(instance, list) and len(instance) > schema["maxItems"]
        return iter(()) if is_too_long else check(validator, value, instance, schema)

    return unless


def _unique(_validator: Any, _value: Any, instance: Any, _schema: Any) -> Iterator[ValidationError]:
    if isinstance(instance, list) and len({_written(item) for item in instance}) < len(instance):
        yield ValidationError("has the same entry twice")


def _written(value: Any) -> str:
    """Write a value; what JSON Schema takes for the same, as 1 and 1.0, is the same text."""
    if isinstance(value, float) and value.is_integer():
        value = int(value)
    return json.dumps(value, sort_keys=True)


def _problems(error: Any) -> Iterator[Problem]:
    at = pointer(list(error.absolute_path))
    match error.validator:
        case "required":
            for name in error.validator_value:
                if name not in error.instance:
                    yield Problem(f"{at}/{name}", _missing(name, error))
        case "additionalProperties":
            for name in error.instance:
                if name not in error.schema["properties"]:
                    yield Problem(at + pointer([name]), f"{_shown(name)} is not known here; remove it.")
        case "enum" if "propertyNames" in error.absolute_schema_path:
            yield Problem(at + pointer([error.instance]), _not_what(error))
        case "anyOf":
            yield Problem(at, "Nothing was read: give volts, lamps, look or trip.")
        case _:
            yield Problem(at, _sentence(error))


def _sentence(error: Any) -> str:
    match error.validator:
        case "maxLength":
            return f"It has {len(error.instance)} characters; shorten it to {error.validator_value}."
        case "minLength":
            return "It is empty; write something."
        case "maxItems":
            return f"It has {len(error.instance)} entries; the most is {error.validator_value}."
        case "uniqueItems":
            return "The same entry stands in it twice; keep one of them."
    return _not_what(error)


def _not_what(error: Any) -> str:
    expected = error.schema.get("description", "what is expected here")
    return f"{_shown(error.instance)} is not {expected}."


def _missing(name: str, error: Any) -> str:
    expected = _described(error.schema.get("properties", {}).get(name, {}))
    return f"{name} is missing; give {expected or 'it'}."


def _described(schema: Any) -> str | None:
    if not isinstance(schema, dict):
        return None
    if "$ref" in schema:
        return _described(_schema()["$defs"][schema["$ref"].rsplit("/", 1)[1]])
    return schema.get("description")


def _one_a_place(problems: Iterable[Problem]) -> Iterator[Problem]:
    places: set[str] = set()
    for problem in problems:
        if problem.at not in places:
            places.add(problem.at)
            yield problem


def _short(at: str) -> str:
    """Give the place, or the last one above it that has no long name in its way."""
    return at if len(at) <= LONGEST_AT else at[: at.rfind("/", 0, LONGEST_AT + 1)]


def _shown(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else text[:59] + "…"
