"""The tables. Times are kept as UTC text of one length, so that every database orders them alike."""

from datetime import UTC, datetime
from typing import Any

from sqlalchemy import (
    BigInteger,
    Column,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    TypeDecorator,
    UniqueConstraint,
)

metadata = MetaData(
    naming_convention={
        "ix": "ix_%(column_0_label)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)


class UtcTime(TypeDecorator[datetime]):
    """An aware time, kept as text in UTC to the microsecond."""

    impl = String(32)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Any) -> str | None:
        """Write the time."""
        return None if value is None else value.astimezone(UTC).isoformat(timespec="microseconds")

    def process_result_value(self, value: str | None, dialect: Any) -> datetime | None:
        """Read the time."""
        return None if value is None else datetime.fromisoformat(value)


accounts = Table(
    "accounts",
    metadata,
    Column("id", String(36), primary_key=True),
    Column("name", String(80), nullable=False),
    Column("name_key", String(240), nullable=False, unique=True),
    Column("password_hash", String(200), nullable=False),
    Column("created_at", UtcTime, nullable=False),
)

sessions = Table(
    "sessions",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),
    Column("created_at", UtcTime, nullable=False),
    Column("expires_at", UtcTime, nullable=False),
    Column("visited_at", UtcTime),  # written once a day; nothing where it is from before this was noted
    Column("device", String(20)),
)

first_account_tokens = Table(
    "first_account_tokens",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("expires_at", UtcTime, nullable=False),
    Column("used_at", UtcTime),
)

sign_in_tries = Table(
    "sign_in_tries",
    metadata,
    Column("who", String(300), primary_key=True),
    Column("last_at", UtcTime, nullable=False, index=True),
    Column("tries", Integer, nullable=False),
)

records = Table(
    "records",
    metadata,
    Column("seq", Integer, primary_key=True, autoincrement=True),
    Column("id", String(36), nullable=False),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),  # whose log it is in
    Column("log", String(36), nullable=False),
    Column("position", Integer, nullable=False),
    Column("hash", String(64), nullable=False),
    Column("head", String(64), nullable=False),
    Column("text", Text, nullable=False),
    Column("received_at", UtcTime, nullable=False),
    Column("kind", String(20), nullable=False),
    Column("rig", String(36)),
    Column("subject", String(36)),
    Column("corrects", String(36)),
    Column("root", String(36), nullable=False),
    Column("clock_offset_ms", BigInteger),
    UniqueConstraint("account", "log", "id", name="uq_records_id"),
    UniqueConstraint("account", "log", "position", name="uq_records_position"),
    Index("ix_records_id", "id"),
    Index("ix_records_account_seq", "account", "seq"),
    Index("ix_records_account_rig_kind", "account", "rig", "kind"),
    Index("ix_records_root", "root"),
    sqlite_autoincrement=True,
)

# A log is called as its rig, or as the account where it is of none; two accounts may have one of a name.
logs = Table(
    "logs",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("log", String(36), primary_key=True),
    Column("position", Integer, nullable=False),
    Column("head", String(64), nullable=False),
)

# Who may do what with a log, whoever's it is.
access = Table(
    "access",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("owner", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("log", String(36), primary_key=True),
    Column("role", String(10), nullable=False),
)

flags = Table(
    "flags",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("record", Integer, ForeignKey("records.seq"), nullable=False, index=True),
    Column("flag", String(40), nullable=False),
    Column("detail", Text, nullable=False),
)

photos = Table(
    "photos",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("sent_hash", String(64), primary_key=True),
    Column("kept_hash", String(64), nullable=False),
    Column("bytes", Integer, nullable=False),
    Column("width", Integer, nullable=False),
    Column("height", Integer, nullable=False),
    Column("received_at", UtcTime, nullable=False),
)

photo_parts = Table(
    "photo_parts",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("sent_hash", String(64), primary_key=True),
    Column("start", Integer, primary_key=True, autoincrement=False),
    Column("content", LargeBinary, nullable=False),
    Column("received_at", UtcTime, nullable=False),
)

calendar_feeds = Table(
    "calendar_feeds",
    metadata,
    Column("token_hash", String(64), primary_key=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False, unique=True),
    Column("created_at", UtcTime, nullable=False),
)

# What is shown to people who have no account.
shares = Table(
    "shares",
    metadata,
    Column("id", String(36), primary_key=True),
    Column("token_hash", String(64), nullable=False, unique=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),
    Column("log", String(36), nullable=False),
    Column("use", String(10), nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("expires_at", UtcTime),
    Column("ended_at", UtcTime),
    Column("opened", Integer, nullable=False),
    Column("is_open", Integer, nullable=False),
    Column("arrivals", Integer, nullable=False),
    Column("photos", Integer, nullable=False),
    Column("pictures", Integer, nullable=False, server_default="0"),
    Column("owner_name", String(80), nullable=False),
    Column("how_to_ask", String(160), nullable=False),
    Index("ix_shares_account_log", "account", "log"),
)

share_visits = Table(
    "share_visits",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("share", String(36), ForeignKey("shares.id"), nullable=False, index=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),
    Column("at", UtcTime, nullable=False),
    Column("was_shown", Integer, nullable=False),
)

# Offers of a rig's log to its next owner, and what became of them; name is what the rig was called.
hand_overs = Table(
    "hand_overs",
    metadata,
    Column("id", String(36), primary_key=True),
    Column("token_hash", String(64), nullable=False, unique=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),  # who hands it over
    Column("log", String(36), nullable=False),
    Column("name", String(200), nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("expires_at", UtcTime, nullable=False),
    Column("ended_at", UtcTime),
    Column("taken_at", UtcTime),
    Column("taken_by", String(80)),  # the name of the account that took it
    Column("position", Integer),  # how far the log went that was handed over, the record of that included
    Column("receipt", Text),
    Index("ix_hand_overs_account_log", "account", "log"),
)

# Which log is on its way to another account: filled only within the transaction that moves it.
moving = Table(
    "moving",
    metadata,
    Column("account", String(36), primary_key=True),
    Column("log", String(36), primary_key=True),
)

# From which installations entries of a log were taken over.
origins = Table(
    "origins",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),
    Column("log", String(36), nullable=False),
    Column("taken_at", UtcTime, nullable=False),
    Column("issued_at", UtcTime, nullable=False),
    Column("issuer", String(80), nullable=False),
    Column("position", Integer, nullable=False),
    Column("head", String(64), nullable=False),
    Index("ix_origins_account_log", "account", "log"),
)

# Of each chain of corrections the record that counts, and what is asked of it by the newest of each.
chains = Table(
    "chains",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("root", String(36), primary_key=True),
    Column("log", String(36), nullable=False),
    Column("kind", String(20), nullable=False),
    Column("subject", String(36)),  # the first record of what it is about
    Column("telling", String(16), nullable=False),
    Column("observed_at", UtcTime, nullable=False),
    Column("first_seq", Integer, nullable=False),
    Column("shown_seq", Integer, nullable=False),
    Column("is_apart", Integer, nullable=False),
    Column("is_noticed", Integer, nullable=False),  # the server noticed something of one of its versions
    Column(
        "word", String(80), nullable=False, server_default=""
    ),  # kind, subject, telling; see store/chains.py
    Index("ix_chains_shown", "account", "log", "shown_seq"),
    Index("ix_chains_kind", "account", "log", "kind", "shown_seq"),
    Index("ix_chains_apart", "account", "log", "is_apart"),
    Index("ix_chains_noticed", "account", "log", "is_noticed", "shown_seq"),
    Index("ix_chains_word", "account", "log", "word", "observed_at", "first_seq"),
)
# All that is asked of the newest of each word, in the order in which it is asked.
Index(
    "ix_chains_newest",
    *(chains.c[name] for name in ("account", "log", "kind", "subject", "telling")),
    chains.c.observed_at.desc(),
    chains.c.first_seq.desc(),
    chains.c.shown_seq,
    chains.c.root,
)

# What follows from the records, and by which version of the program it was made.
derived = Table(
    "derived",
    metadata,
    Column("name", String(20), primary_key=True),
    Column("version", Integer, nullable=False),
)

# What today's rulebook says of checks that another judged: only where it differs, and how far that was asked.
judged_again = Table(
    "judged_again",
    metadata,
    Column("record", Integer, ForeignKey("records.seq"), primary_key=True, autoincrement=False),
    Column("account", String(36), ForeignKey("accounts.id"), nullable=False),
    Column("said", String(20), nullable=False),
    Column("verdict", String(20)),  # nothing where it cannot be judged now
    Column("first", String(60)),
    Column("reason", Text, nullable=False),
    Column("is_worse", Integer, nullable=False),
    Index("ix_judged_again_account", "account", "record"),
)
judgings = Table(
    "judgings",
    metadata,
    Column("rulebook", String(80), primary_key=True),
    Column("last_seq", BigInteger, nullable=False),
    Column("checks", BigInteger, nullable=False),
)

# How much an account has in the log, so that it need not be added up at every record.
account_sizes = Table(
    "account_sizes",
    metadata,
    Column("account", String(36), ForeignKey("accounts.id"), primary_key=True),
    Column("records", BigInteger, nullable=False),
    Column("text_bytes", BigInteger, nullable=False),
)

# Whose records may be deleted: filled only within the transaction that removes an account.
removals = Table(
    "removals",
    metadata,
    Column("account", String(36), primary_key=True),
)

# Pictures of removed accounts that still lie where photos lie.
left_photos = Table(
    "left_photos",
    metadata,
    Column("kept_hash", String(64), primary_key=True),
)

restores = Table(
    "restores",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=True),
    Column("restored_at", UtcTime, nullable=False),
    Column("made_at", UtcTime, nullable=False),
    Column("heads", Text, nullable=False),
)
