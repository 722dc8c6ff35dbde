"""Where in a book something stands: a table and the address a spreadsheet shows."""

from dataclasses import dataclass


def column_letters(number: int) -> str:
    """Return the letters of a column counted from 1: 1 is ``A``, 27 is ``AA``."""
    letters = ""
    while number > 0:
        number, rest = divmod(number - 1, 26)
        letters = chr(ord("A") + rest) + letters
    return letters


@dataclass(frozen=True, slots=True, order=True)
class Cell:
    """One cell of a book.

    Attributes:
        table: name of the table, or of the file or folder when there is no table.
        row: 1 is the heading; 0 means the table as a whole.
        column: 1 is ``A``; a whole row is told by its first cell.
    """

    table: str
    row: int = 0
    column: int = 0

    @property
    def address(self) -> str:
        """The address within the table, such as ``D14``; empty for the whole table."""
        return f"{column_letters(self.column)}{self.row}" if self.row else ""

    def __str__(self) -> str:
        return f"{self.table}!{self.address}" if self.row else self.table
