"""Where an open point of a rig leads: to the page on which it is cleared."""

from typing import Final

from flask import url_for

from fieldlog.model.rig import Rig
from fieldlog.reports.open_points import PointPlace

_WORDS: Final = {
    "outlet": "Test it",
    "device": "Press TEST",
    "outlet-look": "Look at it",
    "look": "Look at it",
    "set": "Test it",
    "ground": "Show it",
    "change": "Prove it",
    "map": "Look at the map",
    "entry": "Look at the entry",
    "rig": "Look in the history",
}
_OF_LOOKS: Final = {"skin": "Read it", "insulation": "Note the change", "cord-loaded": "Test an outlet"}


def way_of(rig: Rig, at: PointPlace) -> tuple[str, str]:
    """Give the address that a point leads to, and what its link says."""
    if at.what == "set" and not at.id:
        return f"/sets/new#rig={rig.id}", "Note a set"
    words = _OF_LOOKS.get(at.id, _WORDS["look"]) if at.what == "look" else _WORDS[at.what]
    return _address(rig, at), words


def _address(rig: Rig, at: PointPlace) -> str:
    match at.what:
        case "outlet":
            return f"/outlets/{at.id}"
        case "device":
            return f"/round#rig={rig.id}&device={at.id}"
        case "outlet-look":
            return f"/round#rig={rig.id}&at=look-{at.id}"
        case "set":
            return f"/round#rig={rig.id}&at=set-{at.id}"
        case "look":
            return _of_look(rig, at.id)
        case "ground":
            return f"/grounds#rig={rig.id}"
        case "change":
            return url_for("proving.change", change=at.id)
        case "map":
            return f"/rigs/{rig.id}/map"
        case "entry":
            return url_for("history.entry", record_id=at.id)
        case _:
            return url_for("history.history")


def _of_look(rig: Rig, looked_at: str) -> str:
    if looked_at == "insulation":
        return f"{url_for('proving.new_change')}#rig={rig.id}"
    if looked_at == "cord-loaded" and rig.outlets:
        return f"/outlets/{rig.outlets[0].id}"
    return f"/round#rig={rig.id}&at=look-{looked_at}"
