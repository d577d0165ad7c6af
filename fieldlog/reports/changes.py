"""What a correction changed, member by member."""

from collections.abc import Iterator, Mapping
from typing import Any

from fieldlog.reports.wording import step_words

# A judgement follows from the readings, and where the rig stood is nobody's business but the owner's.
_LEFT_OUT = ("judgement", "place")


def changes(before: Mapping[str, Any], after: Mapping[str, Any], names: Mapping[str, str]) -> tuple[str, ...]:
    """Give each member that differs as "what: before → after", with names in place of ids."""
    old, new = _shown_by_path(before, names), _shown_by_path(after, names)
    paths = [*old, *(path for path in new if path not in old)]
    differing = [path for path in paths if old.get(path) != new.get(path)]
    return tuple(
        f"{_named(path)}: {old.get(path, 'not given')} → {new.get(path, 'not given')}" for path in differing
    )


def _named(path: str) -> str:
    return step_words(path.removeprefix("check."))


def _shown_by_path(body: Mapping[str, Any], names: Mapping[str, str]) -> dict[str, str]:
    return {
        path: _shown(member, names) for path, member in _flat(body) if path.split(".")[0] not in _LEFT_OUT
    }


def _flat(body: Mapping[str, Any], within: str = "") -> Iterator[tuple[str, object]]:
    for name, member in body.items():
        if isinstance(member, Mapping):
            yield from _flat(member, f"{within}{name}.")
        else:
            yield f"{within}{name}", member


def _shown(member: object, names: Mapping[str, str]) -> str:
    if member is None:
        return "none"
    if isinstance(member, bool):
        return "yes" if member else "no"
    if isinstance(member, list):
        return ", ".join(_shown(each, names) for each in member) or "none"
    return names.get(str(member), str(member))
