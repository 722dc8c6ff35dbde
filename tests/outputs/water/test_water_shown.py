"""The balance of feed in report, chart, workbook, tables and on the screen."""

import io
import re
from dataclasses import replace
from fractions import Fraction

import pytest
from celled import cells, plan_from_cells
from farms import make_farm
from openpyxl import load_workbook
from plan.layout.amounts import Batch, laid

from scheduler.farm.loops.fish import FishTank
from scheduler.farm.loops.water import Band, Member, Water
from scheduler.outputs.chart_svg import INK
from scheduler.outputs.charts import CHARTS
from scheduler.outputs.csv_folder import csv_tables
from scheduler.outputs.report.page import report_html
from scheduler.outputs.show.page import rendered
from scheduler.outputs.water import DECIDE
from scheduler.outputs.water.chart import drawn
from scheduler.outputs.water.screen import water_page
from scheduler.outputs.workbook import plan_workbook
from scheduler.plan.audit import audit

FISH = FishTank(
    name="Tank <1>",
    species="Tilapia",
    stocked=0,
    until=999,
    fish=40,
    start_mass=20_000,
    ratio=1500,
    growth=1500,
)
BANDS = {"leafy": Band(low=40, high=50), "fruiting": Band(low=50, high=80)}
WATER = Water(tanks=(FISH,), parts=("Tank <1>", "Trough"), bands=BANDS)
FARM = replace(make_farm(days=56), water=WATER, raft_areas={"Trough": Fraction(1)})
PLAN = laid(FARM, Batch())
NONE = make_farm(days=28)


def words(html):
    return html.replace("<bdi>", "").replace("</bdi>", "")


def test_a_plan_of_a_farm_with_fish_has_the_balance_and_the_audit_finds_it_sound():
    # one board from day 10 to 20 and two rafts from then to 34, a square metre each
    area = {row.day: row.leafy for row in PLAN.water}
    assert [area[day] for day in (0, 7, 14, 21, 28, 35)] == [0, 57, 1_14, 2_00, 1_71, 0]
    assert PLAN.water[0].state == PLAN.water[5].state == "no plants"
    assert audit(FARM, PLAN) == []


def test_the_report_has_a_section_with_curve_table_and_who_decides():
    page = words(report_html(FARM, PLAN))
    section = page[page.index('id="water"') : page.index('id="back"')]
    assert section.count("<svg") == 1
    assert "Tank &lt;1&gt; (Tilapia): 40 fish of 20 g, 26 g a day on Mon 2 Mar 2026" in section.replace(
        "&#39;", "'"
    )
    assert DECIDE in section
    assert "FAO Fisheries and Aquaculture Technical Paper 589" in section
    assert section.count("plants short of feed:") >= 2
    assert "fish eat too little as yet; enough for this from" in section
    assert '<a href="#water">' in page


def test_a_plan_without_fish_has_no_word_of_them():
    plan = laid(NONE, Batch())
    assert 'id="water"' not in report_html(NONE, plan)
    assert "water" not in csv_tables(NONE.calendar, plan)
    assert "water" not in load_workbook(io.BytesIO(plan_workbook(NONE, plan))).sheetnames


def test_the_table_is_written_and_read_again():
    grids = cells(FARM.calendar, PLAN)
    assert plan_from_cells(FARM.calendar, grids, PLAN.made).water == PLAN.water
    first = csv_tables(FARM.calendar, PLAN)["water"].splitlines()[2]
    assert first.startswith("All water,2026-03-09,2026-03-15,")


def test_the_workbook_has_a_sheet_of_it():
    sheet = load_workbook(io.BytesIO(plan_workbook(FARM, PLAN)))["water"]
    rows = [[cell.value for cell in row] for row in sheet.iter_rows()]
    assert any(row[0] == "All water" and row[7] == PLAN.water[3].eaten for row in rows)


def test_the_curve_has_a_panel_a_loop_and_leaves_days_open_on_which_loops_are_joined():
    members = (
        Member(loop="North", part="Tank <1>", first=-99, last=99),
        Member(loop="South", part="Trough", first=-99, last=99),
        Member(loop="North", part="South", first=16, last=18),
    )
    farm = replace(FARM, water=replace(WATER, members=members))
    svg = CHARTS["water"](farm, laid(farm, Batch()))
    for name in ("North", "South", "North + South"):
        assert f">{name}<" in svg
    assert svg.count("asked by the plants") == 1
    assert "No fish in this book" in drawn(NONE, ())


def test_the_screen_tells_tanks_loops_weeks_and_who_decides():
    text = " ".join(rendered(water_page(FARM, PLAN.water, "Planted as in the plan.")).split())
    assert "Tank <1> (Tilapia): 40 fish of 20 g" in text
    assert "All water: " in text
    for state in {row.state for row in PLAN.water}:
        assert f"{state} in " in text
    assert "lacking, or" in text
    assert text.endswith(DECIDE)


@pytest.mark.parametrize("until", [-1])
def test_a_tank_without_fish_in_the_plan_says_so(until):
    farm = replace(FARM, water=replace(WATER, tanks=(replace(FISH, stocked=-50, until=until),)))
    text = rendered(water_page(farm, laid(farm, Batch()).water, ""))
    assert "no fish, or none that eat, in these weeks" in " ".join(text.split())


def test_the_band_of_the_plants_is_hatched_in_ink():
    # Without colour only the hatch tells the band, so its lines must not have the band's own colour.
    (pattern,) = re.findall(r"<pattern.*?</pattern>", drawn(FARM, PLAN.water), re.DOTALL)
    assert f"stroke: {INK.lower()}" in pattern
