"""A book as pandas DataFrames, for a notebook."""

from fractions import Fraction
from typing import TYPE_CHECKING

from scheduler.book.book import Book
from scheduler.book.schema import load_schema

if TYPE_CHECKING:
    from pandas import DataFrame


def book_frames(book: Book) -> "dict[str, DataFrame]":
    """Return table name -> DataFrame with the schema's columns, one row a row of the book.

    Values are typed as parsed, defaults included, blanks None: dates are dates, numbers with a fraction
    are floats, lists and weekdays are tuples. ``settings`` is one row with a column for each setting.
    """
    # pandas takes a third of a second to import and is needed only here.
    from pandas import DataFrame

    frames = {"settings": DataFrame([_plain(dict(book.settings.values))])}
    for table in load_schema().tables.values():
        if table.name != "settings":
            rows = [_plain(dict(row.values)) for row in book.rows(table.name)]
            frames[table.name] = DataFrame(
                rows, columns=[column.name for column in table.columns], dtype=object
            )
    return frames


def _plain(values: dict[str, object]) -> dict[str, object]:
    return {name: float(value) if isinstance(value, Fraction) else value for name, value in values.items()}
