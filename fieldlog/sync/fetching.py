"""What a phone asks of the logs: what is new to it, and whether they still hold what it has seen."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, TypeGuard

from fieldlog.errors import BadInput
from fieldlog.model.account import Account
from fieldlog.model.identity import UUID_PATTERN
from fieldlog.model.problem import Problem
from fieldlog.store.ends import LogEnd, forgotten
from fieldlog.store.hand_overs import left_logs, moved_places, photos_left
from fieldlog.store.photos import photos_lacking
from fieldlog.store.records import missing_of, records_beyond
from fieldlog.store.session import Store
from fieldlog.sync.photos import is_hash

MOST_LOGS: Final = 2000
MOST_NAMED: Final = 2000
MOST_POSITION: Final = 999_999_999_999_999


@dataclass(frozen=True)
class LogProgress:
    """What a phone knows of a log: how far it has fetched it, and the furthest place that it was told of.

    Parameters
    ----------
    after : int
        Up to this position it has every record.
    end : LogEnd
        The furthest position of which it was told, by a fetch or by a receipt, and the head there.
    """

    after: int
    end: LogEnd


def seen_of(value: Any) -> dict[str, LogProgress]:
    """Read what a phone says it has seen of each log, or raise BadInput with the place that is wrong."""
    if not isinstance(value, Mapping) or len(value) > MOST_LOGS:
        raise BadInput([Problem("/logs", f"Send logs as an object with at most {MOST_LOGS} members.")])
    return {_log(name): _seen(name, told) for name, told in value.items()}


@dataclass(frozen=True)
class Logs:
    """The logs of an account, as they are asked for."""

    store: Store
    account: Account

    def forgotten(self, seen: Mapping[str, LogProgress]) -> list[str]:
        """Give the logs that do not hold what was seen of them; a backup was put back, or it is a copy."""
        with self.store.reading() as tx:
            return forgotten(tx, self.account.id, {log: each.end for log, each in seen.items()})

    def page(self, seen: Mapping[str, LogProgress], limit: int) -> dict[str, Any]:
        """Give what is new after what was seen; of a log that has forgotten, nothing but that."""
        with self.store.reading() as tx:
            lost = forgotten(tx, self.account.id, {log: each.end for log, each in seen.items()})
            passed = {log: MOST_POSITION if log in lost else each.after for log, each in seen.items()}
            found = records_beyond(tx, self.account.id, passed, limit + 1)
        return {
            "account": self.account.name,
            "own": self.account.id,
            "records": [entry.as_json(placed=True) for entry in found[:limit]],
            "more": len(found) > limit,
            "forgot": lost,
        }

    def missing(self, records: Mapping[str, str], photos: list[str]) -> dict[str, Any]:
        """Give the ids of records, named with their hashes, and the photos that are not here.

        What the account handed over is here, though the account reads it no more.
        """
        with self.store.reading() as tx:
            lacking = missing_of(tx, self.account.id, records)
            moved = moved_places(tx, left_logs(tx, self.account.id), lacking)
            elsewhere = {row.id for row in moved if row.hash == records[row.id]}
            photos_elsewhere = {name for name, is_here in photos_left(tx, self.account.id).items() if is_here}
            return {
                "records": [each for each in lacking if each not in elsewhere],
                "photos": [
                    each
                    for each in photos_lacking(tx, self.account.id, photos)
                    if each not in photos_elsewhere
                ],
            }


def named_records(value: Any) -> dict[str, str]:
    """Read ids with their hashes, or raise BadInput."""
    is_right = isinstance(value, Mapping) and all(UUID_PATTERN.fullmatch(each) for each in value)
    if not is_right or len(value) > MOST_NAMED or not all(map(is_hash, value.values())):
        sentence = f"Send records as an object with at most {MOST_NAMED} ids, and the hash of each."
        raise BadInput([Problem("/records", sentence)])
    return dict(value)


def named_photos(value: Any) -> list[str]:
    """Read names of photos, or raise BadInput."""
    if not isinstance(value, list) or len(value) > MOST_NAMED or not all(map(is_hash, value)):
        raise BadInput([Problem("/photos", f"Send photos as a list of at most {MOST_NAMED} hashes.")])
    return value


def _log(name: str) -> str:
    if not UUID_PATTERN.fullmatch(name):
        raise BadInput([Problem("/logs", "A log is named by a UUID; send the names as they were told.")])
    return name


def _seen(name: str, told: Any) -> LogProgress:
    members = dict(told) if isinstance(told, Mapping) else {}
    after, position, head = members.get("after"), members.get("position"), members.get("head")
    if _is_position(after) and _is_position(position) and is_hash(head) and after <= position:
        return LogProgress(after, LogEnd(position, head))
    sentence = "Send after and position as whole numbers, after the lesser, and head as 64 hex digits."
    raise BadInput([Problem(f"/logs/{name}", sentence)])


def _is_position(value: Any) -> TypeGuard[int]:
    return isinstance(value, int) and not isinstance(value, bool) and 0 <= value <= MOST_POSITION
