"""What tells one record of a thing from another that says the same of it on another day."""

from typing import Any, Final

from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import Record

# What of a body makes it say something else; the time of the day and notes do not.
_SAYS: Final = {
    "trip-test": ("by", "tripped", "face_dead", "reset", "mode"),
    "look": ("of", "points", "ends"),
    "proof": ("step", "part", "pair", "outcome"),
    "incident": ("what", "at"),
}


def telling(record: Record) -> str:
    """Give a short word that two records of one thing share where they say the same of it.

    Parameters
    ----------
    record : Record
        Of any kind.

    Returns
    -------
    str
        16 hexadecimal digits; for kinds of which only the newest is ever asked, the empty text.

    Notes
    -----
    Whoever reads the newest few records of each word misses none that says something else: a device that
    failed once is not hidden by the many days on which it worked.
    """
    said: dict[str, Any] = {name: record.body.get(name) for name in _SAYS.get(record.kind, ())}
    if record.kind == "trip-test":
        said |= {side: sorted(record.body[side]) for side in ("dead", "live")}
        # A device that was too slow once speaks against it, whatever it took since.
        said |= {name: record.body.get(name) for name in ("milliseconds", "milliamps")}
    if record.kind == "outlet-test":
        sets = [record.body["check"], *record.body["check"].get("more", ())]
        said |= {
            "verdict": record.body["judgement"]["verdict"],
            "read": [name for name in ("volts", "lamps") if any(name in one for one in sets)],
            "loaded": any("volts" in one.get("loaded", {}) for one in sets),
        }
    return sha256_hex(said)[:16] if said else ""
