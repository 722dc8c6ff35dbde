"""A drawn shelf: trays with rows of cells for each lot, and domes."""

import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from drawn import SVG, boxes, hostile_farm, parts, shared_units, words
from farms import growing, make_crop, make_farm
from plans import Batch, build
from reports import example

from scheduler.farm.crops import StageKind
from scheduler.outputs.drawings import shelf_sheets, shelf_svg
from scheduler.outputs.drawings.boxes import SMALL, Box
from scheduler.outputs.drawings.palette import crop_styles
from scheduler.outputs.drawings.pen import INK, Pen
from scheduler.outputs.drawings.shelf import shelves
from scheduler.outputs.drawings.text import width_of
from scheduler.outputs.drawings.tray import tray_box
from scheduler.plan.views.standing import standing_on

DAY = 64


def heights(drawing, colour):
    """Heights of what is filled with a colour inside trays."""
    return [
        float(each.get("height"))
        for each in parts(drawing, "rect")
        if each.get("fill") == colour and each.get("width") == "28"
    ]


def test_every_tray_of_the_example_is_a_box_with_its_lots_and_cells():
    farm, plan = example()
    found = boxes(shelf_svg(farm, plan, "Shelf A", DAY))
    trays = [each for place in standing_on(farm, plan, DAY, "Shelf A") for each in place.standing]
    assert len(trays) > 3
    for tray in trays:
        [title] = [title for title in found if tray.unit in title]
        assert title.startswith(f"Slot {tray.slot}: tray {tray.unit} (128-cell tray)")
        for load in tray.loads:
            assert f"{load.lot} {load.crop}: {load.plants} cells of {load.put_in}" in title


def test_each_lot_takes_as_much_of_the_tray_as_it_has_rows_of_cells():
    farm = make_farm()
    drawn = shelf_svg(farm, build(farm, Batch(rows=3)), "Shelf", 3)
    assert heights(drawn, crop_styles(farm)["Lettuce"].colour) == [pytest.approx(46 * 3 / 5, abs=0.01)]
    assert {"LET", "LET-260302", "12 cells", "moves Thu 12 Mar"} <= set(words(drawn))


def test_growing_seedlings_fill_the_tray_by_their_number_and_are_called_plants():
    found = growing("Lettuce", StageKind.TRAY, -5, 10, 1)
    farm = make_farm(growing=[found])
    plan = build(farm, Batch(found=found, board_day=5, boards=(10,), rafts=(6,)))
    drawn = shelf_svg(farm, plan, "Shelf", 2)
    assert heights(drawn, crop_styles(farm)["Lettuce"].colour) == [23]
    assert "10 plants" in words(drawn)


def test_a_dome_is_drawn_and_named_until_it_comes_off():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"dome_days": 4, "dark_days": 2})])
    plan = build(farm, Batch())
    under, dark, off = (words(shelf_svg(farm, plan, "Shelf", day)) for day in (3, 1, 4))
    assert ("dome" in under, "under a dome" in under) == (True, True)
    assert "dome, dark" in dark
    assert not {"dome", "under a dome"} & set(off)


@pytest.mark.parametrize("width", [108, 120, 150, 200])
def test_what_came_in_is_tagged_beside_the_words_of_the_tray_and_not_over_them(width):
    farm, plan = example()
    shared = shared_units(farm, plan, DAY, "Shelf A")
    tray = replace(shared[0], came=True)
    pen = Pen(farm=farm, name="tray", styles=crop_styles(farm))
    drawn = str(tray_box(pen, tray, Box(x=0, y=0, width=width)))
    (tag,) = [each for each in ET.fromstring(drawn).iter("rect") if each.get("fill") == INK]
    first = next(ET.fromstring(drawn).iter("text"))
    end = float(first.get("x")) + width_of(first.text, SMALL, bold=True)
    assert end <= float(tag.get("x"))
    assert first.text.endswith(f"{tray.loads[0].plants}")


def test_trays_that_left_are_told_with_where_their_plants_went():
    farm = make_farm()
    drawn = shelf_svg(farm, build(farm, Batch()), "Shelf", 10)
    assert "T1: LET-260302 12, to Trough boards" in words(drawn)


def test_tiers_in_which_nothing_stands_are_told_in_one_line():
    farm, plan = example()
    assert "Shelf A 3 to Shelf A 5: free, 4 slots each" in words(shelf_svg(farm, plan, "Shelf A", DAY))


def test_many_tiers_with_many_trays_are_drawn_low_and_part_into_pages():
    farm = make_farm(tiers=60, tier_slots=2)
    plan = build(farm, *(Batch(rows=10, sown=n % 3, rafts=()) for n in range(60)))
    drawn = shelf_svg(farm, plan, "Shelf", 5)
    trays = sum(len(place.standing) for place in standing_on(farm, plan, 5, "Shelf"))
    assert trays == 120
    assert len([title for title in boxes(drawn) if ": tray T" in title]) == trays
    pages = [str(page) for page in shelf_sheets(farm, plan, "Shelf", 5, tallest=600)]
    assert all(float(ET.fromstring(page).get("height")) <= 600 for page in pages)
    assert sum(len([title for title in boxes(page) if ": tray T" in title]) for page in pages) == trays


def test_names_that_would_break_a_drawing_stay_text():
    farm, plan = hostile_farm()
    drawn = shelf_svg(farm, plan, shelves(farm)[0], 4)
    tags = {each.tag.removeprefix(SVG) for each in ET.fromstring(drawn).iter()}
    assert tags <= {"svg", "title", "defs", "pattern", "path", "g", "rect", "text", "line", "polygon"}


def test_the_same_plan_gives_the_same_drawing_and_a_shelf_that_is_not_there_is_refused():
    farm, plan = example()
    assert shelf_svg(farm, plan, "Shelf A", DAY) == shelf_svg(farm, plan, "Shelf A", DAY)
    with pytest.raises(KeyError):
        shelf_svg(farm, plan, "North trough", 0)
