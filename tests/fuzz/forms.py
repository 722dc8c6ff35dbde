"""Mutated tables as files: a folder of CSV tables in odd encodings, or a workbook, odd or damaged.

A book is file name -> bytes: one ``book.xlsx``, or a CSV file for each table.
"""

import io
import re
import zipfile
from collections.abc import Callable
from datetime import date, datetime, time
from random import Random

from fuzz.base_books import Tables, csv_text
from openpyxl import Workbook
from openpyxl.cell.cell import ILLEGAL_CHARACTERS_RE
from openpyxl.worksheet.worksheet import Worksheet

Files = dict[str, bytes]
WORKBOOK = "book.xlsx"
MOST_IN_CELL = 32_000
"""A cell of a workbook holds no more."""


def plain_folder(tables: Tables) -> Files:
    """Return the tables as a folder of plain CSV files."""
    return {f"{table}.csv": csv_text(grid).encode("utf-8", "surrogatepass") for table, grid in tables.items()}


# --- folders --------------------------------------------------------------------------------------


def _recoded(*codes: str) -> Callable[[Random, bytes], bytes]:
    return lambda draw, data: data.decode("utf-8", "replace").encode(draw.choice(codes), "replace")


def _with_umlauts(draw: Random, data: bytes) -> bytes:
    text = data.decode("utf-8", "replace").replace("a", "ä", draw.choice((1, 3)))
    return text.encode(draw.choice(("latin-1", "cp1252", "utf-8", "mac-roman")), "replace")


def _other_marks(draw: Random, data: bytes) -> bytes:
    return data.replace(b",", draw.choice((b";", b"\t", b"|", b", ", b",,")))


def _other_breaks(draw: Random, data: bytes) -> bytes:
    return data.replace(
        b"\n", draw.choice((b"\r\n", b"\r", b"\n\n", b"\n\r", b"\x0b", b"\x85", b"\xe2\x80\xa8"))
    )


def _any_byte(draw: Random, data: bytes) -> bytes:
    made = bytearray(data)
    for _ in range(draw.choice((1, 1, 5))):
        made[draw.randrange(len(made))] = draw.choice((0, 10, 34, 44, 0xFF, draw.randrange(256)))
    return bytes(made)


def _cut_short(draw: Random, data: bytes) -> bytes:
    return data[: draw.randrange(len(data))]


def _put_in(draw: Random, data: bytes) -> bytes:
    at = draw.randrange(len(data))
    odd = (
        b'"',
        b"\0",
        b"\xff",
        b"\xc3",
        b"\xed\xa0\x80",
        b"\n",
        b"\r",
        b"\xef\xbb\xbf",
        b"'",
        b'""',
        b"\x1a",
    )
    return data[:at] + draw.choice(odd) + data[at:]


def _all_quoted(_draw: Random, data: bytes) -> bytes:
    return re.sub(rb"[^,\n]+", lambda found: b'"' + found.group().replace(b'"', b"") + b'"', data)


ENCODINGS: tuple[Callable[[Random, bytes], bytes], ...] = (
    _recoded("utf-8-sig", "utf-16", "utf-16-le", "utf-32", "utf-7", "cp500"),
    _with_umlauts,
    _other_marks,
    _other_breaks,
    _any_byte,
    _cut_short,
    _put_in,
    _all_quoted,
)


def recode(draw: Random, files: Files) -> str:
    """Write one of a folder's files in another encoding or with other bytes; return its table."""
    name = draw.choice(sorted(files))
    if files[name]:
        files[name] = draw.choice(ENCODINGS)(draw, files[name])
    if draw.random() < 0.1:
        files[
            draw.choice((name.upper(), name.replace(".csv", ".CSV"), f"._{name}", "notes.txt", "x.csv"))
        ] = b"a,b\n"
    return name.removesuffix(".csv")


# --- workbooks ------------------------------------------------------------------------------------


def plain_workbook(tables: Tables, *, typed: bool, spoilt: Callable[[Workbook], None] | None = None) -> Files:
    """Return the tables as a workbook; ``typed`` makes numbers and dates of what looks like them."""
    book = Workbook()
    book.remove(book.worksheets[0])
    for table, grid in tables.items():
        sheet = book.create_sheet(re.sub(r"[\\*?:/\[\]]", "_", table)[:31] or "x")
        for number, row in enumerate(grid, start=1):
            for column, text in enumerate(row, start=1):
                if text:
                    _put(sheet, number, column, text, typed=typed)
    if not book.worksheets:
        book.create_sheet("empty")
    if spoilt is not None:
        spoilt(book)
    file = io.BytesIO()
    book.save(file)
    return {WORKBOOK: file.getvalue()}


def _put(sheet: Worksheet, row: int, column: int, text: str, *, typed: bool) -> None:
    cell = sheet.cell(row, column)
    shown = ILLEGAL_CHARACTERS_RE.sub("?", text.encode("utf-8", "replace").decode())[:MOST_IN_CELL]
    cell.value = _value(shown) if typed and row > 1 else shown
    if isinstance(cell.value, str):
        cell.data_type = "s"  # no text is a formula here, whatever it begins with


def _value(text: str) -> str | int | float | date:
    if re.fullmatch(r"-?(0|[1-9][0-9]{0,14})", text):
        return int(text)
    if re.fullmatch(r"-?(0|[1-9][0-9]{0,9})\.[0-9]{1,4}", text):
        return float(text)
    if re.fullmatch(r"(19[0-9]{2}|20[0-9]{2})-[0-9]{2}-[0-9]{2}", text):
        try:
            return date.fromisoformat(text)
        except ValueError:
            return text
    return text


ODD_VALUES = (
    True, False, 0, -1, 1.5, 46_118, 1e300, 0.1 + 0.2, 12.000000001, date(2026, 3, 9),
    datetime.fromisoformat("2026-03-09T13:05"),
    time(7, 30), "=1+1", "=ORDERS!A1", "=A1:A3", "#REF!", "#N/A", "#DIV/0!", "text", " ", "_x000D_", "=",
)  # fmt: skip
FORMATS = (
    "0%",
    "0.00",
    "yyyy-mm-dd",
    "@",
    "[h]:mm",
    "[$-407]d. mmmm yyyy",
    ";;;",
    "0,0",
    "General",
    "d/m/yy",
    '"x"0',
)


def odd_workbook(draw: Random) -> Callable[[Workbook], None]:
    """Return what spoils a workbook before it is saved: an odd cell, format, merge, or hidden part."""

    def spoil(book: Workbook) -> None:
        sheet = draw.choice(book.worksheets)
        rows, columns = max(sheet.max_row, 1), max(sheet.max_column, 1)
        row, column = draw.randint(1, rows), draw.randint(1, columns)
        what = draw.randrange(7)
        if what <= 1:
            sheet.cell(row, column).value = draw.choice(ODD_VALUES)
        elif what == 2:
            sheet.cell(row, column).number_format = draw.choice(FORMATS)
        elif what == 3:
            sheet.merge_cells(
                start_row=row, start_column=column, end_row=row + 1, end_column=column + draw.randint(0, 2)
            )
        elif what == 4:
            sheet.sheet_state = draw.choice(("hidden", "veryHidden"))
            sheet.row_dimensions[row].hidden = True
        elif what == 5:
            sheet.cell(draw.choice((60, 5000)), draw.choice((1, 40, 300))).value = draw.choice(ODD_VALUES)
        else:
            draw.choice((book.create_chartsheet, book.create_sheet))(
                draw.choice(("Chart", "notes", "order", "Pace"))
            )

    return spoil


PARTS = (
    (rb"<v>[^<]*</v>", (b"<v></v>", b"<v>abc</v>", b"<v>1e999</v>", b"<v>-1</v>", b"<v>NaN</v>")),
    (rb' r="[A-Z]+[0-9]+"', (b' r="XFD1048576"', b' r="A0"', b' r="ZZZZ9"', b"", b' r="A-1"', b' r="A1"')),
    (rb' t="[a-z]+"', (b' t="b"', b' t="e"', b' t="d"', b' t="str"', b' t="zz"', b"", b' t="inlineStr"')),
    (rb' s="[0-9]+"', (b' s="9999"', b' s="-1"', b' s="x"')),
    (rb"<row ", (b'<row hidden="1" ', b"<row><row ", b"<rows ", b'<row r="x" ')),
    (rb"</c>", (b"", b"</c></c>", b"<f>1/0</f></c>", b"<is><t>x</t></is></c>")),
    (rb"<sheetData>", (b"<sheetData/>", b"<!--x--><sheetData>", b"<!DOCTYPE x []><sheetData>")),
    (rb' name="[^"]*"', (b' name=""', b' name="orders"', b' name="&amp;"', b' name="a&#10;b"')),
    (rb' sheetId="[0-9]+"', (b' sheetId="1"', b' sheetId="x"')),
    (rb' r:id="[^"]*"', (b' r:id="rId999"', b' r:id="rId1"', b"")),
    (rb' Target="[^"]*"', (b' Target="x.xml"', b' Target="../../../etc/passwd"', b' Target=""')),
    (rb"<t[^>]*>[^<]*</t>", (b"<t>&lt;</t>", b"<t/>", b"<t>&#0;</t>", b"<t>" + b"x" * 2000 + b"</t>", b"")),
    (rb'encoding="?[^"?]*"?', (b'encoding="utf-16"', b'encoding="latin-1"', b'encoding="x"')),
)  # fmt: skip


def damage(draw: Random, data: bytes) -> bytes:
    """Return a workbook's bytes with a part changed, lost or doubled, or with other bytes altogether."""
    what = draw.randrange(10)
    if what == 0:
        return data[: draw.randrange(len(data))]
    if what == 1:
        made = bytearray(data)
        for _ in range(draw.choice((1, 3, 30))):
            made[draw.randrange(len(made))] = draw.randrange(256)
        return bytes(made)
    if what == 2:
        return draw.choice(
            (b"", b"PK", b"PK\x03\x04", b"a,b\n", b"%PDF-1.7", b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1", data * 2)
        )
    return _repacked(draw, data, what)


def _repacked(draw: Random, data: bytes, what: int) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        parts = {name: archive.read(name) for name in archive.namelist()}
    name = draw.choice(sorted(parts))
    if what == 3:
        del parts[name]
    elif what == 4:
        parts[name] = draw.choice((b"", b"<x/>", b"<x>", b"\0" * 100, parts[name][: len(parts[name]) // 2]))
    else:
        pattern, forms = draw.choice(PARTS)
        hits = [(each, found) for each in sorted(parts) for found in re.finditer(pattern, parts[each])]
        if hits:
            each, found = draw.choice(hits)
            parts[each] = parts[each][: found.start()] + draw.choice(forms) + parts[each][found.end() :]
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", draw.choice((zipfile.ZIP_DEFLATED, zipfile.ZIP_STORED))) as archive:
        for each, content in parts.items():
            archive.writestr(each, content)
    return file.getvalue()
