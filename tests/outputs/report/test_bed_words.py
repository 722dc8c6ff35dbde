"""Words for what is picked in beds: positions, pieces and grams, picked and not cut."""

import re

import pytest
from farms import delivery, growing, make_crop, make_farm
from solving import quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.outputs.charts import crops_chart, harvest_chart
from scheduler.outputs.report.rows import row_of
from scheduler.outputs.workbook.harvest import deliveries_sheet
from scheduler.plan.views.lines import Delivery, Discarding, PullingOut
from scheduler.plan.views.week import week_sheets
from scheduler.plan.words import done_word, sum_in_words, sum_nouns

TOMATO = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(4000, 4000))
BEAN = make_crop("Bean", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(90_000, 90_000), by_mass=True)


def farm(crops, **needs):
    demands = [delivery(crop.name, 12, 8 if not crop.is_sold_by_mass else 40) for crop in crops]
    return make_farm(**({"crops": crops, "demands": demands, "beds": {"Bed": 6}, "days": 28} | needs))


@pytest.mark.parametrize(
    ("crops", "nouns", "done"),
    [
        ([quick_crop()], "heads", "cut"),
        ([TOMATO], "pieces", "picked"),
        ([BEAN], "kg", "picked"),
        ([quick_crop(), TOMATO, BEAN], "heads, pieces and kg", "harvested"),
    ],
)
def test_sums_are_told_in_what_the_crops_give(crops, nouns, done):
    made = farm(crops)
    assert (sum_nouns(made), done_word(made)) == (nouns, done)


def test_one_head_is_one_head_and_a_mixture_names_all(tmp_path):
    assert sum_in_words(farm([quick_crop()]), 1) == "1 head"
    assert [sum_in_words(farm([TOMATO]), number) for number in (1, 2)] == ["1 piece", "2 pieces"]
    assert [sum_in_words(farm([BEAN]), number) for number in (1, 2)] == ["1 kg", "2 kg"]
    assert sum_in_words(farm([quick_crop(), TOMATO]), 1200) == "1,200 heads and pieces"


def test_charts_and_deliveries_tell_pieces_that_are_picked():
    made = farm([TOMATO])
    plan = solved(made, 0.5)
    assert "Pieces picked and ordered in each of" in harvest_chart(made, plan)
    assert "Pieces picked of each of 1 crops" in crops_chart(made, plan)
    lots = [cell for row in deliveries_sheet(made, plan).rows for cell in row if "TOM-" in str(cell)]
    assert lots
    assert all(re.fullmatch(r"\d+ pieces? of TOM-\d+, picked .*", str(cell)) for cell in lots)
    lines = [line for sheet in week_sheets(made, plan) for line in lines_of(sheet) if type(line) is Delivery]
    said = [str(each) for line in lines for each in row_of(line, made).source]
    assert said
    assert all("picked" in each and "pieces" in each.replace("\xa0", " ") for each in said)


def lines_of(sheet):
    return [line for day in sheet.days for lines in day.work.values() for line in lines]


def test_plants_thrown_away_on_the_first_day_show_their_bed_once():
    old = growing("Tomato", StageKind.BED, -30, 4, 4, order=2)
    made = farm([TOMATO], growing=[old])
    plan = solved(made, 0.5)
    (task,) = [task for task in plan.tasks if task.work == "discard"]
    assert task.where == "Bed positions 2-5"
    lines = [line for sheet in week_sheets(made, plan) for line in lines_of(sheet)]
    (thrown,) = [line for line in lines if type(line) is Discarding]
    row = row_of(thrown, made)
    assert "Bed" in str(row.source[0])
    assert str(row.source[1]) == "positions 2 to 5"
    assert not [line for line in lines if type(line) is PullingOut and line.lot == "G"]
