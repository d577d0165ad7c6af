"""Opens the database and owns its transactions; each begins as what it is, a read or a write."""

import shutil
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, TypeVar

import pysqlite3
from sqlalchemy import Connection, Engine, create_engine, event, make_url
from sqlalchemy.exc import DatabaseError, OperationalError

from fieldlog.errors import StoreUnavailable

Transaction = Connection
T = TypeVar("T")

MOST_VALUES = 500  # a statement takes a limited number of values

# busy_timeout comes first: changing the journal mode must already wait for others.
# FULL: a commit is on the disk before it is answered. NORMAL loses acknowledged records in a power cut.
PRAGMAS = ("busy_timeout=5000", "journal_mode=WAL", "synchronous=FULL", "foreign_keys=ON")


class Store:
    """The database, opened."""

    def __init__(self, engine: Engine) -> None:
        self.engine = engine

    @contextmanager
    def reading(self) -> Iterator[Transaction]:
        """Give a transaction that only reads."""
        with _plainly(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Transaction]:
        """Give a transaction that holds the right to write from its start; all of it is kept or nothing."""
        with (
            _plainly(),
            self.engine.connect().execution_options(fieldlog_writes=True) as connection,
            connection.begin(),
        ):
            yield connection

    @property
    def address(self) -> str:
        """Where the database is, with all that is needed to open it: not to be shown."""
        return self.engine.url.render_as_string(hide_password=False)

    def free_bytes(self) -> int | None:
        """Say how much room is left where the database lies; nothing where that is not on this machine."""
        url = self.engine.url
        is_file = url.get_backend_name() == "sqlite" and bool(url.database)
        return room_at(Path(url.database or "")) if is_file else None

    def close(self) -> None:
        """Close every connection."""
        self.engine.dispose()


def open_store(database_url: str) -> Store:
    """Open the database named by the address; a SQLite file and its folder are made when missing."""
    url = make_url(database_url)
    if url.get_backend_name() != "sqlite":
        return Store(create_engine(url))
    if url.database:
        Path(url.database).parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        Path(url.database).touch(mode=0o600)
    engine = create_engine(url, module=pysqlite3.dbapi2)
    event.listen(engine, "connect", _prepare)
    event.listen(engine, "begin", _begin)
    return Store(engine)


def open_store_to_read(database_url: str) -> Store:
    """Open a database that is there; whatever is done by this store, nothing in it can change."""
    url = make_url(database_url)
    if url.get_backend_name() != "sqlite":
        return Store(create_engine(url, execution_options={"postgresql_readonly": True}))
    engine = create_engine(url, module=pysqlite3.dbapi2)
    event.listen(engine, "connect", _prepare_to_read)
    event.listen(engine, "begin", _begin)
    return Store(engine)


def room_at(path: Path) -> int | None:
    """Say how many bytes are free where a file or a folder is, or will be; nothing where nobody can tell."""
    try:
        there = next(each for each in (path.absolute(), *path.absolute().parents) if each.exists())
        return shutil.disk_usage(there).free
    except OSError:
        return None


def write_snapshot(store: Store, path: Path) -> None:
    """Write what the database holds now into a new file, whole, while others read and write."""
    with _plainly(), store.engine.connect() as connection:
        connection.connection.cursor().execute("VACUUM INTO ?", (str(path),))


def in_parts(values: Sequence[T]) -> Iterator[Sequence[T]]:
    """Give values in parts that one statement takes."""
    return (values[at : at + MOST_VALUES] for at in range(0, len(values), MOST_VALUES))


def sqlite_version() -> str:
    """Give the version of the SQLite library in use."""
    return str(pysqlite3.sqlite_version)


def _prepare(connection: Any, _record: Any) -> None:
    connection.isolation_level = None  # the driver must not begin transactions of its own
    for pragma in PRAGMAS:
        connection.execute(f"PRAGMA {pragma}").close()


def _prepare_to_read(connection: Any, _record: Any) -> None:
    connection.isolation_level = None
    for pragma in (PRAGMAS[0], "query_only=ON"):
        connection.execute(f"PRAGMA {pragma}").close()


def _begin(connection: Connection) -> None:
    """Begin as a writer at once: a read that turns into a write fails without waiting for its turn."""
    writes = connection.get_execution_options().get("fieldlog_writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


@contextmanager
def _plainly() -> Iterator[None]:
    try:
        yield
    except DatabaseError as error:
        if type(error) not in (OperationalError, DatabaseError):
            raise  # a mistake of ours, not a database that is locked, full, read-only or damaged
        raise StoreUnavailable(str(error.orig)) from error
