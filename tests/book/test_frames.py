from datetime import date

from helpers import write_book

from scheduler.book.book import read_book
from scheduler.book.frames import book_frames
from scheduler.book.schema import load_schema


def test_every_table_of_a_book_is_a_frame_with_the_columns_of_the_schema(tmp_path):
    book = read_book(write_book(tmp_path))
    frames = book_frames(book)
    assert list(frames) == list(load_schema().tables)
    for table in load_schema().tables.values():
        if table.name != "settings":
            assert list(frames[table.name].columns) == [column.name for column in table.columns]
            assert len(frames[table.name]) == len(book.rows(table.name))


def test_values_keep_their_types_and_defaults(tmp_path):
    frames = book_frames(read_book(write_book(tmp_path)))
    assert frames["settings"].loc[0, "first_day"] == date(2026, 3, 2)
    assert isinstance(frames["troughs"].loc[0, "width"], float)
    assert frames["orders"].loc[0, "kind"] == "firm"
