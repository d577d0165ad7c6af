"""Ids of records: UUIDv7, ordered by the time they were made."""

import re
from typing import Final

UUID_PATTERN: Final = re.compile(r"^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$")


def uuid7(unix_ms: int, rand_a: int, rand_b: int) -> str:
    """Lay out a UUIDv7.

    Parameters
    ----------
    unix_ms : int
        Milliseconds since 1970-01-01T00:00Z, 48 bits.
    rand_a : int
        12 random bits.
    rand_b : int
        62 random bits.

    Returns
    -------
    str
        The id in lower-case hex with hyphens.

    Raises
    ------
    ValueError
        When a field does not fit its bits.

    Examples
    --------
    >>> uuid7(0x017F22E279B0, 0xCC3, 0x18C4DC0C0C07398F)
    '017f22e2-79b0-7cc3-98c4-dc0c0c07398f'

    References
    ----------
    RFC 9562, section 5.7 and appendix A.6, 2024.
    """
    for value, bits in ((unix_ms, 48), (rand_a, 12), (rand_b, 62)):
        if not 0 <= value < 1 << bits:
            raise ValueError(f"{value} does not fit {bits} bits")
    number = unix_ms << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b
    digits = f"{number:032x}"
    return "-".join((digits[:8], digits[8:12], digits[12:16], digits[16:20], digits[20:]))


def made_at_ms(identity: str) -> int:
    """Give the milliseconds since 1970 that a UUIDv7 carries.

    Examples
    --------
    >>> made_at_ms("017f22e2-79b0-7cc3-98c4-dc0c0c07398f")
    1645557742000
    """
    return int(identity[:8] + identity[9:13], 16)


def is_identity(text: str) -> bool:
    """Say whether a text is a UUIDv7 in lower case."""
    return UUID_PATTERN.fullmatch(text) is not None
