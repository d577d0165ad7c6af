"""The record: one immutable entry of the log. Everything else is computed from records."""

from collections.abc import Mapping, Sequence
from dataclasses import asdict, dataclass
from datetime import datetime, tzinfo
from typing import Any, Final, Generic, Self

from fieldlog.model.kind_of import BodyT

CHECK_KINDS: Final = ("arrival-check", "outlet-test")


@dataclass(frozen=True, kw_only=True)
class Record(Generic[BodyT]):
    """One entry of the log, as it was made on the phone or by a form.

    Parameters
    ----------
    id : str
        UUIDv7 in lower case, made where the record was made.
    kind : str
        One of those of schemas/book/kinds; it decides what the body holds.
    observed_at : str
        ISO 8601 with offset, by the clock of whoever made the record.
    body : Mapping
        What was seen; see schemas/record.schema.json.
    rig, subject, instrument : str or None
        Ids of what the record is about and what it was measured with.
    made_by : str
        Who made it, in their own words.
    corrects, reason : str or None
        The record this one stands in for, and why.
    also_corrects : sequence of str or None
        Further records that it stands in for: other corrections of the same record, which it settles between.
        None where the record has no such member.
    """

    id: str
    kind: str
    observed_at: str
    body: BodyT
    rig: str | None = None
    subject: str | None = None
    made_by: str = ""
    instrument: str | None = None
    corrects: str | None = None
    reason: str | None = None
    also_corrects: Sequence[str] | None = None

    @classmethod
    def from_json(cls, value: Mapping[str, Any]) -> Self:
        """Take a JSON object that has passed the schema."""
        return cls(**value)

    def as_json(self) -> dict[str, Any]:
        """Give the record as a JSON object; only also_corrects is left out where it was."""
        members = dict(vars(self))
        if self.also_corrects is None:
            del members["also_corrects"]
        return members

    @property
    def stands_in_for(self) -> tuple[str, ...]:
        """Give the ids of all records that this one corrects."""
        return () if self.corrects is None else (self.corrects, *(self.also_corrects or ()))

    @property
    def observed(self) -> datetime:
        """The time of observation, aware of its zone."""
        return datetime.fromisoformat(self.observed_at)

    @property
    def is_check(self) -> bool:
        """Say whether the record holds readings of an outlet."""
        return self.kind in CHECK_KINDS


@dataclass(frozen=True)
class Flag:
    """Something the server noticed about a record; it changes nothing in it."""

    flag: str
    detail: str


@dataclass(frozen=True, kw_only=True)
class StoredRecord(Generic[BodyT]):
    """A record in the log, with what the server added.

    Parameters
    ----------
    seq : int
        Its number in the order of arrival.
    received_at : datetime
        By the server's clock.
    hash : str
        SHA-256 of the canonical form, bare hex.
    head : str
        Head of its log after it, bare hex.
    log : str
        Its log: the id of the rig, or of the account.
    position : int
        Its place in that log, from 1.
    root : str
        Id of the first record of its chain of corrections.
    flags : tuple of Flag
        What the server noticed.
    clock_offset_s : float or None
        How far the server's clock was ahead of the phone's when the record was sent [s]; None where the phone
        did not tell.
    record : Record
        The record itself.
    """

    seq: int
    received_at: datetime
    hash: str
    head: str
    log: str
    position: int
    root: str
    flags: tuple[Flag, ...]
    record: Record[BodyT]
    clock_offset_s: float | None = None

    @property
    def zone(self) -> tzinfo | None:
        """Give the offset of the clock beside the person, None where the record tells none.

        Notes
        -----
        A form that is filled in without script is dated here, in UTC; a phone tells its own clock beside.
        """
        observed = self.record.observed
        is_told = self.clock_offset_s is not None or bool(observed.utcoffset())
        return observed.tzinfo if is_told else None

    def as_json(self, *, placed: bool = False) -> dict[str, Any]:
        """Give the entry as the records API shows it, on demand with its place in its log."""
        place = {"log": self.log, "position": self.position, "head": self.head} if placed else {}
        return {
            "seq": self.seq,
            "received_at": self.received_at.isoformat(timespec="milliseconds"),
            "hash": self.hash,
            "clock_offset_s": self.clock_offset_s,
            "flags": [asdict(flag) for flag in self.flags],
            "record": self.record.as_json(),
            **place,
        }


def observed_text(when: datetime) -> str:
    """Write an aware time as records carry it.

    Examples
    --------
    >>> from datetime import UTC
    >>> observed_text(datetime(2026, 11, 25, 9, 31, 7, 123000, UTC))
    '2026-11-25T09:31:07.123+00:00'
    """
    return when.isoformat(timespec="milliseconds")


def shows_skin(skin: Mapping[str, Any] | None) -> bool:
    """Say whether what was noted of a rig's skin tells something: a silent detector does not."""
    if skin is None:
        return False
    return bool(skin["detected"]) if skin["by"] == "detector" else skin.get("earth_proved") is not False
