"""How far a phone's clock was off, in words."""

from datetime import timedelta
from typing import Final

# A clock that is off by more than this, either way, is noticed. Own choice.
CLOCK_TOLERANCE: Final = timedelta(minutes=5)


def clock_words(offset_s: float | None) -> str | None:
    """Say how far a phone's clock was behind or ahead; None where it went right enough, or nothing is known.

    The offset is the server's time less the phone's, in seconds.
    """
    if offset_s is None or abs(offset_s) <= CLOCK_TOLERANCE.total_seconds():
        return None
    return f"{_span(round(abs(offset_s) / 60))} {'behind' if offset_s > 0 else 'ahead'}"


def _span(minutes: int) -> str:
    days, hours = minutes // 1440, minutes // 60
    if days:
        return f"{days:,} {'day' if days == 1 else 'days'} {hours % 24} h"
    return f"{hours} h {minutes % 60} min" if hours else f"{minutes} min"
