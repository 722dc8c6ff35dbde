"""Books of any content, for tests of what both of their forms must keep."""

import tempfile
from datetime import date
from pathlib import Path

from hypothesis import strategies as st

from scheduler.book.book import Book, read_raw
from scheduler.book.grids import grids_of
from scheduler.book.names import plain
from scheduler.book.raw import RawBook, raw_table
from scheduler.book.schema import load_schema
from scheduler.book.to_csv import csv_files
from scheduler.book.to_xlsx import workbook_file

SCHEMA = load_schema()
SETTING_DAY = date(2026, 1, 1)
WORKS = ("sow", "transplant", "raft", "harvest")
LETTERS = st.characters(exclude_categories=["Cs"], exclude_characters="\0")
ANY_TEXT = st.one_of(
    st.text(LETTERS, max_size=20),
    st.sampled_from(
        [
            "=1+1", "+49 30", "-", "-5", "@home", "'=x", "''=x", "'t Zilte", '"', 'a "b" c', "two\nlines",
            "\u202bשלום\u202c", "🥬🥗", "a,b;c\td", "_x0041_", "_x005F_x000D_", "#REF!", "TRUE", "007",
            "1e5", "46118", "a\r\nb",
            "2026-03-02", "0.30", "x" * 1000, "\ufffe", "\x07", "\x85", "\u2028",
        ]
    ),
)  # fmt: skip


def there_and_back(raw: RawBook) -> tuple[RawBook, RawBook, RawBook]:
    """Return a book, the same read from a workbook, and that read from CSV tables."""
    with tempfile.TemporaryDirectory() as folder:
        workbook, tables = Path(folder) / "book.xlsx", Path(folder) / "tables"
        workbook.write_bytes(workbook_file(grids_of(raw)))
        second = read_raw(workbook)
        tables.mkdir()
        for name, data in csv_files(grids_of(second)).items():
            (tables / name).write_bytes(data)
        return raw, second, read_raw(tables)


@st.composite
def any_raw_book(draw: st.DrawFn) -> RawBook:
    """Any tables at all under the right headings: a book that cannot be planned, but can be carried over."""
    tables = {}
    for name, table in SCHEMA.tables.items():
        if not table.required and not draw(st.booleans()):
            continue
        extra = draw(st.lists(st.sampled_from([c.name for c in table.columns]), unique=True, max_size=5))
        columns = [c.name for c in table.columns if c.required or c.name in extra]
        heading = [*columns, *draw(st.sampled_from([[], ["(my remarks)"]]))]
        rows = draw(st.lists(st.lists(ANY_TEXT, min_size=len(heading), max_size=len(heading)), max_size=3))
        tables[name] = raw_table(name, [(1, heading), *enumerate(rows, start=2)])
    return RawBook(source="", tables=tables, unread=frozenset(), faults=())


NAMES = st.text(st.sampled_from("abcÄé漢'=-+ 🥬"), min_size=1, max_size=12).map(
    lambda text: "n" + text.strip()
)


@st.composite
def any_valid_book(draw: st.DrawFn) -> RawBook:
    """Books without a fault: names that refer to each other, and values within their limits."""
    names = {
        "trough": draw(st.lists(NAMES.map("T {}".format), min_size=1, max_size=2, unique_by=plain)),
        "crop": draw(st.lists(NAMES, min_size=1, max_size=3, unique_by=plain)),
    }
    price = st.decimals(0, 1000, places=3).map(str)
    amount = st.integers(0, 500).map(str)
    day = st.dates(min_value=SETTING_DAY, max_value=SETTING_DAY.replace(year=2030)).map(str)
    rows = {
        "settings": [
            ["setting", "value"],
            ["farm", draw(NAMES)],
            ["first_day", draw(day)],
            ["weeks", draw(st.integers(1, 156).map(str))],
            *([f"{work}_days", draw(st.sampled_from(["Mon", "Mon Thu", "daily"]))] for work in WORKS),
            ["hold_days", "2"],
            *draw(
                st.sampled_from([[], [["lift_out", "yes"]], [["lift_minutes", "2.50"], ["currency", "=EUR"]]])
            ),
        ],
        "troughs": [
            ["trough", "width", "length", "raft_width", "raft_length", "lie"],
            *([name, "1.250", "12", ".6", "1.2", "across"] for name in names["trough"]),
        ],
        "shelves": [["shelf", "tiers", "trays_per_tier"], ["Rack", "3", "4.0"]],
        "equipment": [["name", "item", "holes", "owned"], ["36-hole raft", "raft", "36", "40"]],
        "crops": [["crop", "margin_percent"], *([name, draw(price.filter(small))] for name in names["crop"])],
        "products": [["product", "crop"], *([f"sold {name}", name] for name in names["crop"])],
        "orders": [
            ["order", "customer", "product", "amount", "weekdays", "from", "price"],
            *(
                [f"R{number}", draw(NAMES), f"sold {name}", draw(amount), "Tue Fri", draw(day), draw(price)]
                for number, name in enumerate(names["crop"])
            ),
        ],
    }
    tables = {name: raw_table(name, list(enumerate(cells, start=1))) for name, cells in rows.items()}
    return RawBook(source="", tables=tables, unread=frozenset(), faults=())


def small(text: str) -> bool:
    return float(text) <= 300


def values(book: Book) -> object:
    """Return everything a book says."""
    rows = {name: [dict(row.values) for row in table] for name, table in book.tables.items()}
    del rows["settings"]  # their order and blanks mean nothing; what they mean stands in the settings
    return dict(book.settings.values), rows
