"""References between tables: names that must be there once, and names that must be known."""

import re
from collections.abc import Callable, Iterable, Mapping

from crops.library import card_names
from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, nearest, plain
from scheduler.book.place import Cell
from scheduler.book.rows import Row, TypedTable
from scheduler.book.schema import Column, Schema

Tables = Mapping[str, TypedTable]

PLACE_TABLES = ("shelves", "troughs")


def check_keys(tables: Tables, schema: Schema, unread: frozenset[str], log: FaultLog) -> None:
    """Check every key and every reference of a book.

    ``unread`` names tables that could not be read: nothing is said about names that may stand there.
    """
    for name, typed in tables.items():
        if any(column.refers_to == "key" for column in schema.tables[name].columns):
            _check_unique(typed.names.items(), log)
    _check_place_names(tables, log)
    known = _KnownNames(tables, unread)
    for name, typed in tables.items():
        for column in schema.tables[name].columns:
            if column.refers_to not in ("", "key"):
                for row in typed.rows:
                    _check_reference(row, column, known, log)
        for row in typed.rows:
            _check_dates(row, log)


def _check_unique(names: Iterable[tuple[str, tuple[Cell, ...]]], log: FaultLog) -> None:
    first: dict[str, tuple[str, Cell]] = {}
    for name, cells in names:
        for cell in cells:
            if ";" in name:
                log.add(cell, quoted(name), "a name without ; (it stands between names in lists)", "bad-name")
            if plain(name) not in first:
                first[plain(name)] = (name, cell)
                continue
            other, at = first[plain(name)]
            if other == name:
                log.add(cell, f"{quoted(name)} again", f"a name of its own ({at} has it)", "double-name")
            else:
                expected = f"a name that differs from '{other}' ({at}) in more than case and spaces"
                log.add(cell, quoted(name), expected, "double-name")


def _check_place_names(tables: Tables, log: FaultLog) -> None:
    """Refuse a shelf and a trough of one name: places are told apart by name alone."""
    shelves, troughs = (tables[name].names if name in tables else {} for name in PLACE_TABLES)
    for name, cells in troughs.items():
        if name in shelves:
            expected = f"a name of its own ({shelves[name][0]} is a shelf of that name)"
            log.add(cells[0], quoted(name), expected, "double-name")


class _KnownNames:
    """Names each kind of reference may use; None when they cannot be told for sure."""

    def __init__(self, tables: Tables, unread: frozenset[str]) -> None:
        self._tables, self._unread = tables, unread

    def of_table(self, table: str) -> list[str] | None:
        if table in self._unread:
            return None
        typed = self._tables.get(table)
        if typed is None:
            return []
        return list(typed.names) if typed.whole else None

    def places(self, *, lanes_only: bool) -> list[str] | None:
        """Names of shelves, tiers, troughs and board zones; rows of troughs are matched by pattern."""
        troughs = self.of_table("troughs")
        shelves = [] if lanes_only else self.of_table("shelves")
        if troughs is None or shelves is None:
            return None
        if lanes_only:
            return troughs
        return [*shelves, *troughs, *(f"{trough} boards" for trough in troughs)]

    def is_numbered(self, name: str, *, lanes_only: bool) -> bool:
        """Say whether a name is a tier, or a row; how many rows a trough has is known only with its size."""
        match = re.fullmatch(r"(.+) ([1-9][0-9]{0,3})", name)
        if not match:
            return False
        stem, number = match.group(1), int(match.group(2))
        troughs = self._tables.get("troughs")
        if troughs and stem in troughs.names:
            return True
        shelves = self._tables.get("shelves")
        if lanes_only or not shelves or stem not in shelves.names:
            return False
        tiers = [row.whole("tiers") for row in shelves.rows if row.text("shelf") == stem]
        return not tiers or number <= max(tiers)


def _check_reference(row: Row, column: Column, known: _KnownNames, log: FaultLog) -> None:
    value = row.values[column.name]
    words = value if isinstance(value, tuple) else (value,) if isinstance(value, str) else ()
    options, is_known = _options(column, known)
    if options is None:
        return
    for word in words:
        if word not in options and not is_known(word):
            found = f"{quoted(word)}, {KINDS.get(column.refers_to, 'which is not in ' + column.refers_to)}"
            log.add(row.cell(column.name), found, _expected(word, options, column), "unknown-name")


KINDS = {
    "crop_cards": "which is no card of the crop library",
    "place": "which is no shelf, tier, trough or row",
    "lane": "which is no trough or row",
}


def _options(column: Column, known: _KnownNames) -> tuple[list[str] | None, Callable[[str], bool]]:
    if column.refers_to == "crop_cards":
        return list(card_names()), lambda _: False
    if column.refers_to in ("place", "lane"):
        lanes_only = column.refers_to == "lane"
        return known.places(lanes_only=lanes_only), lambda word: known.is_numbered(
            word, lanes_only=lanes_only
        )
    return known.of_table(column.refers_to), lambda _: False


def _expected(word: str, options: list[str], column: Column) -> str:
    if not options and column.refers_to not in KINDS:
        return f"a name from {column.refers_to}, which has none"
    stem = re.sub(r" [0-9]+$", "", word)
    if stem != word and (near := nearest(stem, options)):
        return f"'{near}' or one of its rows or tiers, such as '{near} 1'"
    return meant(word, options)


def _check_dates(row: Row, log: FaultLog) -> None:
    """Refuse a last day before the first."""
    for first_name, last_name in (("from", "to"), ("first_day", "last_day")):
        if first_name in row.values and last_name in row.values:
            first, last = row.date_or_none(first_name), row.date_or_none(last_name)
            if first and last and last < first:
                expected = f"{first} or later ({first_name})"
                log.add(row.cell(last_name), str(last), expected, "backward-dates")
