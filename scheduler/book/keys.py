"""References between tables: names that must be there once, and names that must be known."""

import re
from collections.abc import Callable, Iterable, Mapping

from crops.library import card_names, cards_called
from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, meant_of_several, nearest, of_first_word, plain
from scheduler.book.needs import check_row
from scheduler.book.place import Cell
from scheduler.book.rows import Row, TypedTable
from scheduler.book.schema import Column, Schema

Tables = Mapping[str, TypedTable]

ALSO_NAMED_IN = {"products": ("recipes",)}
"""Table that cells refer to -> other tables whose names will do as well."""

PLACE_TABLES = {"shelves": "a shelf", "troughs": "a trough", "beds": "a bed"}
BOARDS = " boards"
"""What the name of a trough's board zone ends with."""


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
        for row in typed.parsed:
            for column in schema.tables[name].columns:
                if column.refers_to not in ("", "key"):
                    _check_reference(row, column, known, log)
            _check_dates(row, log)
            check_row(row, log)


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
    """Refuse a shelf, a trough and a bed of one name: places are told apart by name alone."""
    taken: dict[str, tuple[Cell, str]] = {}
    for table, kind in PLACE_TABLES.items():
        for name, cells in tables[table].names.items() if table in tables else ():
            if name in taken:
                cell, other = taken[name]
                expected = f"a name of its own ({cell} is {other} of that name)"
                log.add(cells[0], quoted(name), expected, "double-name")
            else:
                taken[name] = (cells[0], kind)


class _KnownNames:
    """Names each kind of reference may use; None when they cannot be told for sure."""

    def __init__(self, tables: Tables, unread: frozenset[str]) -> None:
        self._tables, self._unread = tables, unread

    def of_table(self, table: str) -> list[str] | None:
        found: list[str] = []
        for name in (table, *ALSO_NAMED_IN.get(table, ())):
            names = self._of_one(name)
            if names is None:
                return None
            found += names
        return found

    def _of_one(self, table: str) -> list[str] | None:
        if table in self._unread:
            return None
        typed = self._tables.get(table)
        if typed is None:
            return []
        return list(typed.names) if typed.whole else None

    def places(self, *, lanes_only: bool) -> list[str] | None:
        """Names of shelves, troughs, board zones and beds; tiers and rows are matched by pattern."""
        troughs = self.of_table("troughs")
        shelves = [] if lanes_only else self.of_table("shelves")
        if troughs is None or shelves is None:
            return None
        if lanes_only:
            return troughs
        beds = self.of_table("beds")
        if beds is None:
            return None
        return [*shelves, *troughs, *(f"{trough}{BOARDS}" for trough in troughs), *beds]

    def is_there(self, name: str) -> bool:
        """Say whether a place surely exists: a trough has a board zone only when a row says so."""
        trough = name.removesuffix(BOARDS)
        if trough == name:
            return True
        rows = {
            table: self._tables[table].rows for table in ("troughs", "board_zones") if table in self._tables
        }
        return any(row.text("trough") == trough for row in rows.get("board_zones", ())) or any(
            row.text("trough") == trough and row.text("holds") == "boards" for row in rows.get("troughs", ())
        )

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
    value = row.values.get(column.name)
    words = value if isinstance(value, tuple) else (value,) if isinstance(value, str) else ()
    options, is_known = _options(column, known)
    if options is None:
        return
    for word in words:
        if word not in options and not is_known(word):
            found = f"{quoted(word)}, {KINDS.get(column.refers_to, 'which is not in ' + column.refers_to)}"
            log.add(row.cell(column.name), found, _expected(word, options, column, known), "unknown-name")


KINDS = {
    "crop_cards": "which is no card of the crop library",
    "place": "which is no shelf, tier, trough, row or bed",
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


def _expected(word: str, options: list[str], column: Column, known: _KnownNames) -> str:
    if column.refers_to == "crop_cards":
        return meant_of_several(cards_called(word)) or f"{meant(word, options)} raftway crops lists them all"
    if column.refers_to in ("place", "lane"):
        return _place_expected(word, options, known)
    return meant(word, options) if options else f"a name from {column.refers_to}, which has none"


def _place_expected(word: str, options: list[str], known: _KnownNames) -> str:
    """Offer only places the book has."""
    there = [name for name in options if known.is_there(name)]
    whole = [name for name in there if not name.endswith(BOARDS)]
    stem = re.sub(r" [0-9]+$", "", word)
    if stem != word and (near := nearest(stem, whole) or of_first_word(stem, whole)):
        return f"'{near}' or one of its rows or tiers, such as '{near} 1'"
    guess = None if nearest(word, there) else of_first_word(word, there)
    return f"'{guess}'?" if guess else meant(word, there)


def _check_dates(row: Row, log: FaultLog) -> None:
    """Refuse a last day before the first."""
    for first_name, last_name in (("from", "to"), ("first_day", "last_day")):
        if first_name in row.values and last_name in row.values:
            first, last = row.date_or_none(first_name), row.date_or_none(last_name)
            if first and last and last < first:
                expected = f"{first} or later ({first_name})"
                log.add(row.cell(last_name), str(last), expected, "backward-dates")
