"""The form of the workbook: tables, filters, dates, print set-up, words beside colours, same bytes twice."""

import io
import zipfile
from dataclasses import replace
from datetime import datetime

import pandas as pd
import pytest
from farms import EVER, make_crop, make_farm, make_greens
from opened import opened, table, words
from openpyxl import load_workbook
from plans import Batch, build
from samples import demand, small_farm, small_plan, task

from scheduler.book.faults import FaultLog
from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.outputs.workbook import plan_workbook, sheets
from scheduler.outputs.workbook.harvest import harvests_sheet, lots_sheet
from scheduler.plan.rows import HoursRow, Plan, UseRow
from scheduler.records.sheets import told_in_sheet
from scheduler.records.tasks import Tasks

TABLES = [
    "tasks",
    "weeks",
    "lots",
    "harvests",
    "deliveries",
    "shortfalls",
    "places",
    "supplies",
    "seed",
    "hours",
    "money",
]


@pytest.fixture(scope="module")
def workbook():
    return opened(small_farm(), small_plan())


def test_sheets_stand_in_the_order_they_are_wanted_in(workbook):
    assert workbook.sheetnames == ["summary", "charts", *TABLES, "made"]


@pytest.mark.parametrize("name", TABLES)
def test_each_sheet_is_one_table_with_filters_and_a_heading_that_stays(workbook, name):
    sheet = workbook[name]
    (made,) = sheet.tables.values()
    assert made.displayName == f"plan_{name}"
    assert made.ref == sheet.dimensions
    assert made.autoFilter.ref == made.ref
    assert [column.name for column in made.tableColumns] == [cell.value for cell in sheet[1]]
    assert len({cell.value.lower() for cell in sheet[1]}) == len(sheet[1])
    assert sheet.freeze_panes == "B2"
    assert sheet.print_title_rows == "$1:$1"


@pytest.mark.parametrize("name", ["summary", "charts", *TABLES, "made"])
def test_each_sheet_prints_on_a4_landscape_fitted_to_the_width_with_head_and_foot(workbook, name):
    sheet = workbook[name]
    assert (sheet.page_setup.orientation, sheet.page_setup.paperSize) == ("landscape", 9)
    assert sheet.sheet_properties.pageSetUpPr.fitToPage
    assert sheet.page_setup.fitToWidth == 1
    assert sheet.oddHeader.left.text == "Alder Quay"
    assert sheet.oddHeader.right.text == "Mon 2 Mar 2026 to Sun 29 Mar 2026"
    assert (sheet.oddFooter.left.text, sheet.oddFooter.right.text) == ("&A", "&P / &N")


def test_what_is_done_is_ticked_beside_its_work_however_long_its_words_are():
    wide = {name: "long words " * 9 for name in ("unit_kind", "where", "to", "note")}
    plan = small_plan(tasks=(task("move", 3, "transplant", lot="G-BTS-260723R1", crop="Name " * 9, **wide),))
    sheet = opened(small_farm(), plan)["tasks"]
    assert sum(each.width for each in sheet.column_dimensions.values() if not each.hidden) > sheets.PAGE_WIDTH
    assert sheet.page_setup.fitToWidth == 1


def test_the_first_sheet_prints_without_its_links_to_the_others(workbook):
    sheet = workbook["summary"]
    said = [cell.value for cell in sheet["A"]]
    last = said.index("Sheets of this workbook") - 1
    assert said[last - 1 : last + 1] == ["1. firm deliveries", None]
    assert sheet.print_area == f"'summary'!$A$1:$I${last}"


def test_the_same_farm_and_plan_give_the_same_bytes_without_the_clock():
    data = plan_workbook(small_farm(), small_plan())
    assert data == plan_workbook(small_farm(), small_plan())
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        assert {part.date_time for part in archive.infolist()} == {(1980, 1, 1, 0, 0, 0)}
    properties = opened(small_farm(), small_plan()).properties
    assert properties.created == properties.modified == datetime(2026, 3, 2)  # noqa: DTZ001
    assert (properties.creator, properties.title) == ("raftway", "Plan of Alder Quay")


def test_dates_are_dates_shown_with_their_weekday_and_money_in_whole_units(workbook):
    sheet = workbook["tasks"]
    assert sheet["A2"].is_date
    assert "ddd" in sheet["A2"].number_format
    (row,) = table(workbook, "seed")
    assert row["cost (EUR)"] == 2.35
    assert workbook["seed"]["F2"].number_format == "#,##0.00"


def test_tasks_have_empty_boxes_to_fill_in_and_turn_grey_when_done(workbook):
    sheet = workbook["tasks"]
    heading = [cell.value for cell in sheet[1]]
    done, counted = (sheet.cell(2, heading.index(name) + 1) for name in ("done", "counted"))
    assert done.value is counted.value is None
    assert done.border.left.style == counted.border.right.style == "thin"
    (choice,) = sheet.data_validations.dataValidation
    assert (str(choice.sqref), choice.formula1) == (done.coordinate, '"yes,no"')
    (rules,) = sheet.conditional_formatting
    assert rules.rules[0].formula == [f'${done.column_letter}2<>""']


def test_what_is_filled_into_the_boxes_of_a_task_can_be_recorded(tmp_path):
    farm, plan = replace(small_farm(), crops={"Butterhead": make_crop("Butterhead")}), small_plan()
    path = tmp_path / "plan.xlsx"
    path.write_bytes(plan_workbook(farm, plan))
    book = load_workbook(path)
    sheet = book["tasks"]
    heading = [cell.value for cell in sheet[1]]
    key = sheet.cell(2, heading.index("task") + 1).value
    for name, value in {"done": "yes", "who": "Ana", "seed lot": "S-1", "remark": "thin"}.items():
        sheet.cell(2, heading.index(name) + 1).value = value
    book.save(path)
    log = FaultLog()
    (entry,) = told_in_sheet(path, Tasks(farm, plan), log)
    assert list(log) == []
    told = {name: entry.given[name] for name in ("task", "who", "seed_lot", "note")}
    assert told == {"task": key, "who": "Ana", "seed_lot": "S-1", "note": "thin"}


def test_tasks_of_a_day_stand_in_the_order_of_the_work():
    plan = small_plan(tasks=(task("a", 3, "cut"), task("b", 3, "sow"), task("c", 1, "deliver")))
    assert [row["work"] for row in table(opened(small_farm(), plan), "tasks")] == ["deliver", "cut", "sow"]


def test_what_is_short_has_a_colour_and_the_word_in_its_number_format():
    plan = small_plan(demands=(demand("a", 1, state="short", filled=20, reason="no place"),))
    found = opened(small_farm(), plan)
    weeks = found["weeks"]
    heading = [cell.value for cell in weeks[1]]
    cell = weeks.cell(2, heading.index("short (units)") + 1)
    assert (cell.value, cell.number_format) == (4, '[=0]0;#,##0" short"')
    ranges = {str(each.sqref): [rule.formula for rule in each.rules] for each in weeks.conditional_formatting}
    assert [f"${cell.column_letter}2>0"] in ranges[f"{cell.column_letter}2:{cell.column_letter}5"]
    (row,) = table(found, "shortfalls")
    assert (row["state"], row["missing (units)"], row["missing (EUR)"]) == ("short", 4, 9.6)
    assert row["reason"] == "no place"


def test_a_full_a_closed_and_a_partly_closed_place_say_so_in_words():
    steps = ((EVER, 9), (7, 6), (14, 0))
    farm = replace(
        small_farm(),
        places=(Place(name="Row", belongs_to="Trough", kind=PlaceKind.LANE, slots=Steps(steps)),),
    )
    used = {0: (9, 9), 7: (6, 6), 8: (5, 6), 14: (0, 0), 21: (3, 9)}
    rows = tuple(UseRow(place="Row", day=day, used=each, slots=of) for day, (each, of) in used.items())
    plan = small_plan(use=rows, positions=())
    sheet = opened(farm, plan)["places"]
    assert [cell.value for cell in sheet[1]][:7] == [
        "place",
        "part of",
        "kind",
        "slots",
        "weeks full",
        "2 Mar 2026",
        "9 Mar 2026",
    ]
    assert [cell.value for cell in sheet[2]] == [
        *("Row", "Trough", "row", 9, 2),
        *(9, 6, 0, 3),
        *(9, 6, 0, 9),
    ]
    assert [cell.number_format for cell in sheet[2]][5:9] == [
        '0" full"',
        '0" of 6 full"',
        '0;;"closed"',
        "#,##0",
    ]
    assert sheet.column_dimensions["J"].hidden
    full, closed = (rule.formula[0] for each in sheet.conditional_formatting for rule in each.rules)
    assert full == "AND(ISNUMBER(J2),J2>0,F2>=J2)"
    assert closed == "AND(ISNUMBER(J2),J2=0)"


def test_places_are_few_enough_in_number_formats_however_their_slots_change():
    steps = ((EVER, 500), *((day, 100 + day) for day in range(200)))
    farm = replace(
        make_farm(days=1400, lanes=1),
        places=(Place(name="Zone", belongs_to="T", kind=PlaceKind.ZONE, slots=Steps(steps)),),
    )
    use = tuple(UseRow(place="Zone", day=day * 7, used=1, slots=100 + day) for day in range(200))
    sheet = opened(farm, small_plan(use=use, positions=()))["places"]
    assert 50 < len({cell.number_format for cell in sheet[2]}) < 70


def test_charts_draw_the_table_of_weeks():
    farm = make_farm(days=28, crew=60_00)
    found = opened(farm, build(farm, Batch()))
    with zipfile.ZipFile(io.BytesIO(plan_workbook(farm, build(farm, Batch())))) as archive:
        charts = [archive.read(name).decode() for name in archive.namelist() if "charts/chart" in name]
    assert len(charts) == 3
    headings = [cell.value for cell in found["weeks"][1]]
    beyond = "too early or out of reach (units)"
    for heading in ("filled (units)", "short (units)", beyond, "work (hours)", "rows in use"):
        letter = found["weeks"].cell(1, headings.index(heading) + 1).column_letter
        assert sum(f"'weeks'!${letter}$2:${letter}$5" in chart for chart in charts) == 1, heading
    assert sum("crew" in chart for chart in charts) == 1


def test_a_farm_without_board_zones_and_without_a_crew_has_no_columns_for_them():
    farm = make_farm(days=28, zones=0)
    found = opened(farm, build(farm, Batch(board_day=None)))
    headings = {cell.value for name in ("weeks", "hours") for cell in found[name][1]}
    assert "rows in use" in headings
    assert not {each for each in headings if "board zones" in each or "crew" in each}


def test_hours_say_what_the_crew_has_and_when_it_is_full():
    farm = replace(small_farm(), crew=Steps(((EVER, 60_00),)))
    plan = small_plan(hours=(HoursRow(day=0, work="sow", minutes=60_00, crew=60_00),))
    found = opened(farm, plan)
    (row,) = table(found, "hours")
    assert (row["sow (minutes)"], row["all work (hours)"], row["crew has (hours)"]) == (60, 1, 1)
    assert row["crew in use"] == 1
    assert found["hours"]["E2"].number_format == '[>=1]"full";0 %'


def empty_plan():
    return Plan(
        **{name: () for name in Plan.__slots__ if name != "made"},
        made={},
    )


def test_a_plan_with_nothing_in_it_still_has_every_sheet_and_says_that_there_is_nothing():
    farm = small_farm()
    found = opened(farm, empty_plan())
    assert found.sheetnames == ["summary", "charts", *TABLES, "made"]
    assert found["tasks"]["A2"].value == "There is nothing to do."
    assert found["shortfalls"]["A2"].value == "Nothing is short."
    assert found["tasks"].tables["plan_tasks"].ref == "A1:P2"
    assert "None were asked for." in words(found, "summary")
    assert [row["ordered (units)"] for row in table(found, "weeks")] == [0] * 4


def test_a_farm_without_any_place_is_written_too():
    found = opened(replace(small_farm(), places=()), small_plan(use=(), positions=()))
    assert found["places"]["A2"].value == "The farm has no places."


def test_forty_crops_all_stand_in_the_summary():
    crops = [make_crop(f"Crop {number}", code=f"C{number:02}") for number in range(40)]
    farm = make_farm(crops=crops, lanes=40, lane_slots=4, rafts=200, tiers=9, zones=9)
    batches = [Batch(crop=f"Crop {n}", lane=f"Trough {n + 1}") for n in range(40)]
    said = words(opened(farm, build(farm, *batches)), "summary")
    assert [n for n in range(40) if f"\nCrop {n} | 1 | 12 | 12 | 12" not in said] == []


def test_pandas_reads_dates_and_numbers_from_every_table():
    frames = pd.read_excel(io.BytesIO(plan_workbook(small_farm(), small_plan())), sheet_name=TABLES)
    assert str(frames["tasks"]["day"].dtype).startswith("datetime64")
    assert frames["deliveries"]["ordered (units)"].tolist() == [24]
    assert frames["places"]["slots"].tolist() == [4, 4, 6, 9, 9]


def test_rows_a_sheet_has_no_room_for_go_on_in_further_sheets(monkeypatch):
    monkeypatch.setattr(sheets, "MOST_ROWS", 2)
    plan = small_plan(tasks=tuple(task(f"{n}", n, "sow") for n in range(5)))
    found = opened(small_farm(), plan)
    names = ("tasks", "tasks 2", "tasks 3")
    assert [len(table(found, name)) for name in names] == [2, 2, 1]
    assert [row["task"] for name in names for row in table(found, name)] == ["0", "1", "2", "3", "4"]
    assert [name for name in names if name not in words(found, "summary")] == []
    for name, rows in zip(names, (2, 2, 1), strict=True):
        (made,) = found[name].tables.values()
        assert (made.displayName, made.ref.split(":")[0]) == (f"plan_{name.replace(' ', '_')}", "A1")
        (choice,) = found[name].data_validations.dataValidation
        assert [str(cells) for cells in choice.sqref.ranges] == [f"K2:K{rows + 1}" if rows > 1 else "K2"]


def test_four_hundred_rows_over_two_years_stay_a_small_file():
    rows = [
        Place(name=f"Trough {n}", belongs_to="Trough", kind=PlaceKind.LANE, slots=Steps(((EVER, 9),)))
        for n in range(400)
    ]
    farm = replace(make_farm(days=728), places=tuple(rows))
    use = tuple(
        UseRow(place=row.name, day=7 * week, used=(week + n) % 10, slots=9)
        for n, row in enumerate(rows)
        for week in range(104)
    )
    data = plan_workbook(farm, small_plan(use=use, positions=()))
    assert len(data) < 2_000_000
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        places = archive.read(f"xl/worksheets/sheet{3 + TABLES.index('places')}.xml")
    assert places.count(b"<row ") == 401
    assert b'ref="A1:HE401"' in places or b'r="HE401"' in places


def test_harvests_and_lots_are_counted_in_what_the_crops_give():
    greens = make_greens("Cress", days=8, window=2, grams=150)
    tomato = make_crop("Tomato", bed=(4, 10_000))
    mixed = make_farm(crops=[make_crop("Lettuce"), greens, tomato], open_trays=4, beds={"Bed": 4})
    for farm, heading in ((make_farm(), "heads"), (mixed, "heads, g and pieces")):
        for sheet in (harvests_sheet(farm, build(farm)), lots_sheet(farm, build(farm))):
            assert heading in [column.heading for column in sheet.columns]
