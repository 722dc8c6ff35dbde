"""Numbers as cells of a book: exact where a cell can hold them, and never more than it is read with."""

from fractions import Fraction

import pytest

from scheduler.book.decimals import MOST_DECIMALS, decimal_text
from scheduler.book.number_hints import NUMBER


@pytest.mark.parametrize(
    ("number", "text"),
    [
        (24, "24"),
        (100, "100"),
        (0, "0"),
        (Fraction(3, 10), "0.3"),
        (Fraction(-5, 4), "-1.25"),
        (Fraction(-1, 2), "-0.5"),
        (Fraction(1, 3), "0.333333333333"),
        (Fraction(2, 3), "0.666666666666"),
        (Fraction(-1, 10**13), "0"),
        (Fraction(123456789, 1000), "123456.789"),
    ],
)
def test_a_number_is_written_in_plain_digits_and_cut_after_what_a_cell_may_have(number, text):
    assert decimal_text(number) == text


def test_a_cell_is_read_with_as_many_digits_behind_the_point_as_are_written():
    smallest = Fraction(1, 10**MOST_DECIMALS)
    assert Fraction(decimal_text(smallest)) == smallest
    assert NUMBER.fullmatch(decimal_text(smallest))
    assert not NUMBER.fullmatch(decimal_text(smallest) + "0")
