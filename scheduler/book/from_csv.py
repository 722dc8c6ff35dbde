"""A book as a folder of CSV files: one file a table, named after it."""

import csv
import io
from pathlib import Path

from scheduler.book.faults import FaultLog, quoted
from scheduler.book.names import meant, plain
from scheduler.book.place import Cell
from scheduler.book.raw import MOST_BYTES, MOST_ROWS, UTF16_MARKS, RawBook, RawTable, raw_table
from scheduler.book.schema import load_schema


def read_folder(folder: Path) -> RawBook:
    """Read every ``.csv`` file of a folder into grids of text.

    Other files and folders are left alone, so a README may lie beside the tables. Nothing is raised:
    whatever is wrong stands in the faults of the result.
    """
    log = FaultLog()
    tables: dict[str, RawTable] = {}
    unread: set[str] = set()
    for name, path in _table_files(folder, log, unread).items():
        table = _read_table(name, path, log)
        if table is None:
            unread.add(name)
        else:
            tables[name] = table
    return RawBook(source=str(folder), tables=tables, unread=frozenset(unread), faults=tuple(log))


def _table_files(folder: Path, log: FaultLog, unread: set[str]) -> dict[str, Path]:
    """Return table name -> file; unknown and doubled names are faults."""
    known = load_schema().tables
    files: dict[str, Path] = {}
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() != ".csv" or path.name.startswith((".", "~")):
            continue
        name = plain(path.stem)
        if not path.is_file():
            # a table that is there and cannot be read must not count as one that is left out
            if name in known:
                log.add(Cell(path.name), _instead_of_a_file(path), "a CSV file of that name", "unreadable")
                unread.add(name)
            continue
        if name not in known:
            expected = meant(path.stem, known, most=40)
            log.add(
                Cell(path.name),
                "a file that is no table of the book",
                expected.replace("'?", ".csv'?") if expected.endswith("?") else expected,
                "unknown-table",
            )
        elif name in files:
            log.add(Cell(path.name), f"a second file for {name}", f"{files[name].name} alone", "double-table")
            unread.add(name)
        else:
            files[name] = path
    return files


def _instead_of_a_file(path: Path) -> str:
    if path.is_dir():
        return "a folder"
    return "a link that leads nowhere" if path.is_symlink() else "no file that can be read"


def _read_table(name: str, path: Path, log: FaultLog) -> RawTable | None:
    data = _read_bytes(name, path, log)
    if data is None:
        return None
    # Bytes that are no UTF-8 become lone surrogates here, so each can be told with its cell.
    text = data.decode("utf-8-sig", errors="surrogateescape")
    records = _records(name, text, log)
    if records is None or not _heading_is_usable(name, records, log):
        return None
    bad = [_check_cells(name, number, cells, log) for number, cells in records]
    return None if any(bad) else raw_table(name, records)


def _read_bytes(name: str, path: Path, log: FaultLog) -> bytes | None:
    try:
        size = path.stat().st_size
        if size > MOST_BYTES:
            found = f"a file of {size / 1e6:.1f} million bytes"
            log.add(Cell(name), found, f"at most {MOST_BYTES // 1_000_000} million", "too-large")
            return None
        data = path.read_bytes()
    except OSError as error:
        log.add(
            Cell(name), f"a file that cannot be opened ({error.strerror})", "a file to read", "unreadable"
        )
        return None
    if data.startswith(UTF16_MARKS):
        log.add(Cell(name), "text in UTF-16", "UTF-8: save the sheet as 'CSV UTF-8'", "bad-encoding")
        return None
    if not data.strip():
        log.add(Cell(name), "an empty file", "a heading row with the names of the columns", "empty-table")
        return None
    return data


def _records(name: str, text: str, log: FaultLog) -> list[tuple[int, list[str]]] | None:
    """Split into records, numbered so that a line break between quotation marks shifts nothing."""
    records: list[tuple[int, list[str]]] = []
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        for number, cells in enumerate(reader, start=1):
            if number > MOST_ROWS:
                log.add(
                    Cell(name, number, 1),
                    f"more than {MOST_ROWS} rows",
                    f"at most {MOST_ROWS}",
                    "too-many-rows",
                )
                return None
            records.append((number, cells))
    except csv.Error as error:
        log.add(
            Cell(name, len(records) + 1, 1),
            f"a row that cannot be split into cells ({error})",
            "quotation marks in pairs, and doubled inside a cell",
            "bad-quotes",
        )
        return None
    return records


def _heading_is_usable(name: str, records: list[tuple[int, list[str]]], log: FaultLog) -> bool:
    heading = records[0][1] if records else []
    filled = [cell for cell in heading if cell.strip()]
    if not filled:
        log.add(
            Cell(name, 1, 1),
            "a blank first row",
            "a heading row with the names of the columns",
            "empty-table",
        )
        return False
    for mark, words in ((";", "semicolons"), ("\t", "tabs")):
        if len(filled) == 1 and mark in filled[0]:
            log.add(
                Cell(name, 1, 1),
                f"{words} between the columns",
                "commas, and a point in numbers",
                "bad-separator",
            )
            return False
    return True


def _check_cells(name: str, number: int, cells: list[str], log: FaultLog) -> bool:
    """Note cells with bytes that are no text; say whether there were any."""
    bad = False
    for column, cell in enumerate(cells, start=1):
        if any("\udc80" <= char <= "\udcff" for char in cell):
            log.add(
                Cell(name, number, column),
                f"bytes that are not UTF-8 in {quoted(cell)}",
                "UTF-8: save the sheet as 'CSV UTF-8'",
                "bad-encoding",
            )
            bad = True
        elif "\0" in cell:
            log.add(Cell(name, number, column), f"a NUL byte in {quoted(cell)}", "text", "bad-encoding")
            bad = True
    return bad
