"""Changes to single rows of any table, for what has no change of its own."""

from scheduler.book.names import meant, plain
from scheduler.book.settings import TABLE as SETTINGS
from scheduler.scenario.scenario import Change
from scheduler.scenario.tables import Line, Tables


def add_row(tables: Tables, change: Change) -> None:
    """Add a row."""
    if not change.columns:
        tables.log.add(
            change.at("table"), "no column beside it", "the columns of the row as keys", "no-column"
        )
        return
    tables.add(change.text("table"), change.columns, change)


def set_row(tables: Tables, change: Change) -> None:
    """Write other values into the rows of a name; two changes may not ask for different ones."""
    if not change.columns:
        tables.log.add(change.at("row"), "no column beside it", "the columns to change as keys", "no-column")
    for line in _rows(tables, change):
        for column, text in change.columns.items():
            before = tables.wrote(line, column)
            if before is not None and line.cells.get(column) != text:
                found = f"'{text}'"
                expected = f"'{line.cells.get(column)}', which {before} asks for, or one of the two alone"
                tables.log.add(change.at(column), found, expected, "two-ways")
            else:
                tables.write(line, column, text, change.at(column))


def drop_row(tables: Tables, change: Change) -> None:
    """Take out the rows of a name."""
    tables.drop(_rows(tables, change))


def _rows(tables: Tables, change: Change) -> list[Line]:
    table, name = change.text("table"), change.text("row")
    if table == SETTINGS:
        return _settings(tables, change, name)
    found = tables.named(table, name)
    if not found:
        tables.log.add(change.at("row"), f"'{name}'", meant(name, tables.names(table)), "unknown-name")
    return found


def _settings(tables: Tables, change: Change, name: str) -> list[Line]:
    """Return the row of a setting; one that the book leaves to its default gets a row."""
    found = [line for line in tables.lines(SETTINGS) if plain(line.text("setting")) == plain(name)]
    if found or change.kind != "set":
        return found
    return [tables.add(SETTINGS, {"setting": name}, change, {"setting": "row"})]
