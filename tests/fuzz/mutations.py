"""Ways to mutate the tables of a sound book, by kind; each says which tables it touched, and what it spoilt.

A mutation is a function ``(draw, tables) -> Touch | None``; None when the book has nothing it could act on.
It changes the tables in place. A mutation that spoils a cell makes one that no book may have there, so that
the check has to name that very cell.
"""

from fuzz.mutated_cells import (
    any_text,
    blank_cell,
    other_choice,
    other_name,
    rename_everywhere,
    rename_key,
    spoil_cell,
)
from fuzz.mutated_grids import (
    blank_rows,
    double_column,
    double_row,
    drop_column,
    drop_row,
    drop_sheet,
    empty_sheet,
    new_column,
    new_sheet,
    odd_heading,
    ragged_row,
    rename_sheet,
    shuffle_columns,
    shuffle_rows,
    swap_sheets,
)
from fuzz.mutated_values import (
    all_dates,
    long_text,
    many_rows,
    other_date,
    other_size,
    other_units,
    swap_dates,
    unit_in_cell,
    unit_in_heading,
)
from fuzz.spots import Mutation

KINDS: dict[str, tuple[Mutation, ...]] = {
    "cells": (any_text, any_text, spoil_cell, spoil_cell, blank_cell, other_choice),
    "names": (rename_key, rename_everywhere, other_name),
    "columns": (drop_column, double_column, odd_heading, new_column, new_column, shuffle_columns),
    "rows": (drop_row, double_row, shuffle_rows, ragged_row, blank_rows),
    "sheets": (drop_sheet, empty_sheet, rename_sheet, swap_sheets, new_sheet),
    "sizes": (other_size, other_size, other_size, many_rows, long_text),
    "dates": (other_date, other_date, all_dates, swap_dates),
    "units": (other_units, unit_in_cell, unit_in_heading),
}
