"""A map as an explanation says that the rig is."""

from collections.abc import Mapping, Sequence
from typing import Any

from fieldlog.model.rig_map import MapEdit


def accept(body: Mapping[str, Any], changes: Sequence[MapEdit]) -> dict[str, Any]:
    """Give a map with its runs as an explanation says.

    Parameters
    ----------
    body : mapping
        A rig map as JSON, such as the body of a rig-map record; it is left as it is.
    changes : sequence of MapEdit
        Of one explanation.

    Returns
    -------
    dict
        Runs lead from elsewhere or leave from the other side. A device that does not trip, or has line and
        load swapped, is a fault of the device: it is mended at the rig, and the map stays as drawn there.

    Examples
    --------
    >>> body = {"parts": [], "runs": [{"from": "g", "from_side": "load", "to": "r"}]}
    >>> accept(body, [MapEdit("to-line-side", run=0)])["runs"]
    [{'from': 'g', 'from_side': 'line', 'to': 'r'}]
    """
    runs = [dict(run) for run in body.get("runs", [])]
    for change in changes:
        if change.run is not None:
            runs[change.run] |= _mended(change)
    return {**body, "runs": runs}


def is_drawable(change: MapEdit) -> bool:
    """Say whether a change is one of the map, and no fault of a device."""
    return change.run is not None


def _mended(change: MapEdit) -> dict[str, str]:
    if change.start is not None:
        side = "load" if change.change == "fed-from-load-side" else "line"  # a breaker has but one side
        return {"from": change.start, "from_side": side}
    return {"from_side": "load" if change.change == "to-load-side" else "line"}
