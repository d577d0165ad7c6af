"""Whether bytes come, or go, fast enough."""

from typing import Final

FLOOR_BYTES_S: Final = 500  # own choice: a tenth of what a phone reaches at the edge of a slow network


class Pace:
    """Holds one stream of bytes to a floor, window by window, so that silence after haste counts as well."""

    def __init__(self, window_s: float, now_s: float, count: int = 0) -> None:
        self._window_s = window_s
        self._begun_s = now_s
        self._count = count

    def is_too_slow(self, count: int, now_s: float) -> bool:
        """Say whether a window has gone by in which too few bytes came; `count` is of all until now."""
        if now_s - self._begun_s < self._window_s:
            return False
        is_slow = count - self._count < FLOOR_BYTES_S * self._window_s
        self._begun_s, self._count = now_s, count
        return is_slow
