"""Tables of the log, and the numbered steps that bring an older database up to them.

Every text is Unicode, every date and time ISO text, times in UTC: what SQLite and PostgreSQL hold alike.
A step that was ever released is never changed; what comes later is a step of its own.
"""

from collections.abc import Callable, Mapping
from datetime import date

import sqlalchemy as sa

from scheduler.records.entries import KINDS, Entry, Logged, puts_of, puts_text, spots_of, spots_text

METADATA = sa.MetaData()


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text, nullable=False, server_default="")


def _count(name: str) -> sa.Column[int | None]:
    return sa.Column(name, sa.Integer, sa.CheckConstraint(f"{name} >= 0"))


VERSIONS = sa.Table(
    "schema_version",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("applied", sa.Text, nullable=False),
)
"""Steps that were taken, and when."""

ABOUT = sa.Table(
    "about",
    METADATA,
    sa.Column("id", sa.Integer, sa.CheckConstraint("id = 1"), primary_key=True, autoincrement=False),
    sa.Column("farm", sa.Text, nullable=False),
    sa.Column("begun", sa.Text, nullable=False),
)
"""One row: whose records these are."""

WRITINGS = sa.Table(
    "writings",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("written", sa.Text, nullable=False),
    sa.Column("source", sa.Text, nullable=False),
)
"""One row for each time entries were written: all of them, or none."""

ENTRIES = sa.Table(
    "entries",
    METADATA,
    sa.Column("number", sa.Integer, primary_key=True, autoincrement=False),
    sa.Column("writing", sa.ForeignKey("writings.number"), nullable=False),
    sa.Column("op", sa.Text, nullable=False, unique=True),
    sa.Column("what", sa.Text, nullable=False),
    sa.Column("day", sa.Text, nullable=False),
    _text("at_utc"),
    _text("lot"),
    _text("crop"),
    _text("stage"),
    _text("place"),
    _text("came_into"),
    _count("plants"),
    _count("left_there"),
    _count("heads"),
    sa.Column("lifted", sa.Integer, nullable=False, server_default="0"),
    _text("seed_lot"),
    _text("product"),
    _text("customer"),
    _text("delivery"),
    _text("since"),
    _text("until"),
    sa.Column("cuts", sa.Integer, nullable=False, server_default="0"),
    _text("last_cut"),
    _text("who"),
    _text("note"),
    _text("task"),
    _text("due"),
    _count("wanted"),
    sa.Column("corrects", sa.ForeignKey("entries.number"), unique=True),
    _text("given"),
)
"""The log; an entry is never changed, and another may stand in for it."""


def row_of(number: int, entry: Entry) -> dict[str, object]:
    """Return an entry as a row of :data:`ENTRIES`, without its writing."""
    row: dict[str, object] = {name: getattr(entry, name) for name in SAME}
    row.update({column: _iso(getattr(entry, name)) for name, column in DATES.items()})
    return row | {
        "number": number,
        "at_utc": entry.at,
        "place": spots_text(entry.place),
        "came_into": puts_text(entry.to),
        "left_there": entry.left,
        "wanted": entry.wanted,
        "lifted": int(entry.lifted),
        "corrects": entry.corrects or None,
    }


def logged_of(row: Mapping[str, object]) -> Logged:
    """Return an entry of a row joined with its writing.

    Raises:
        ValueError: something else than an entry stands there.
    """
    values: dict[str, object] = {name: row[name] for name in SAME}
    if values["what"] not in KINDS:
        raise ValueError(values["what"])
    for name in ("plants", "heads", "cuts"):
        _whole(values[name])
    values.update({name: _date(str(row[column])) for name, column in DATES.items()})
    entry = Entry(
        **values,  # type: ignore[arg-type]
        at=str(row["at_utc"]),
        place=spots_of(str(row["place"])),
        to=puts_of(str(row["came_into"])),
        left=_whole(row["left_there"]),
        wanted=_whole(row["wanted"]),
        lifted=bool(row["lifted"]),
        corrects=_whole(row["corrects"]) or 0,
    )
    number = _whole(row["number"])
    assert number is not None
    return Logged(number=number, entry=entry, written=str(row["written"]), source=str(row["source"]))


SAME = (
    "op",
    "what",
    "lot",
    "crop",
    "stage",
    "plants",
    "heads",
    "seed_lot",
    "product",
    "customer",
    "delivery",
    "cuts",
    "who",
    "note",
    "task",
    "given",
)
"""Fields of an entry that stand in a column of the same name as they are."""

DATES = {"day": "day", "since": "since", "until": "until", "last_cut": "last_cut", "due": "due"}


def _iso(day: object) -> str:
    return "" if day is None else str(day)


def _date(text: str) -> object:
    return date.fromisoformat(text) if text else None


def _whole(value: object) -> int | None:
    if value is not None and not isinstance(value, int):
        raise ValueError(value)
    return value


def _first_tables(connection: sa.Connection) -> None:
    METADATA.create_all(connection, tables=[ABOUT, WRITINGS, ENTRIES])


def guarded(connection: sa.Connection) -> None:
    """Let the database itself refuse to change or drop what was written."""
    if connection.dialect.name == "sqlite":
        for table, action in SQLITE_GUARDS:
            connection.exec_driver_sql(
                f"CREATE TRIGGER {table}_no_{action} BEFORE {action} ON {table} "
                f"BEGIN SELECT RAISE(ABORT, '{NEVER}'); END"
            )
        return
    connection.exec_driver_sql(
        "CREATE OR REPLACE FUNCTION records_never_change() RETURNS trigger LANGUAGE plpgsql AS "
        f"$$ BEGIN RAISE EXCEPTION '{NEVER}'; END $$"
    )
    for table in GUARDED:
        connection.exec_driver_sql(
            f"CREATE TRIGGER {table}_never_change BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
            "FOR EACH STATEMENT EXECUTE FUNCTION records_never_change()"
        )


def unguarded(connection: sa.Connection) -> None:
    """Take off what :func:`guarded` put on, through the end of the transaction: only for a restore."""
    if connection.dialect.name == "sqlite":
        for table, action in SQLITE_GUARDS:
            connection.exec_driver_sql(f"DROP TRIGGER {table}_no_{action}")
        return
    for table in GUARDED:
        connection.exec_driver_sql(f"DROP TRIGGER {table}_never_change ON {table}")


def _what_was_planned(connection: sa.Connection) -> None:
    """Add what a plan had for an entry; a database made by this version has the columns already."""
    known = {column["name"] for column in sa.inspect(connection).get_columns(ENTRIES.name)}
    if "due" not in known:
        connection.exec_driver_sql("ALTER TABLE entries ADD COLUMN due TEXT NOT NULL DEFAULT ''")
    if "wanted" not in known:
        connection.exec_driver_sql("ALTER TABLE entries ADD COLUMN wanted INTEGER CHECK (wanted >= 0)")


NEVER = "records are never changed or deleted; an entry that corrects another is written"
GUARDED = ("entries", "writings", "about")
SQLITE_GUARDS = tuple((table, action) for table in GUARDED for action in ("update", "delete"))

MIGRATIONS: dict[int, Callable[[sa.Connection], None]] = {
    1: _first_tables,
    2: guarded,
    3: _what_was_planned,
}
"""Number of a step -> what it does; they are taken in order, each once."""
