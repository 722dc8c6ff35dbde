"""A drawn trough: rafts and boards in their slots with lots and plants; what came and left in words."""

import re
import xml.etree.ElementTree as ET

import pytest
from drawn import SVG, boxes, hostile_farm, parts, shared_units, titles, words
from farms import EVER, make_crop, make_farm
from plans import Batch, build
from reports import example

from scheduler.outputs.drawings import trough_sheets, trough_svg
from scheduler.outputs.drawings.trough import troughs
from scheduler.plan.views.standing import standing_on

TWO_RAFTS = Batch(rows=3, boards=(12,), rafts=(6, 6))
DAY = 98


def test_every_unit_of_the_example_is_a_box_that_says_what_is_in_it():
    farm, plan = example()
    for trough in troughs(farm):
        found = boxes(trough_svg(farm, plan, trough, DAY))
        told = {title.split(" (")[0]: title for title in found}
        standing = [each for place in standing_on(farm, plan, DAY, trough) for each in place.standing]
        units = {f"Slot {each.slot}: {each.item} {each.unit}": each for each in standing}
        assert {name for name in told if not name.endswith(": free")} == set(units)
        for name, each in units.items():
            for load in each.loads:
                assert f"{load.lot} {load.crop}: {load.plants} plants of {load.put_in}" in told[name]


def test_a_box_has_the_code_of_its_crop_its_lot_its_plants_and_the_day_it_is_cut():
    farm = make_farm()
    found = boxes(trough_svg(farm, build(farm, TWO_RAFTS), "Trough", 25))
    raft = next(texts for title, texts in found.items() if title.startswith("Slot 1: raft R1"))
    assert raft == ["LET", "6 plants", "LET-260302", "cut Sun 5 Apr"]


def test_a_raft_that_came_on_the_day_is_tagged_and_thickly_framed():
    farm = make_farm()
    plan = build(farm, TWO_RAFTS)
    today, later = (trough_svg(farm, plan, "Trough", day) for day in (20, 21))
    assert (words(today).count("in"), words(later).count("in")) == (3, 0)
    assert "came in on this day" in words(today)
    assert 'stroke-width="2.2"' in today
    assert 'stroke-width="2.2"' not in later


def test_what_left_on_the_day_stands_below_its_row_with_its_lot_and_plants():
    farm = make_farm()
    plan = build(farm, TWO_RAFTS)
    drawn = trough_svg(farm, plan, "Trough", 34)
    assert {"R1: LET-260302 6", "R2: LET-260302 6", "left on this day"} <= set(words(drawn))
    assert "B1: LET-260302 12, to Trough 1" in words(trough_svg(farm, plan, "Trough", 20))


def test_a_raft_that_was_cut_and_stays_says_how_many():
    farm = make_farm(crops=[make_crop("Basil", cuts=2, interval=7)])
    plan = build(farm, Batch(crop="Basil", rafts=(6,), cuts=((34, 5), (41, 6))))
    drawn = trough_svg(farm, plan, "Trough", 34)
    assert {"cut 5", "plants cut on this day, the raft stays"} <= set(words(drawn))


def test_an_empty_raft_says_that_it_waits():
    farm = make_farm()
    ahead = Batch(rafts=(6,), cuts=((40, 6),))
    plan = build(farm, ahead, Batch(sown=1, board_day=11, raft_day=21, rafts=(6,), cuts=((35, 6),)))
    drawn = trough_svg(farm, plan, "Trough", 37)
    assert {"empty", "waits its turn"} <= set(words(drawn))
    assert any("Empty: waits for those ahead of it" in title for title in boxes(drawn))


def test_free_and_closed_slots_are_words_not_only_looks():
    farm = make_farm(lane_slots=((EVER, 6), (22, 4)))
    drawn = trough_svg(farm, build(farm, TWO_RAFTS), "Trough", 25)
    found = [title for title in boxes(drawn) if title.endswith((": free", "closed on this day"))]
    assert found == [
        "Slot 6: closed on this day",
        "Slot 5: closed on this day",
        "Slot 4: free",
        "Slot 3: free",
    ]
    assert (words(drawn).count("free"), words(drawn).count("closed")) == (2, 2)
    assert "closed slot" in words(drawn)


def test_rows_go_from_the_intake_end_on_the_left_to_slot_1_at_the_harvest_end():
    farm = make_farm()
    drawn = trough_svg(farm, build(farm, TWO_RAFTS), "Trough", 25)
    ends = {each.text: float(each.get("x")) for each in parts(drawn, "text") if each.text.endswith(" end")}
    assert ends["intake end"] < ends["harvest end"]
    numbers = [(float(e.get("x")), int(e.text)) for e in parts(drawn, "text") if (e.text or "").isdigit()]
    assert [slot for _, slot in sorted(numbers)][:6] == [6, 5, 4, 3, 2, 1]


def test_boxes_too_narrow_for_the_word_tell_the_day_alone_and_the_legend_says_what_it_is():
    farm = make_farm(lane_slots=60)
    drawn = trough_svg(farm, build(farm, TWO_RAFTS), "Trough", 25)
    assert {"5 Apr", "day of the next cut, or of moving on"} <= set(words(drawn))


def test_boards_alone_have_no_ends_and_go_from_slot_1():
    farm = make_farm(lanes=0)
    plan = build(farm, Batch(rafts=()))
    drawn = trough_svg(farm, plan, "Trough", 15)
    assert not [text for text in words(drawn) if text.endswith(" end")]
    assert [text for text in words(drawn) if text.isdigit()] == [str(slot) for slot in range(1, 9)]


def test_lots_that_share_a_board_are_each_named():
    farm, plan = example()
    shared = shared_units(farm, plan, DAY, "North trough")
    found = boxes(trough_svg(farm, plan, "North trough", DAY))
    assert shared
    for each in shared:
        texts = next(texts for title, texts in found.items() if each.unit in title)
        assert {f"{load.lot}: {load.plants}" for load in each.loads if load.plants} <= set(texts)


@pytest.mark.parametrize(("lanes", "slots"), [(1, 60), (2, 20), (60, 9), (3, 45)])
def test_however_long_and_many_rows_are_every_slot_is_drawn_within_the_width(lanes, slots):
    farm = make_farm(lanes=lanes, lane_slots=slots)
    rafts = Batch(rows=3, boards=(12,), rafts=(6,) * (slots - 1), cuts=((34, 6),))
    plan = build(farm, *(Batch(**{**vars(rafts), "lane": f"Trough {n + 1}"}) for n in range(lanes)))
    drawn = trough_svg(farm, plan, "Trough", 25)
    assert len([title for title in boxes(drawn) if ": raft R" in title]) == lanes * (slots - 1)
    least = 33 if lanes == 60 else 43
    for each in parts(drawn, "g"):
        title, frame = each.find(f"{SVG}title"), each.find(f"{SVG}rect")
        if title is not None and frame is not None and title.text.startswith("Slot"):
            x = float(re.match(r"translate\((\S+) ", each.get("transform", "translate(0 0)"))[1])
            assert x >= 0
            assert x + float(frame.get("width")) <= 801
            assert float(frame.get("width")) >= least


def test_rows_in_which_nothing_stands_are_told_in_one_line():
    farm = make_farm(lanes=40)
    drawn = trough_svg(farm, build(farm, TWO_RAFTS), "Trough", 25)
    assert "row 2 to 40: free, 6 slots each" in words(drawn)


def test_drawings_for_pages_hold_the_same_boxes_and_are_no_higher_than_a_page():
    farm = make_farm(lanes=70, lane_slots=9)
    plan = build(farm, *(Batch(rafts=(6,) * 3, lane=f"Trough {n + 1}") for n in range(70)))
    pages = [str(page) for page in trough_sheets(farm, plan, "Trough", 25, tallest=1000)]
    assert len(pages) > 1
    assert all(float(ET.fromstring(page).get("height")) <= 1000 for page in pages)
    rafts = [title for page in pages for title in boxes(page) if ": raft R" in title]
    assert sorted(rafts) == sorted(t for t in boxes(trough_svg(farm, plan, "Trough", 25)) if ": raft R" in t)
    assert all("harvest end" in words(page) for page in pages)


def ids(drawing):
    return re.findall(r' id="([^"]*)"', drawing)


def test_ids_never_clash_in_a_page_with_many_drawings_and_every_reference_is_kept():
    farm, plan = example()
    many = [trough_svg(farm, plan, trough, day) for trough in troughs(farm) for day in (60, 61, DAY)]
    many += map(str, trough_sheets(farm, plan, "North trough", 62, tallest=300))
    assert len({name for drawing in many for name in ids(drawing)}) == sum(len(ids(each)) for each in many)
    for drawing in many:
        assert set(re.findall(r"url\(#([^)]*)\)", drawing)) == set(ids(drawing))


def test_the_same_plan_gives_the_same_drawing():
    farm, plan = example()
    assert trough_svg(farm, plan, "North trough", DAY) == trough_svg(farm, plan, "North trough", DAY)


def test_names_that_would_break_a_drawing_stay_text():
    farm, plan = hostile_farm()
    drawn = trough_svg(farm, plan, troughs(farm)[0], 25)
    tags = {each.tag.removeprefix(SVG) for each in ET.fromstring(drawn).iter()}
    assert tags == {"svg", "title", "defs", "pattern", "path", "g", "rect", "text", "line", "polygon"}
    assert "\u202e" not in drawn
    assert any("x" * 300 in title for title in titles(drawn))
    assert not [text for text in words(drawn) if len(text) > 150]


def test_a_drawing_refers_to_nothing_outside():
    farm, plan = example()
    drawn = trough_svg(farm, plan, "North trough", DAY)
    assert re.findall(r"[a-z]+://[^\"' ]+", drawn) == [SVG.strip("{}")]
    assert "href" not in drawn


def test_a_trough_that_is_not_there_is_refused():
    farm, plan = example()
    with pytest.raises(KeyError):
        trough_svg(farm, plan, "Shelf A", 0)
