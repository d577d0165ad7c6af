"""Reads the members of a JSON object one by one, and keeps every problem it meets."""

from collections.abc import Mapping, Sequence
from typing import Any, TypeGuard

from fieldlog.model.problem import Problem
from fieldlog.model.span import Span

_OBJECT = "must be an object with named members."
_LIST = "must be a list."
_NEEDED = "is needed."


class Fields:
    """Collects problems, each with the JSON pointer of its member, while an input is read."""

    def __init__(self) -> None:
        self.problems: list[Problem] = []

    def problem(self, at: str, words: str) -> None:
        """Keep one problem."""
        self.problems.append(Problem(at, words))

    def members(self, value: Any, at: str, known: Sequence[str], needed: Sequence[str]) -> Mapping[str, Any]:
        """Give an object, having named the members that it lacks or has too many; {} where it is none."""
        if not is_object(value):
            self.problem(at, _OBJECT)
            return {}
        for name in sorted(value, key=lambda text: text.encode("utf-16-be", "surrogatepass")):
            if name not in known:
                self.problem(f"{at}/{escaped(name)}", "is not a field here; take it out.")
        for name in needed:
            if name not in value:
                self.problem(f"{at}/{name}", _NEEDED)
        return value

    def items(self, value: Mapping[str, Any], name: str, at: str = "") -> Sequence[Any]:
        """Give a list, empty where the member is missing or no list."""
        found = value.get(name, [])
        if not _is_list(found):
            self.problem(f"{at}/{name}", _LIST)
            return ()
        return found

    def named(self, value: Mapping[str, Any], name: str, at: str = "") -> Mapping[str, Any]:
        """Give an object whose members may have any name, empty where it is missing."""
        found = value.get(name, {})
        if not is_object(found):
            self.problem(f"{at}/{name}", _OBJECT)
            return {}
        return found

    def text(self, value: Mapping[str, Any], name: str, at: str, most: int = 80) -> str:
        """Give a text of 1 to `most` characters, "" where it is missing or bad."""
        if name not in value:
            return ""
        found = value[name]
        if not isinstance(found, str) or not 1 <= len(found) <= most:
            self.problem(f"{at}/{name}", f"must be text of 1 to {most} characters.")
            return ""
        return found

    def choice(self, value: Mapping[str, Any], name: str, at: str, allowed: Sequence[str | int]) -> Any:
        """Give one of the allowed values, None where it is missing or another."""
        if name not in value:
            return None
        found = value[name]
        if isinstance(found, bool) or not isinstance(found, str | int) or found not in allowed:
            self.problem(f"{at}/{name}", f"must be one of {', '.join(str(one) for one in allowed)}.")
            return None
        return found

    def flag(self, value: Mapping[str, Any], name: str, at: str) -> bool:
        """Give a truth value, false where it is missing."""
        found = value.get(name, False)
        if not isinstance(found, bool):
            self.problem(f"{at}/{name}", "must be true or false.")
            return False
        return found

    def number(self, value: Mapping[str, Any], name: str, at: str, most: float, unit: str) -> float | None:
        """Give a number above 0 to `most`, None where it is missing, null or out of range."""
        found = value.get(name)
        if found is None:
            return None
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_number or not 0 < found <= most:
            self.problem(f"{at}/{name}", f"must be a number above 0 to {most:g} {unit}.")
            return None
        return float(found)

    def from_zero(self, value: Mapping[str, Any], name: str, at: str, most: float, unit: str) -> float | None:
        """Give a number from 0 to `most`, None where it is missing, null or out of range."""
        if value.get(name) == 0 and not isinstance(value[name], bool):
            return 0.0
        return self.number(value, name, at, most, unit)

    def spanned(self, value: Mapping[str, Any], name: str, at: str, span: Span) -> float | None:
        """Give a number of a range of the book, None where it is missing, null or out of range."""
        read = self.number if span.is_above else self.from_zero
        return read(value, name, at, span.most, span.unit)

    def whole(self, value: Mapping[str, Any], name: str, at: str, least: int, most: int) -> int | None:
        """Give a whole number from `least` to `most`, None where it is missing, null or out of range."""
        found = value.get(name)
        return None if found is None else self.one_whole(found, f"{at}/{name}", least, most)

    def one_whole(self, found: Any, at: str, least: int, most: int) -> int | None:
        """Give what was found as a whole number in its range, or None."""
        is_number = isinstance(found, int | float) and not isinstance(found, bool)
        if not is_number or found != found // 1 or not least <= found <= most:
            self.problem(at, f"must be a whole number from {least} to {most}.")
            return None
        return int(found)


def escaped(name: str) -> str:
    """Give a member's name as a part of a JSON pointer."""
    return name.replace("~", "~0").replace("/", "~1")


def is_object(value: Any) -> TypeGuard[Mapping[str, Any]]:
    """Say whether a JSON value is an object."""
    return isinstance(value, Mapping)


def _is_list(value: Any) -> TypeGuard[Sequence[Any]]:
    return isinstance(value, list)
