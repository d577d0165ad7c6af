"""How old the key is that signs, and whether it is time to hand over."""

from datetime import datetime
from typing import Final

from fieldlog.tables import entries

HOW: Final = "fieldlog key --hand-over makes a new one, signed by it; all that was signed before still holds"


def key_age_line(since: datetime | None, now: datetime) -> str:
    """Say since when a key signs, and bring handing over to mind where that is long ago.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> key_age_line(datetime(2026, 11, 1, tzinfo=UTC), datetime(2026, 11, 30, tzinfo=UTC))
    'It signs since 2026-11-01.'
    """
    if since is None:
        return "Since when it signs is not known."
    told = f"It signs since {since:%Y-%m-%d}."
    entry = next(each for each in entries("facts/signing.json") if each["id"] == "key-age-days")
    if (now - since).days < entry["value"]:
        return told
    return f"{told} That is more than {entry['value']} days ago ({entry['source']}): {HOW}."
