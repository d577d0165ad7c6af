"""A map with one thing changed; the map that is handed in stays as it is."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from fieldlog.model.part_kinds import TWO_SIDED

Body = Mapping[str, Any]
Member = dict[str, Any]


def part_of(body: Body, part_id: str | None) -> Member | None:
    """Give a part, None where the map does not have it."""
    return next((dict(part) for part in body["parts"] if part["id"] == part_id), None)


def has_sides(body: Body, part_id: str | None) -> bool:
    """Say whether runs may leave a part from either of two sides."""
    part = part_of(body, part_id)
    return part is not None and part["kind"] in TWO_SIDED


def feeds_of(body: Body, part_id: str) -> list[int]:
    """Give the numbers of the runs that lead to a part."""
    return [at for at, run in enumerate(body["runs"]) if run["to"] == part_id]


def fed_by(body: Body, part_id: str) -> list[int]:
    """Give the numbers of the runs that leave a part."""
    return [at for at, run in enumerate(body["runs"]) if run["from"] == part_id]


def beyond(body: Body, part_id: str) -> set[str]:
    """Give a part and all that any run leads to from it, which therefore cannot feed it."""
    found, waiting = {part_id}, [part_id]
    while waiting:
        start = waiting.pop()
        new = {run["to"] for run in body["runs"] if run["from"] == start} - found
        found |= new
        waiting += new
    return found


def with_part(body: Body, part: Body, run: Body | None) -> Member:
    """Give the map with one more part, and the run that feeds it."""
    runs = [*body["runs"], *([run] if run else [])]
    return {**body, "parts": [*body["parts"], part], "runs": runs}


def with_part_as(body: Body, part: Body) -> Member:
    """Give the map with a part as it is said to be."""
    return {**body, "parts": [part if one["id"] == part["id"] else one for one in body["parts"]]}


def with_feed(body: Body, part_id: str, run: Body | None) -> Member:
    """Give the map with another only feed of a part, or none; a part with several feeds keeps them."""
    feeds = feeds_of(body, part_id)
    if len(feeds) > 1:
        return dict(body)
    if run is None:
        return without_runs(body, feeds)
    if not feeds:
        return {**body, "runs": [*body["runs"], run]}
    return {**body, "runs": [run if at == feeds[0] else one for at, one in enumerate(body["runs"])]}


def without_part(body: Body, part_id: str) -> Member:
    """Give the map without a part: what hangs on it is fed from what fed the part, from the same side."""
    feeds, children = feeds_of(body, part_id), fed_by(body, part_id)
    parts = [_without_neutral(part, part_id) for part in body["parts"] if part["id"] != part_id]
    left = {**body, "parts": parts}
    if len(feeds) != 1:
        return without_runs(left, [*feeds, *children])
    (feed,) = feeds
    runs = list(body["runs"])
    for at in children:
        runs[at] = _joined(runs[feed], runs[at])
    return without_runs({**left, "runs": runs, "modes": _with_the_feed(body, feed, children)}, feeds)


def _without_neutral(part: Body, gone: str) -> Body:
    """Give a part that shares no neutral with one that is taken out."""
    return {**part, "shares_neutral": None} if part.get("shares_neutral") == gone else part


def without_runs(body: Body, gone: Iterable[int]) -> Member:
    """Give the map without some runs; modes keep leaving out the same ones of the others."""
    out = set(gone)
    left = [at for at in range(len(body["runs"])) if at not in out]
    place = {old: new for new, old in enumerate(left)}
    modes = {
        mode: {"without": [place[at] for at in said["without"] if at in place]}
        for mode, said in body["modes"].items()
    }
    return {**body, "runs": [body["runs"][at] for at in left], "modes": modes}


def _with_the_feed(body: Body, feed: int, children: Iterable[int]) -> Member:
    """Give the modes: where the feed is not there, the runs that take its place are not there either."""
    return {
        mode: {**said, "without": list(dict.fromkeys([*said["without"], *children]))}
        if feed in said["without"]
        else said
        for mode, said in body["modes"].items()
    }


def _joined(first: Body, second: Body) -> Member:
    """Make one run of two: its length is known where both are, its gauge is that of the thinner wire."""
    return {
        "from": first["from"],
        "to": second["to"],
        "from_side": first.get("from_side") or "line",
        "awg": _both(first.get("awg"), second.get("awg"), max),
        "feet": _both(first.get("feet"), second.get("feet"), lambda one, other: one + other),
    }


def _both(one: Any, other: Any, join: Callable[[Any, Any], Any]) -> Any:
    return None if one is None or other is None else join(one, other)
