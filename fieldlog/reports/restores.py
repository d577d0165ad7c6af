"""What a log's reader is told of backups that were put back."""

from collections.abc import Sequence
from datetime import tzinfo

from fieldlog.model.restore import Restore

LOST = "What was noted in between is back only where a phone still held it and its file was taken in."


def restore_lines(restores: Sequence[Restore], zone: tzinfo | None = None) -> list[str]:
    """Say of each restore when it was, and where the log ended in it, oldest first.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> made, back = datetime(2026, 11, 20, tzinfo=UTC), datetime(2026, 11, 29, tzinfo=UTC)
    >>> restore_lines([Restore(back, made, 7, "ab")])[0][:98]
    'On 2026-11-29 this server was put back from a backup of 2026-11-20, in which this log had 7 entrie'
    """
    return [f"{_when(each, zone)}, {_where(each)}. {LOST}" for each in restores]


def _when(each: Restore, zone: tzinfo | None) -> str:
    back, made = (moment.astimezone(zone or moment.tzinfo) for moment in (each.restored_at, each.made_at))
    return f"On {back:%Y-%m-%d} this server was put back from a backup of {made:%Y-%m-%d}"


def _where(each: Restore) -> str:
    if each.position == 0:
        return "in which this log had not begun"
    entries = f"{each.position} {'entry' if each.position == 1 else 'entries'}"
    return f"in which this log had {entries} and the head {each.head}"
