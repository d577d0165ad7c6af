"""What tells one record of a thing from another that says the same of it on another day."""

from fieldlog.kinds import kind_of
from fieldlog.model.canonical import sha256_hex
from fieldlog.model.record import Record


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
    said = kind_of(record.kind).says(record.body)
    return sha256_hex(said)[:16] if said else ""
