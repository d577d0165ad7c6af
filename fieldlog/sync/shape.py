"""Holds a record against its schema and says in plain sentences what is wrong with it."""

import json
import re
from collections.abc import Iterator, Sequence
from functools import cache
from pathlib import Path
from typing import Any

import jsonschema_rs
from jsonschema import Draft202012Validator, ValidationError
from jsonschema.protocols import Validator
from jsonschema.validators import extend

from fieldlog.model.problem import Problem

SCHEMA = Path(__file__).resolve().parents[2] / "schemas" / "record.schema.json"


def problems_of_shape(record: Any) -> list[Problem]:
    """Give what the schema finds wrong, one problem a place; an empty list when it finds nothing."""
    if _quick_validator().is_valid(record):
        return []
    found: dict[str, Problem] = {}
    for error in sorted(
        _validator().iter_errors(record), key=lambda e: [str(step) for step in e.absolute_path]
    ):
        for problem in _problems(error):
            found.setdefault(problem.at, problem)
    return list(found.values())


def pointer(steps: Sequence[str | int]) -> str:
    """Write steps into a JSON value as a JSON pointer (RFC 6901)."""
    return "".join("/" + str(step).replace("~", "~0").replace("/", "~1") for step in steps)


@cache
def _validator() -> Validator:
    exact: type[Validator] = extend(Draft202012Validator, {"pattern": _pattern})  # type: ignore[no-untyped-call]  # it has no types
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


def _shown(value: Any) -> str:
    text = json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else text[:59] + "…"
