"""A book as a workbook that explains itself and helps while it is filled in."""

import io
import re
import zipfile
from collections.abc import Mapping
from datetime import date, datetime
from typing import TYPE_CHECKING

from scheduler.book.grids import Grid
from scheduler.book.headings import OWN_UNITS
from scheduler.book.schema import load_schema

if TYPE_CHECKING:
    from openpyxl.workbook.workbook import Workbook

ZIP_DATE = (1980, 1, 1, 0, 0, 0)
LONG_AGO = date(2000, 1, 1)


def workbook_file(grids: Mapping[str, Grid]) -> bytes:
    """Return a workbook with a sheet for every table of the schema, whether it has rows or not.

    The same tables give the same bytes: every time stamp in the file is the first day of the book.
    """
    from openpyxl import Workbook

    from scheduler.book.to_xlsx_about import fill_about_sheet, fill_lists_sheet
    from scheduler.book.to_xlsx_sheets import fill_settings_sheet, fill_table_sheet

    workbook = Workbook()
    about = workbook.active
    assert about is not None
    about.title = "about"
    settings, rules = grids["settings"], load_schema().settings
    units = {
        **{kind: settings.value_of(name) or rules[name].default for kind, name in OWN_UNITS.items()},
        "money": settings.value_of("currency"),
    }
    for table in load_schema().tables.values():
        sheet = workbook.create_sheet(table.name)
        grid = grids.get(table.name) or Grid(name=table.name, columns=(), rows=())
        fill = fill_settings_sheet if table.name == "settings" else fill_table_sheet
        fill(sheet, table, grid, units)
    fill_lists_sheet(workbook.create_sheet("lists"))
    fill_about_sheet(about)
    return fixed_bytes(workbook, _first_day(settings))


def _first_day(settings: Grid) -> date:
    try:
        return date.fromisoformat(settings.value_of("first_day"))
    except ValueError:
        return LONG_AGO


def fixed_bytes(workbook: "Workbook", day: date) -> bytes:
    """Return the file of a workbook with every time stamp on one day, so that it is the same each time.

    The stamp of saving is put in afterwards, for openpyxl takes the clock's.
    """
    stamp = datetime(day.year, day.month, day.day)  # noqa: DTZ001 - a workbook knows no time zones
    workbook.properties.creator = "raftway"
    workbook.properties.created = stamp
    saved, fixed = io.BytesIO(), io.BytesIO()
    workbook.save(saved)
    with zipfile.ZipFile(saved) as source, zipfile.ZipFile(fixed, "w", zipfile.ZIP_DEFLATED) as target:
        for part in source.infolist():
            data = source.read(part)
            if part.filename == "docProps/core.xml":
                data = re.sub(
                    rb"(<dcterms:modified[^>]*>)[^<]*",
                    rb"\g<1>" + f"{stamp:%Y-%m-%dT%H:%M:%SZ}".encode(),
                    data,
                )
            info = zipfile.ZipInfo(part.filename, ZIP_DATE)
            info.compress_type = zipfile.ZIP_DEFLATED
            target.writestr(info, data)
    return fixed.getvalue()
