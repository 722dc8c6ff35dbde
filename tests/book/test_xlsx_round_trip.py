"""A book goes from one form to the other and back without loss, whatever stands in its cells."""

import csv
import io
import tempfile
from datetime import date
from fractions import Fraction
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st
from workbooks import texts

from scheduler.book.book import Book, read_book, read_raw, typed_book
from scheduler.book.grids import Grid, grids_of
from scheduler.book.names import plain
from scheduler.book.parse import NUMBER
from scheduler.book.raw import RawBook, raw_table
from scheduler.book.schema import CellRule, CellType, load_schema
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


def normal(rule: CellRule | None, text: str) -> str:
    """Return a text as both forms must agree on it: line breaks of one kind, numbers in plain digits."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    if rule and rule.type in (CellType.WHOLE, CellType.NUMBER) and NUMBER.fullmatch(text):
        return str(Fraction(text))
    return text


def content(grids: dict[str, Grid]) -> dict[str, list[dict[str, str]]]:
    found = {}
    for name, grid in grids.items():
        rules = {column.name: column for column in SCHEMA.tables[name].columns}
        rows = []
        for row in grid.rows:
            cells = dict(zip(grid.columns, row, strict=True))
            setting = SCHEMA.settings.get(cells.get("setting", ""))
            rows.append(
                {
                    column: normal(setting if column == "value" else rules.get(column), text)
                    for column, text in cells.items()
                    if text
                }
            )
        if name == "settings":  # a workbook lists those left blank too, all in one order
            rows = [row for row in rows if row.get("setting") not in SCHEMA.settings or len(row) > 1]
            rows.sort(key=lambda row: row.get("setting", ""))
        found[name] = rows
    return {name: rows for name, rows in found.items() if rows}


def there_and_back(raw: RawBook) -> tuple[dict[str, Grid], dict[str, Grid], dict[str, Grid]]:
    first = dict(grids_of(raw))
    with tempfile.TemporaryDirectory() as folder:
        workbook, tables = Path(folder) / "book.xlsx", Path(folder) / "tables"
        workbook.write_bytes(workbook_file(first))
        second = dict(grids_of(read_raw(workbook)))
        tables.mkdir()
        for name, data in csv_files(second).items():
            (tables / name).write_bytes(data)
        third = dict(grids_of(read_raw(tables)))
    return first, second, third


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


@settings(max_examples=20, deadline=None)
@given(any_raw_book())
def test_any_text_in_any_cell_comes_through_both_forms(raw: RawBook) -> None:
    first, second, third = there_and_back(raw)
    assert content(second) == content(first)
    assert content(third) == content(first)


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
    rows = {name: [dict(row.values) for row in table] for name, table in book.tables.items()}
    del rows["settings"]  # their order and blanks mean nothing; what they mean stands in the settings
    return dict(book.settings.values), rows


@settings(max_examples=15, deadline=None)
@given(any_valid_book())
def test_a_valid_book_means_the_same_in_both_forms(raw: RawBook) -> None:
    first, second, third = there_and_back(raw)
    assert content(second) == content(first) == content(third)
    with tempfile.TemporaryDirectory() as folder:
        workbook = Path(folder) / "book.xlsx"
        workbook.write_bytes(workbook_file(first))
        assert values(read_book(workbook)) == values(typed_book(raw))


def test_a_table_as_csv_is_what_any_csv_reader_reads() -> None:
    grid = Grid(name="crew", columns=("weekdays", "hours"), rows=(("Mon", "-5"), ('=a "b"\nc', "+x")))
    data = csv_files({"crew": grid})["crew.csv"]
    assert data == b'weekdays,hours\nMon,-5\n"\'=a ""b""\nc",\'+x\n'
    assert list(csv.reader(io.StringIO(data.decode())))[2] == ['\'=a "b"\nc', "'+x"]


def test_tables_without_rows_are_written_only_if_they_must_be_there() -> None:
    tables = {
        name: raw_table(name, [(1, [c.name for c in table.columns])]) for name, table in SCHEMA.tables.items()
    }
    grids = grids_of(RawBook(source="", tables=tables, unread=frozenset(), faults=()))
    assert list(grids) == [name for name, table in SCHEMA.tables.items() if table.required]


def test_the_example_is_the_same_book_in_both_forms() -> None:
    folder = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "book"
    first, second, third = there_and_back(read_raw(folder))
    assert content(second) == content(first) == content(third)
    assert texts(read_raw(folder))["orders"][0][0] == "order"
