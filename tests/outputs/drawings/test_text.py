"""Widths of texts: never below those of the font drawings are made with, so nothing leaves its box."""

from pathlib import Path

import matplotlib
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from matplotlib.ft2font import FT2Font

from scheduler.outputs.drawings.pen import lot_in_short
from scheduler.outputs.drawings.text import clipped, clipped_name, first_fitting, width_of

FONTS = Path(matplotlib.get_data_path()) / "fonts" / "ttf"
LETTERS = [
    chr(code) for code in (*range(32, 127), *range(0xC0, 0x17F), *range(0x400, 0x450), *range(0x5D0, 0x5EB))
]


def real_width(letter, file):
    font = FT2Font(str(FONTS / file))
    font.set_size(100, 72)
    return font.load_char(ord(letter)).linearHoriAdvance / 65536 / 100


@pytest.mark.parametrize(("file", "bold"), [("DejaVuSans.ttf", False), ("DejaVuSans-Bold.ttf", True)])
def test_letters_are_never_taken_for_narrower_than_they_are(file, bold):
    narrower = {
        letter: real_width(letter, file)
        for letter in LETTERS
        if width_of(letter, 1, bold=bold) < real_width(letter, file) - 0.005
        # the few that are wider still are made up for by the others of a word
        and real_width(letter, file) < 0.9
    }
    assert narrower == {}


@settings(max_examples=60, deadline=None, derandomize=True)
@given(text=st.text(max_size=60), room=st.floats(0, 200))
def test_a_clipped_text_fits_and_says_that_it_was_clipped(text, room):
    shown = clipped(text, room, 10)
    assert width_of(shown, 10) <= room
    assert shown == text or shown == "" or "\N{HORIZONTAL ELLIPSIS}" in shown


def test_a_text_from_right_to_left_is_marked_on_its_left():
    assert clipped("خس أحمر طويل", 40, 10).endswith("\N{HORIZONTAL ELLIPSIS}\N{RIGHT-TO-LEFT MARK}")
    assert clipped("a long text", 40, 10).endswith("\N{HORIZONTAL ELLIPSIS}")


def test_the_longest_way_to_say_it_that_fits_is_taken_and_the_shortest_is_clipped():
    ways = ["cut Wed 30 May", "cut 30 May", "30 May"]
    assert first_fitting(ways, 500, 10) == "cut Wed 30 May"
    assert first_fitting(ways, width_of("cut 30 May", 10), 10) == "cut 30 May"
    assert first_fitting(ways, 20, 10) == "3\N{HORIZONTAL ELLIPSIS}"


def test_a_long_name_keeps_the_number_that_tells_it_from_others():
    trough = "The very long trough behind the northern glasshouse"
    shown = clipped_name(f"{trough} 12", trough, 120, 11)
    assert shown.endswith("\N{HORIZONTAL ELLIPSIS} 12")
    assert width_of(shown, 11, bold=True) <= 120
    assert clipped_name("Row 1", "Row", 120, 11) == "Row 1"


def test_a_lot_code_keeps_its_end_which_tells_it_from_others_of_its_crop():
    room = width_of("260330T", 9)
    assert lot_in_short("BUT-260330", "BUT", 500, 9) == "BUT-260330"
    assert lot_in_short("BUT-260330", "BUT", room, 9) == "260330"
    assert lot_in_short("G-BUT-260330T", "BUT", width_of("G-260330T", 9), 9) == "G-260330T"
    assert lot_in_short("G-BUT-260330T", "BUT", room, 9) == "\N{HORIZONTAL ELLIPSIS}0330T"
