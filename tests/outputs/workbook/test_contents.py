"""The workbook says what the plan's tables say: nothing lost, nothing made up, in whole units."""

from collections import Counter, defaultdict
from pathlib import Path

import pytest
from opened import day, opened, table, words

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.outputs.csv_folder import read_plan

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "alder-quay"


@pytest.fixture(scope="module")
def example():
    farm = build_farm(read_book(EXAMPLE / "book"))
    plan = read_plan(EXAMPLE / "plan", farm.calendar)
    return farm, plan, opened(farm, plan)


def test_tasks_are_those_of_the_reported_days(example):
    farm, plan, workbook = example
    wanted = [
        (
            day(farm, row.day),
            *(row.work, row.lot or None, row.crop or None),
            *(row.units or None, row.unit_kind or None, row.plants or None),
            *(row.where or None, row.to or None, row.note or None),
            *([None] * 5),
            row.key,
        )
        for row in plan.tasks
        if row.day < farm.calendar.days
    ]
    got = [tuple(row.values()) for row in table(workbook, "tasks")]
    assert sorted(got, key=str) == sorted(wanted, key=str)
    assert [row[0] for row in got] == sorted(row[0] for row in got)
    assert 0 < len(got) < len(plan.tasks)


def test_deliveries_are_the_reported_demands_with_the_lots_that_fill_them(example):
    farm, plan, workbook = example
    rows = [row for row in plan.demands if row.reported]
    got = table(workbook, "deliveries")
    assert [
        (each["day"], each["order"], each["customer"], each["product"], each["ordered (units)"])
        for each in got
    ] == [(day(farm, row.day), row.order, row.customer or None, row.product, row.amount) for row in rows]
    assert [(each["filled (units)"], each["state"], each["priority"]) for each in got] == [
        (row.filled, row.state, row.priority) for row in rows
    ]
    assert [each["price (EUR)"] for each in got] == [row.price / 100 for row in rows]
    fills = Counter(row.demand for row in plan.fills)
    assert [each["lots"].count("cut ") if each["lots"] else 0 for each in got] == [
        fills[row.demand] for row in rows
    ]


def test_harvests_add_up_to_the_cuts(example):
    farm, plan, workbook = example
    cuts = [row for row in plan.cuts if row.day < farm.calendar.days]
    heads = defaultdict(int)
    for row in cuts:
        heads[day(farm, row.day), row.lot] += row.heads
    got = table(workbook, "harvests")
    assert {(each["day"], each["lot"]): each["heads"] for each in got} == heads
    assert sum(each["plants"] for each in got) == sum(row.plants for row in cuts)
    assert all(each["to deliveries"] + each["left over"] == each["heads"] for each in got)


def test_lots_are_those_sown_by_the_last_day(example):
    farm, plan, workbook = example
    wanted = {
        row.lot: (row.crop, day(farm, row.sown), row.cells, row.plants)
        for row in plan.lots
        if row.sown is None or row.sown < farm.calendar.days
    }
    got = {
        each["lot"]: (each["crop"], each["sown"], each["cells"], each["plants"])
        for each in table(workbook, "lots")
    }
    assert got == wanted


def test_hours_seed_and_supplies_are_those_of_the_tables(example):
    farm, plan, workbook = example
    days = farm.calendar.days
    minutes = defaultdict(int)
    for row in plan.hours:
        if row.day < days:
            minutes[row.day] += row.minutes
    got = {each["day"]: each["all work (hours)"] for each in table(workbook, "hours")}
    assert got == pytest.approx({day(farm, number): total / 6000 for number, total in minutes.items()})
    assert [
        (each["sowing day"], each["crop"], each["cells"], each["seeds"], each["cost (EUR)"])
        for each in table(workbook, "seed")
    ] == [
        (day(farm, row.day), row.crop, row.cells, row.seeds, row.cost / 100)
        for row in plan.seed
        if row.day < days
    ]
    assert [
        (each["order by"], each["item"], each["packs"], each["pieces needed"], each["cost (EUR)"])
        for each in table(workbook, "supplies")
    ] == [(day(farm, row.order_by), row.item, row.packs, row.needed, row.cost / 100) for row in plan.supplies]


def test_places_have_the_slots_used_and_open_on_the_fullest_day_of_each_week(example):
    farm, plan, workbook = example
    use = defaultdict(list)
    for row in plan.use:
        if row.day < farm.calendar.days:
            monday = farm.date_of(farm.calendar.week_start(row.day))
            use[row.place, f"{monday.day} {monday:%b %Y}"].append((row.used, row.slots))
    got = table(workbook, "places")
    assert [each["place"] for each in got] == [place.name for place in farm.places]
    found = {
        (each["place"], label): (each[label], each[f"{label} open"])
        for each in got
        for label in {week for _, week in use}
    }
    assert found == {
        key: max(days, key=lambda pair: (pair[0] / pair[1], pair[0])) for key, days in use.items()
    }


def test_weeks_add_up_to_the_other_sheets(example):
    _, _, workbook = example
    weeks = table(workbook, "weeks")
    sums = {
        "ordered (units)": ("deliveries", "ordered (units)"),
        "filled (units)": ("deliveries", "filled (units)"),
        "cells sown": ("seed", "cells"),
        "heads cut": ("harvests", "heads"),
        "work (hours)": ("hours", "all work (hours)"),
    }
    for heading, (sheet, column) in sums.items():
        total = sum(row[column] for row in table(workbook, sheet))
        assert sum(week[heading] for week in weeks) == pytest.approx(total), heading
        assert total > 0
    assert len(weeks) == 26


def test_the_summary_says_what_is_reached_and_links_to_every_sheet(example):
    _, plan, workbook = example
    said = words(workbook, "summary")
    firm = [row for row in plan.demands if row.reported and row.firm and not row.target]
    assert f"Firm deliveries | All {len(firm):,} are filled" in said
    assert "cost" in said
    links = [
        cell.hyperlink.location.split("!")[0].strip("'")
        for row in workbook["summary"].iter_rows()
        for cell in row
        if cell.hyperlink
    ]
    assert links == [name for name in workbook.sheetnames if name != "summary"]


def test_it_says_how_the_plan_was_made_and_what_is_left_out(example):
    farm, plan, workbook = example
    said = words(workbook, "made")
    for key, value in plan.made.items():
        assert f"{key} | {'yes' if value is True else 'no' if value is False else value}" in said
    assert "days of sowing | Mon Thu" in said
    assert "figure" in said
    assert "tables/*.csv" in said
    assert [row.crop for row in plan.own_figures if row.crop not in said] == []
    assert farm.name in said
