"""Which record of each chain of corrections counts, kept beside the records and written with them.

All of it follows from the records: it is made anew where another version of the program asks other things.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, Final, cast

from sqlalchemy import Select, and_, delete, func, insert, literal_column, select

from fieldlog.kinds import kind_of, kinds
from fieldlog.kinds.kind import Extent
from fieldlog.kinds.telling import telling
from fieldlog.model.kind_of import HeldT, KindOf
from fieldlog.model.record import StoredRecord
from fieldlog.model.rig import Chain
from fieldlog.model.rig import chains as gathered
from fieldlog.store.ends import LogKey, readable_logs
from fieldlog.store.entries import entries_of, entries_with
from fieldlog.store.session import Transaction, in_parts
from fieldlog.store.tables import accounts, chains, derived, records

VERSION: Final = 3
NEWEST: Final = 12
MOST_NOTICED: Final = 100
FIRST_TIME: Final = datetime.min.replace(tzinfo=UTC)
LAST_TIME: Final = datetime.max.replace(tzinfo=UTC)


def note_begun(tx: Transaction, owner: str, begun: Sequence[StoredRecord]) -> None:
    """Write down chains of an owner that begin; each is its own first record and has no other."""
    firsts = _roots(tx, owner, {entry.record.subject for entry in begun if entry.record.subject})
    rows = [_row(owner, Chain((entry,)), firsts) for entry in begun]
    if rows:
        tx.execute(insert(chains), rows)


def note_chains(tx: Transaction, owner: str, roots: Iterable[str]) -> None:
    """Write down anew what counts of an owner's chains, named by their first records."""
    for some in in_parts(sorted(set(roots))):
        found = select(records).where(records.c.account == owner, records.c.root.in_(some))
        versions = entries_of(tx, found.order_by(records.c.seq))
        firsts = _roots(tx, owner, {entry.record.subject for entry in versions if entry.record.subject})
        tx.execute(delete(chains).where(chains.c.account == owner, chains.c.root.in_(some)))
        rows = [_row(owner, chain, firsts) for chain in gathered(versions)]
        if rows:
            tx.execute(insert(chains), rows)


def bring_up(tx: Transaction) -> None:
    """Make all of it anew, unless this version has made it already."""
    known = tx.execute(select(derived.c.version).where(derived.c.name == chains.name)).scalar_one_or_none()
    if known != VERSION:
        make_anew(tx)
        tx.execute(delete(derived).where(derived.c.name == chains.name))
        tx.execute(insert(derived).values(name=chains.name, version=VERSION))


def make_anew(tx: Transaction) -> None:
    """Make all of it from the records alone; a text that is no record any more is passed over.

    Those who walk the log find and name it.
    """
    tx.execute(delete(chains))
    for owner in tx.execute(select(accounts.c.id)).scalars().all():
        roots = select(records.c.root).where(records.c.account == owner).distinct()
        for some in in_parts(tx.execute(roots).scalars().all()):
            _note_what_can_be_read(tx, owner, some)


def _note_what_can_be_read(tx: Transaction, owner: str, roots: Sequence[str]) -> None:
    try:
        note_chains(tx, owner, roots)
    except (ValueError, TypeError, KeyError):
        for root in roots if len(roots) > 1 else ():
            _note_what_can_be_read(tx, owner, [root])


def current_records(
    tx: Transaction,
    account: str,
    *,
    kinds: Sequence[str] = (),
    rig: str | None = None,
    subjects: Sequence[str] | None = None,
    before: int | None = None,
    limit: int | None = None,
) -> list[StoredRecord]:
    """Give of each chain of corrections the record that counts, in the order of arrival, newest first.

    Subjects are named by their first records.
    """
    logs = [key for key in readable_logs(tx, account) if rig in (None, key.log)]
    asked = [
        asked_of_kind(key, kind, subjects=subjects, before=before, limit=limit)
        for key in logs
        for kind in kinds or (None,)
    ]
    found = [number for question in asked for number in tx.execute(question).scalars()]
    return entries_with(tx, sorted(found, reverse=True)[:limit])[::-1]


def asked_of_kind(
    key: LogKey,
    kind: str | None,
    *,
    subjects: Sequence[str] | None = None,
    before: int | None = None,
    limit: int | None = None,
) -> Select[Any]:
    """Give the question for what counts of a kind, or of all, in a log; with a limit the newest of it.

    Each kind is asked by itself, in the order of an index: of several at once a whole log would be sorted.
    """
    wanted = select(chains.c.shown_seq).where(*_in_log(key))
    if kind is not None:
        wanted = wanted.where(chains.c.kind == kind)
    if subjects is not None:
        wanted = wanted.where(chains.c.subject.in_(subjects))
    if before is not None:
        wanted = wanted.where(chains.c.shown_seq < before)
    return wanted if limit is None else wanted.order_by(chains.c.shown_seq.desc()).limit(limit)


def current_of(
    tx: Transaction, account: str, kind: KindOf[HeldT], subjects: Sequence[str]
) -> list[StoredRecord[HeldT]]:
    """Give what counts of one kind about some things, newest first."""
    return cast("list[StoredRecord[HeldT]]", current_records(tx, account, kinds=(kind,), subjects=subjects))


def newest_of(
    tx: Transaction, account: str, kind: str, subject: str | None, limit: int, rig: str | None = None
) -> list[StoredRecord]:
    """Give the newest records of one kind about one thing, or about none, that count, newest first.

    The subject is named by its first record. No other record is read for it, however long the log is.
    """
    logs = [key for key in readable_logs(tx, account) if rig in (None, key.log)]
    found = [row for key in logs for row in tx.execute(asked_of(key, kind, subject, limit))]
    newest = sorted(found, key=lambda row: (row.observed_at, row.first_seq), reverse=True)[:limit]
    place = {row.shown_seq: at for at, row in enumerate(newest)}
    return sorted(entries_with(tx, sorted(place)), key=lambda entry: place[entry.seq])


def asked_of(key: LogKey, kind: str, subject: str | None, limit: int) -> Select[Any]:
    """Give the question for the newest of a kind about a thing in a log."""
    asked = select(chains.c.shown_seq, chains.c.observed_at, chains.c.first_seq)
    about = chains.c.subject.is_(None) if subject is None else chains.c.subject == subject
    newest_first = (chains.c.observed_at.desc(), chains.c.first_seq.desc())
    return asked.where(*_in_log(key), chains.c.kind == kind, about).order_by(*newest_first).limit(limit)


def what_a_rig_is(tx: Transaction, key: LogKey, newest: int = NEWEST) -> list[int]:
    """Give the numbers of the records that say how a log's rig is built, and what was done with it last.

    Notes
    -----
    Of each thing the newest few records that say the same (`fieldlog.kinds.telling`), with all versions; of
    all that the server noticed, the newest. So what is read stays small however long the log has grown. With
    newest 0, nothing of what was done.
    """
    wanted = [*_of_structure(key), *(_of_what_was_done(key, newest) if newest else ())]
    rows = {row.root: row for question in wanted for row in tx.execute(question) if row.root is not None}
    alone = [row.shown_seq for row in rows.values() if row.shown_seq == row.first_seq]
    corrected = sorted(row.root for row in rows.values() if row.shown_seq != row.first_seq)
    for some in in_parts(corrected):
        versions = select(records.c.seq).where(records.c.root.in_(some), records.c.account == key.owner)
        alone += tx.execute(versions).scalars()
    return alone


def _of_structure(key: LogKey) -> Iterator[Select[Any]]:
    yield _found(key).where(chains.c.kind.in_(_kept(Extent.ALL)))


def _of_what_was_done(key: LogKey, newest: int) -> Iterator[Select[Any]]:
    yield _found(key).where(chains.c.is_apart == 1)
    yield (
        _found(key).where(chains.c.is_noticed == 1).order_by(chains.c.shown_seq.desc()).limit(MOST_NOTICED)
    )
    yield newest_of_each_word(key, newest)


def newest_of_each_word(key: LogKey, newest: int) -> Select[Any]:
    """Ask for the newest few of each word of a log, and for those of the same moment as the last of them.

    Notes
    -----
    From each word the next one is looked up, and from its newest record as many back: what is read grows with
    the words, and not with the log.
    """
    first = select(func.min(chains.c.word).label("word")).where(*_in_log(key), chains.c.word > "")
    words = first.cte("words", recursive=True)
    another = chains.alias()
    following = select(func.min(another.c.word)).where(
        another.c.account == key.owner, another.c.log == key.log, another.c.word > words.c.word
    )
    words = words.union_all(select(following.scalar_subquery()).where(words.c.word.is_not(None)))
    last = (
        select(another.c.observed_at)
        .where(another.c.account == key.owner, another.c.log == key.log, another.c.word == words.c.word)
        .order_by(another.c.observed_at.desc(), another.c.first_seq.desc())
        .offset(newest - 1)
        .limit(1)
        .correlate(words)
        .scalar_subquery()
    )
    since = func.coalesce(last, literal_column("''"))
    of_word = (*_in_log(key), chains.c.word == words.c.word, chains.c.observed_at >= since)
    found = select(chains.c.root, chains.c.first_seq, chains.c.shown_seq)
    # Outer, so that SQLite goes from the words to the records; the end of the words finds none.
    return found.join_from(words, chains, and_(*of_word), isouter=True)


def _kept(how: Extent) -> list[str]:
    return [name for name, kind in kinds().items() if kind.extent is how]


def _found(key: LogKey) -> Select[Any]:
    return select(chains.c.root, chains.c.first_seq, chains.c.shown_seq).where(*_in_log(key))


def _in_log(key: LogKey) -> tuple[Any, Any]:
    return chains.c.account == key.owner, chains.c.log == key.log


def _row(owner: str, chain: Chain, firsts: Mapping[str, str]) -> dict[str, object]:
    shown = chain.entry
    subject = shown.record.subject
    told, about = telling(shown.record), None if subject is None else firsts.get(subject, subject)
    kind = shown.record.kind
    return {
        "account": owner,
        "root": chain.id,
        "log": shown.log,
        "kind": kind,
        "subject": about,
        "telling": told,
        "word": f"{kind} {about or ''} {told}" if kind_of(kind).extent is Extent.NEWEST else "",
        "observed_at": _in_range(shown.record.observed),
        "first_seq": chain.versions[0].seq,
        "shown_seq": shown.seq,
        "is_apart": int(bool(chain.beside)),
        "is_noticed": int(any(version.flags for version in chain.versions)),
    }


def _roots(tx: Transaction, owner: str, ids: Iterable[str]) -> dict[str, str]:
    found: dict[str, str] = {}
    for some in in_parts(sorted(ids)):
        asked = select(records.c.id, records.c.root).where(records.c.account == owner, records.c.id.in_(some))
        found |= {row.id: row.root for row in tx.execute(asked)}
    return found


def _in_range(when: datetime) -> datetime:
    """Give a time that has a name in UTC as well; the first and last days of all may have none."""
    try:
        return when.astimezone(UTC)
    except OverflowError:
        return FIRST_TIME if when.year == 1 else LAST_TIME
