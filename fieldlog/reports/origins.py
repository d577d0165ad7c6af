"""What a log's reader is told of entries that were taken over from another installation."""

from collections.abc import Sequence
from datetime import tzinfo

from fieldlog.model.origin import Origin

TIMES = "That it held them is what its key says; when they arrived there is in its signed record alone."


def origin_lines(origins: Sequence[Origin], fingerprints: Sequence[str], zone: tzinfo | None) -> list[str]:
    """Say of each from where and how far the log was taken over; each has the fingerprint of its key."""
    return [
        f"On {each.taken_at.astimezone(zone):%Y-%m-%d} entries 1 to {each.position} were taken over, with "
        f"their hashes, from another installation, whose key {key} signed them on "
        f"{each.issued_at.astimezone(zone):%Y-%m-%d}. {TIMES}"
        for each, key in zip(origins, fingerprints, strict=True)
    ]
