"""A drawn season: one band a lot, in the slots it holds, from the day it comes to the day it leaves."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from drawn import SVG, boxes, hostile_farm, parts, titles, words
from farms import EVER, make_farm
from plans import Batch, build
from reports import example

from scheduler.outputs.drawings import flow_sheets, flow_svg
from scheduler.outputs.drawings.flow import LEFT, flow_places
from scheduler.outputs.drawings.pen import WIDTH
from scheduler.plan.views.flow import flows


def test_every_lot_that_goes_through_a_place_has_one_band_and_no_other_has():
    farm, plan = example()
    drawn = flow_svg(farm, plan, "North trough")
    [*found] = flows(farm, plan, ["North trough boards", "North trough 1", "North trough 2"])
    lots = sorted((flow.place, lot) for flow in found for lot in {s.lot for s in flow.stretches if s.lot})
    told = re.compile(r"^(\S+) .*: [0-9]+ \w+ in (North trough[ \w]*), \w{3} ", re.MULTILINE)
    assert sorted((place, lot) for lot, place in told.findall("\n".join(titles(drawn)))) == lots


def test_the_legend_has_every_crop_that_stands_in_a_place_and_no_other():
    farm, plan = example()
    crop_of = {row.lot: row.crop for row in plan.lots}
    stretches = [each for flow in flows(farm, plan, ["North trough 1"]) for each in flow.stretches]
    there = {crop_of[each.lot] for each in stretches if each.lot}
    assert there < set(farm.crops)
    assert set(titles(flow_svg(farm, plan, "North trough 1"))) & set(farm.crops) == there


def test_a_band_lies_in_its_days_and_slots():
    farm = make_farm(days=40)
    drawn = flow_svg(farm, build(farm, Batch(rafts=(6, 6))), "Trough 1")
    [title] = [title for title in boxes(drawn, "LET")]
    assert title == "LET-260302 Lettuce: 2 rafts in Trough 1, Sun 22 Mar 2026 to Sat 4 Apr 2026"
    band = next(each for each in parts(drawn, "path") if each.get("fill", "").startswith("#E69F00"))
    points = [tuple(map(float, pair.split())) for pair in re.findall(r"[ML]([^MLZ]+)", band.get("d"))]
    day = (WIDTH - LEFT) / 40
    high = 18
    assert {x for x, _ in points} == {round(LEFT + 20 * day, 2), round(LEFT + 34 * day, 2)}
    assert {y for _, y in points} == {6 * high, 4 * high}


def test_bands_carry_a_code_where_it_fits():
    farm = make_farm(days=40)
    assert "LET-260302" in words(flow_svg(farm, build(farm, Batch(rafts=(6, 6))), "Trough 1"))
    farm = make_farm(days=360)
    drawn = words(flow_svg(farm, build(farm, Batch(rafts=(6, 6))), "Trough 1"))
    assert "LET-260302" not in drawn
    assert drawn.count("LET") == 2


def test_empty_rafts_that_wait_and_closed_slots_are_drawn_and_explained():
    farm = make_farm(lane_slots=((EVER, 6), (60, 4)))
    ahead = Batch(rafts=(6,), cuts=((40, 6),))
    plan = build(farm, ahead, Batch(sown=1, board_day=11, raft_day=21, rafts=(6,), cuts=((35, 6),)))
    drawn = flow_svg(farm, plan, "Trough 1")
    assert "Empty rafts that wait for those ahead of them" in titles(drawn)
    assert "2 slots closed from Fri 1 May 2026" in titles(drawn)
    assert {"empty, waits for those ahead of it", "slots closed on these days"} <= set(words(drawn))


def test_places_in_which_nothing_stands_are_told_in_one_line():
    farm, plan = example()
    assert "Shelf A 3 to Shelf A 5: nothing stands here on these days" in words(
        flow_svg(farm, plan, "Shelf A")
    )


def test_weeks_begin_on_mondays_and_the_day_planning_starts_is_marked():
    farm = replace(make_farm(days=70), today=9)
    drawn = flow_svg(farm, build(farm, Batch(sown=9, board_day=19, raft_day=29, cuts=((43, 6),))), "Trough")
    assert {"2 Mar", "9 Mar", "4 May"} <= set(words(drawn))
    assert "Planned from Wed 11 Mar 2026 on" in titles(drawn)


def test_a_drawing_can_be_had_of_every_name_there_is():
    farm, plan = example()
    names = flow_places(farm)
    assert names[:3] == ["Shelf A", "North trough", "South trough"]
    assert "North trough 1" in names
    assert all(ET.fromstring(flow_svg(farm, plan, name)).get("role") == "img" for name in names)
    with pytest.raises(KeyError):
        flow_svg(farm, plan, "Nowhere")


def test_pages_are_no_higher_than_asked_and_begin_with_the_weeks():
    farm = make_farm(lanes=40)
    plan = build(farm, *(Batch(rafts=(6,) * 3, lane=f"Trough {n + 1}") for n in range(40)))
    pages = [str(page) for page in flow_sheets(farm, plan, "Trough", tallest=700)]
    assert len(pages) > 1
    assert all(float(ET.fromstring(page).get("height")) <= 700 for page in pages)
    assert all("weeks from" in words(page) for page in pages)
    names = [name for page in pages for name in re.findall(r' id="([^"]*)"', page)]
    assert len(names) == len(set(names))


def test_names_that_would_break_a_drawing_stay_text_and_the_same_plan_gives_the_same_drawing():
    farm, plan = hostile_farm()
    for name in flow_places(farm):
        drawn = flow_svg(farm, plan, name)
        assert drawn == flow_svg(farm, plan, name)
        tags = {each.tag.removeprefix(SVG) for each in ET.fromstring(drawn).iter()}
        assert tags <= {"svg", "title", "defs", "pattern", "path", "g", "rect", "text", "line", "polygon"}
