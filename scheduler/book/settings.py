"""The settings table as one typed row: setting -> value, each with its cell."""

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, plain
from scheduler.book.parse import Value
from scheduler.book.place import Cell
from scheduler.book.rows import Row, TypedTable, parse_cell
from scheduler.book.schema import Schema

TABLE = "settings"


def read_settings(table: TypedTable, schema: Schema, log: FaultLog) -> Row:
    """Turn rows of name and value into one row; unknown, doubled and missing settings are faults.

    What is missing gets its default, or None.
    """
    cells: dict[str, Cell] = {}
    values: dict[str, Value] = {}
    for row in table.rows:
        name, cell = plain(row.text("setting")), row.cell("setting")
        if name not in schema.settings:
            found = f"unknown setting {quoted(row.text('setting'))}"
            log.add(cell, found, meant(name, schema.settings, most=40), "unknown-setting")
        elif name in cells:
            log.add(cell, f"setting {name} twice", f"it once ({cells[name]} has it)", "double-setting")
        else:
            cells[name] = row.cell("value")
            values[name] = parse_cell(row.text("value"), schema.settings[name], row.cell("value"), log)
    refused = {plain(name) for name in table.names}
    given = frozenset(cells)
    for name, setting in schema.settings.items():
        if name in cells:
            continue
        cells[name] = Cell(TABLE)
        if setting.required and name not in refused and table.whole:
            expected = f"one ({setting.description}, such as {setting.example})"
            log.add(Cell(TABLE), f"no row for {name}", expected, "missing-setting")
        values[name] = None if setting.required else parse_cell("", setting, Cell(TABLE), log)
    return Row(table=TABLE, number=0, values=values, cells=cells, given=given)
