"""The log in a database: an SQLite file beside the book, or PostgreSQL by its address; the same code on both.

Whoever writes waits for others first, reads the log, judges, and writes all of it or nothing. Entries are
only ever added.
"""

from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import sqlalchemy as sa
from sqlalchemy.engine.interfaces import DBAPIConnection
from sqlalchemy.pool import ConnectionPoolEntry, NullPool

from scheduler.records.complaints import NO_HOST, RESTORE, RecordsFailed, failures
from scheduler.records.entries import Entry, Logged
from scheduler.records.recording import Judged
from scheduler.records.tables import ABOUT, ENTRIES, MIGRATIONS, VERSIONS, WRITINGS, logged_of, row_of

SUFFIX = ".records.sqlite"
IN_MEMORY = ":memory:"
PLACES = "name a file, or postgresql://user@host/database"
BUSY_SECONDS = 15.0
"""How long a writer waits for another before it gives up (estimate: an import takes well under a second)."""

PATIENCE = {
    "connect_timeout": "15",
    "keepalives_idle": "30",
    "keepalives_interval": "10",
    "keepalives_count": "3",
    "tcp_user_timeout": "60000",
}
"""What PostgreSQL's driver is told unless the address says otherwise: seconds until a server that does not
answer, or no longer does, is given up; the last in milliseconds (estimates)."""

LOCK = 2026_0302
"""Key of the lock that writers on PostgreSQL wait for."""

READS = "raftway_reads"
"""Marks a connection that will not write, so that it need not wait for writers."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stamp:
    """Time of writing, UTC as text, and where the entries come from: a command, a file."""

    written: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What was written.

    Attributes:
        first, last: numbers of the new entries; both 0 for none.
        known: entries that were in the log already.
        clock_behind: time of an earlier writing that lies after this one by the clock, else empty.
    """

    first: int
    last: int
    known: int
    clock_behind: str


def beside(book: Path) -> Path:
    """Return the file in which the records of a book are kept unless another is named."""
    name = book.name if book.suffix.lower() != ".xlsx" else book.stem
    return book.with_name(f"{name}{SUFFIX}")


def url_of(address: str) -> sa.URL:
    """Return the address of a database: a path is an SQLite file.

    Raises:
        RecordsFailed: it is an address of another kind, or one of no file and no server.
    """
    kind, colon, rest = address.partition(":")
    kind = {"postgres": "postgresql"}.get(kind, kind)
    if not rest.startswith("//"):
        if not address.strip() or "\0" in address or address == IN_MEMORY or (kind == "postgresql" and colon):
            raise RecordsFailed(f"{address!r} is no place for records; {PLACES}")
        return sa.URL.create("sqlite", database=address)
    try:
        url = sa.make_url(f"{kind}:{rest}")
    except (sa.exc.ArgumentError, ValueError):  # the latter is of a port that is no number
        raise RecordsFailed(f"{kind}://... is no address that can be read; {PLACES}") from None
    if url.get_backend_name() == "postgresql":
        return url.set(drivername="postgresql+psycopg")
    if url.get_backend_name() != "sqlite":
        raise RecordsFailed(f"records are not kept on {kind}; {PLACES}")
    if url.query or not (url.database or "").strip() or url.database == IN_MEMORY:
        # what is kept in memory is gone with the command
        raise RecordsFailed(f"{address} is no place for records; {PLACES}")
    return url


class Records:
    """The log of one farm."""

    def __init__(self, engine: sa.Engine) -> None:
        """Take an engine whose tables are there; use :func:`opened`."""
        self.engine = engine

    @property
    def name(self) -> str:
        """How to call it in a message: a path, or an address without its password."""
        return _shown(self.engine.url)

    @property
    def is_file(self) -> bool:
        """Say whether it is an SQLite file."""
        return self.engine.dialect.name == "sqlite"

    def read(self) -> tuple[Logged, ...]:
        """Return all entries by number.

        Raises:
            RecordsFailed: the database cannot be read.
        """
        with self._failures(), self._reading() as connection:
            return _entries(connection, self.name)

    def farm(self) -> str | None:
        """Return the name of the farm whose records these are; None while there are none.

        Raises:
            RecordsFailed: the database cannot be read.
        """
        with self._failures(), self._reading() as connection:
            return _farm(connection)

    def append(self, farm: str, judge: Callable[[Sequence[Logged]], Judged], stamp: Stamp) -> Written:
        """Write what a judge makes of the log; while it judges, nobody else writes.

        Args:
            farm: name of the farm.
            judge: takes all entries so far; what it raises goes on, and nothing is written.
            stamp: when and from where.

        Raises:
            RecordsFailed: the database cannot be written, or holds the records of another farm.
        """
        with self._failures(), self.engine.begin() as connection:
            take_turn(connection)
            check_farm(connection, farm, self.name)
            log = _entries(connection, self.name)
            judged = judge(log)
            first = max((each.number for each in log), default=0) + 1
            if judged.new:
                _write(connection, farm, (first, judged.new), stamp)
            latest = max((each.written for each in log), default="")
            return Written(
                first=first if judged.new else 0,
                last=first + len(judged.new) - 1 if judged.new else 0,
                known=judged.known,
                clock_behind=latest if latest > stamp.written else "",
            )

    def close(self) -> None:
        """Let go of the database."""
        self.engine.dispose()

    @contextmanager
    def _reading(self) -> Iterator[sa.Connection]:
        with self.engine.connect().execution_options(**{READS: True}) as connection:
            yield connection

    @contextmanager
    def _failures(self) -> Iterator[None]:
        with failures(self.name):
            yield


def opened(address: str, written: str, *, make: bool = True) -> Records | None:
    """Open the records at an address; make them, or bring older ones up to date, where that is needed.

    Args:
        address: a path, or an address such as ``postgresql://host/name``.
        written: time of a step that brings the tables up to date, UTC as text.
        make: whether to make what is not there, a file or the tables in an empty one; None is returned for
            these otherwise, and they stay as they are.

    Raises:
        RecordsFailed: there is something else, or the database does not answer.
    """
    url = url_of(address)
    if url.get_backend_name() == "sqlite":
        path = Path(url.database or "")
        if path.is_symlink():
            raise RecordsFailed(f"{path} is a link; name the file itself with --records")
        if path.is_dir():
            raise RecordsFailed(f"{path} is a folder; name a file with --records")
        if not make and not path.exists():
            return None
        if not path.parent.is_dir():
            raise RecordsFailed(f"{path.parent} is not a folder; make it first")
    records = Records(_engine(url))
    with failures(records.name):
        try:
            there = _migrate(records.engine, records.name, written, make=make)
        except UnicodeError:  # of a name that no host can have
            raise RecordsFailed(f"{records.name}: {NO_HOST}") from None
        except BaseException:
            records.close()
            raise
    if not there:
        records.close()
        return None
    return records


def shown(address: str) -> str:
    """Return an address as it is told to people: without any password.

    Raises:
        RecordsFailed: see :func:`url_of`.
    """
    return _shown(url_of(address))


def _shown(url: sa.URL) -> str:
    if url.get_backend_name() == "sqlite":
        return url.database or ""
    secret = [name for name in url.query if "password" in name]
    return url.set(drivername="postgresql").difference_update_query(secret).render_as_string()


def _engine(url: sa.URL) -> sa.Engine:
    if url.get_backend_name() != "sqlite":
        given = {name: value for name, value in PATIENCE.items() if name not in url.query}
        try:
            return sa.create_engine(url, poolclass=NullPool, connect_args=given)
        except ModuleNotFoundError:
            raise RecordsFailed(
                "PostgreSQL needs one package more: pip install 'raftway[postgres]'"
            ) from None
    return _file_engine(url)


def _file_engine(url: sa.URL) -> sa.Engine:
    engine = sa.create_engine(url, poolclass=NullPool, connect_args={"timeout": BUSY_SECONDS})

    @sa.event.listens_for(engine, "connect")
    def _prepare(connection: DBAPIConnection, _: ConnectionPoolEntry) -> None:
        # Python's own driver would begin in its own time; the next listener does it instead
        connection.isolation_level = None
        cursor = connection.cursor()
        for pragma in (
            f"busy_timeout={int(BUSY_SECONDS * 1000)}",
            "foreign_keys=ON",
            "synchronous=FULL",
        ):
            cursor.execute(f"PRAGMA {pragma}")
        cursor.close()

    @sa.event.listens_for(engine, "begin")
    def _begin(connection: sa.Connection) -> None:
        # a writer waits for others here, not half-way, where it could only give up
        reads = connection.get_execution_options().get(READS)
        connection.exec_driver_sql("BEGIN" if reads else "BEGIN IMMEDIATE")

    return engine


def _migrate(engine: sa.Engine, name: str, written: str, *, make: bool) -> bool:
    """Take the steps that are wanting; False, and none is taken, where nothing is there and is to be made."""
    with engine.connect().execution_options(**{READS: True}) as connection:
        have = _version(connection, name)
    newest = max(MIGRATIONS)
    if have > newest:
        raise RecordsFailed(
            f"{name} was written by a newer raftway (step {have}, this one knows {newest}); install that one"
        )
    if have == newest:
        return True
    if have == 0 and not make:
        return False
    if engine.dialect.name == "sqlite":
        _write_ahead(engine)
    with engine.begin() as connection:
        take_turn(connection)
        have = _version(connection, name)
        VERSIONS.create(connection, checkfirst=True)
        for number, step in sorted(MIGRATIONS.items()):
            if number > have:
                step(connection)
                connection.execute(VERSIONS.insert().values(number=number, applied=written))
    return True


def _write_ahead(engine: sa.Engine) -> None:
    """Keep a log of changes beside the file, so that readers and a writer do not wait for each other."""
    raw = engine.raw_connection()
    try:
        cursor = raw.cursor()
        cursor.execute("PRAGMA journal_mode=WAL")
        cursor.close()
    finally:
        raw.close()


def _version(connection: sa.Connection, name: str) -> int:
    """Return the number of the last step taken; 0 for an empty database.

    Raises:
        RecordsFailed: something else is kept there.
    """
    tables = set(sa.inspect(connection).get_table_names())
    if VERSIONS.name not in tables:
        if tables:
            raise RecordsFailed(f"{name} holds something else ({sorted(tables)[0]}); name another place")
        return 0
    number = connection.scalar(sa.select(sa.func.max(VERSIONS.c.number)))
    if not isinstance(number, int):
        raise RecordsFailed(f"{name}: it is not said how its tables were made; {RESTORE}")
    return number


def take_turn(connection: sa.Connection) -> None:
    """Wait until no other writer is at work, through the end of the transaction."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql(f"SET LOCAL lock_timeout = {int(BUSY_SECONDS * 1000)}")
        connection.execute(sa.select(sa.func.pg_advisory_xact_lock(LOCK)))


def check_farm(connection: sa.Connection, farm: str, name: str) -> None:
    """Make sure that these are no other farm's records.

    Raises:
        RecordsFailed: they are.
    """
    known = _farm(connection)
    if known is not None and known != farm:
        raise RecordsFailed(
            f"{name} holds the records of '{known}', and the book is of '{farm}'; name its own"
        )


def _farm(connection: sa.Connection) -> str | None:
    return connection.scalar(sa.select(ABOUT.c.farm))


def _entries(connection: sa.Connection, name: str) -> tuple[Logged, ...]:
    wanted = sa.select(ENTRIES, WRITINGS.c.written, WRITINGS.c.source)
    joined = wanted.join(WRITINGS, WRITINGS.c.number == ENTRIES.c.writing).order_by(ENTRIES.c.number)
    return tuple(_entry(dict(row), name) for row in connection.execute(joined).mappings())


def _entry(row: dict[str, object], name: str) -> Logged:
    try:
        return logged_of(row)
    except (ValueError, TypeError):
        raise RecordsFailed(f"{name}: entry {row['number']} is damaged; {RESTORE}") from None


def _write(connection: sa.Connection, farm: str, numbered: tuple[int, Sequence[Entry]], stamp: Stamp) -> None:
    first, entries = numbered
    if _farm(connection) is None:
        connection.execute(ABOUT.insert().values(id=1, farm=farm, begun=stamp.written))
    writing = (connection.scalar(sa.select(sa.func.max(WRITINGS.c.number))) or 0) + 1
    connection.execute(WRITINGS.insert().values(number=writing, written=stamp.written, source=stamp.source))
    rows = [row_of(number, entry) | {"writing": writing} for number, entry in enumerate(entries, start=first)]
    connection.execute(ENTRIES.insert(), rows)
