"""One way of writing text into a table: no spreadsheet calculates it, and it is read back as it was."""

import csv
import io
import re
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from scheduler.book.guard import bare, csv_text, guarded, is_calculated
from scheduler.book.raw import cleaned

ROOT = Path(__file__).resolve().parents[2]
SIGNS = "=+-@\t\r\n' \uff1d\uff0b\uff0d\uff20"
TEXTS = st.text(st.sampled_from(f"{SIGNS}ab1"), max_size=6) | st.text(max_size=20)


@given(TEXTS)
@example("''=")
@example("'s-Graveland")
def test_what_is_guarded_is_no_formula_and_is_taken_back_exactly(text):
    assert not is_calculated(guarded(text))
    assert bare(guarded(text)) == text


@pytest.mark.parametrize(
    "text", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx", "  =1", "\u00a0=1", "\uff1dA1", "\uff20x"]
)
def test_every_sign_that_begins_a_formula_is_known(text):
    assert guarded(text) == f"'{text}"


@pytest.mark.parametrize("text", ["", "a=1", "'s-Graveland", "Rows 3-4", "#REF!", "{=1}", "\u2212 1"])
def test_other_text_is_left_as_it_is(text):
    assert guarded(text) == text


def test_tables_written_before_are_read_as_they_were_meant():
    assert bare("''s-Graveland") == "'s-Graveland"
    assert bare("'=1") == "=1"


@given(st.lists(st.lists(st.text(st.characters(exclude_characters="\0")), min_size=1), max_size=4))
@example([[""]])
@example([["a\rb", '"', ","]])
def test_what_is_written_is_csv_with_the_same_cells(rows):
    assert list(csv.reader(io.StringIO(csv_text(rows), newline=""), strict=True)) == rows


def test_nothing_else_writes_csv():
    """A second way of writing would need a guard of its own."""
    others = [
        path.relative_to(ROOT).as_posix()
        for path in (ROOT / "scheduler").rglob("*.py")
        if re.search(r"csv\.(Dict)?[wW]riter|to_csv\(", path.read_text(encoding="utf-8"))
    ]
    assert others == []


@given(TEXTS)
@example("'\nOut of season")
@example("' =rent")
def test_a_cell_that_was_read_is_read_the_same_from_where_it_is_written(text):
    # what stood behind an apostrophe kept its outer spaces, and lost them on the way to the other form
    read = cleaned(text)
    assert cleaned(guarded(read)) == read
    assert read == read.strip()
