"""The drawing of a rig's map for paper: each part below what feeds it, with what guards it. Pure."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Final

from fieldlog.reports.map_words import part_guard_words
from fieldlog.reports.rig_map import DrawnRig
from fieldlog.words.map_parts import name_of, part_words, side_words, wire_words

GUARDED: Final = "guarded"
BARE: Final = "bare"
DEEPEST: Final = 12
"""Own choice: deeper parts stand no further to the right, where no room is left, and name what feeds them."""


@dataclass(frozen=True)
class TreePart:
    """A part of the map and all that hangs on it.

    Parameters
    ----------
    name, what : str
        What its owner calls it, and what it is.
    feed : str
        By which wire it is fed, from which side and in which modes; "" where it begins the map.
    guard : str
        What guards it, in a sentence; "" for what is never asked.
    tone : str
        GUARDED where something guards it in every mode with power, BARE where nothing does in one, else "".
    is_again : bool
        Whether it stands above already, with what hangs on it.
    below : tuple of TreePart
        What it feeds, in the order of the map.
    """

    name: str
    what: str
    feed: str
    guard: str
    tone: str
    is_again: bool
    below: tuple["TreePart", ...] = ()


_Run = tuple[int, Mapping[str, Any]]


def map_tree(drawn: DrawnRig) -> tuple[TreePart, ...]:
    """Give what begins the map, with all that hangs on it; what is fed twice stands whole once."""
    return _nested(list(_Rows(drawn)))


@dataclass(frozen=True)
class _Row:
    """A part, how deep it stands, and all that is said of it but what it feeds."""

    depth: int
    part: TreePart


class _Rows:
    """The parts of a map in the order in which they are drawn, the fed ones right below what feeds them."""

    def __init__(self, drawn: DrawnRig) -> None:
        self._drawn = drawn
        self._parts: dict[str, Mapping[str, Any]] = {part["id"]: part for part in drawn.body["parts"]}
        self._runs: dict[str, list[_Run]] = defaultdict(list)
        for number, run in enumerate(drawn.body["runs"]):
            self._runs[run["from"]].append((number, run))
        self._told: set[str] = set()

    def __iter__(self) -> Iterator[_Row]:
        """Begin with what nothing feeds; what then is left goes round in a circle, and begins anywhere."""
        fed = {run["to"] for run in self._drawn.body["runs"]}
        for identity in (*(each for each in self._parts if each not in fed), *self._parts):
            if identity not in self._told:
                yield from self._from(identity)

    def _from(self, root: str) -> Iterator[_Row]:
        waiting: list[tuple[str, str, int]] = [(root, "", 1)]
        while waiting:
            identity, feed, depth = waiting.pop()
            is_again = identity in self._told
            self._told.add(identity)
            yield _Row(min(depth, DEEPEST), self._part(identity, feed, is_again=is_again))
            runs = () if is_again else reversed(self._runs[identity])
            waiting += [(run["to"], self._feed(number, run, depth), depth + 1) for number, run in runs]

    def _part(self, identity: str, feed: str, *, is_again: bool) -> TreePart:
        part = self._parts[identity]
        guard = "" if is_again else part_guard_words(self._drawn, identity)
        tone = "" if is_again else self._tone(identity)
        return TreePart(str(part["name"]), part_words(part), feed, guard, tone, is_again)

    def _feed(self, number: int, run: Mapping[str, Any], depth: int) -> str:
        modes: Mapping[str, Any] = self._drawn.body["modes"]
        live = [mode for mode, told in modes.items() if number not in told["without"]]
        only = f"only in {' and '.join(live)}" if live else "in no mode"
        words = (
            f"from {name_of(self._drawn.body, run['from'])}" if depth >= DEEPEST else "",
            side_words(self._drawn.body, run),
            wire_words(run),
            only if len(live) < len(modes) else "",
        )
        return ", ".join(word for word in words if word)

    def _tone(self, identity: str) -> str:
        protections = self._drawn.protections.values()
        if any(identity in one.unguarded or identity in one.disproved for one in protections):
            return BARE
        return GUARDED if any(one.protected_by.get(identity) for one in protections) else ""


def _nested(rows: Sequence[_Row]) -> tuple[TreePart, ...]:
    """Put each row below the last one before it that stands less deep."""
    found, at = [], 0
    while at < len(rows):
        end = next((n for n in range(at + 1, len(rows)) if rows[n].depth <= rows[at].depth), len(rows))
        found.append(replace(rows[at].part, below=_nested(rows[at + 1 : end])))
        at = end
    return tuple(found)
