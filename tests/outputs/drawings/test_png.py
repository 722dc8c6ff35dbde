"""Drawings as PNG: in colours and letters, without any font of the system, the same each time."""

import io

from PIL import Image
from reports import example

from scheduler.outputs.drawings import trough_svg
from scheduler.outputs.drawings.palette import COLOURS
from scheduler.outputs.drawings.png import png
from scheduler.outputs.drawings.svg import label, svg


def test_a_drawing_is_two_and_a_half_times_its_size_on_white():
    picture = Image.open(io.BytesIO(png(str(svg((40, 20), "x", [], [])))))
    assert picture.size == (100, 50)
    assert picture.convert("RGB").getcolors() == [(5000, (255, 255, 255))]


def test_letters_are_drawn_with_the_font_that_comes_along():
    blank = png(str(svg((40, 20), "x", [], [])))
    assert png(str(svg((40, 20), "x", [], [label(2, 15, "in", 12)]))) != blank


def test_crops_keep_their_colours_and_the_same_drawing_gives_the_same_bytes():
    farm, plan = example()
    drawing = trough_svg(farm, plan, "North trough", 98)
    picture = Image.open(io.BytesIO(png(drawing))).convert("RGB")
    seen = {colour for _, colour in picture.getcolors(maxcolors=1_000_000)}
    wanted = {tuple(bytes.fromhex(colour[1:])) for colour in COLOURS[:3]}
    assert wanted <= seen
    assert png(drawing) == png(drawing)


def test_a_very_high_drawing_is_shown_smaller_but_never_below_its_own_size():
    assert Image.open(io.BytesIO(png(str(svg((4, 10_000), "x", [], []))))).height == 16_000
    assert Image.open(io.BytesIO(png(str(svg((1, 20_000), "x", [], []))))).height == 20_000
