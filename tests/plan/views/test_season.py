"""The season in numbers: sums that agree with the plan's own tables, counted here in another way."""

import csv
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from farms import delivery, make_crop, make_farm, target
from plans import Batch, build, settle
from samples import demand, small_farm, small_plan

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.outputs.csv_folder import read_plan
from scheduler.plan.rows import HoursRow, SeedRow
from scheduler.plan.views.season import asked, heads_ordered, season, weeks

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "alder-quay"


def cells(table):
    with (EXAMPLE / "plan" / "tables" / f"{table}.csv").open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


@pytest.fixture(scope="module")
def example():
    farm = build_farm(read_book(EXAMPLE / "book"))
    return farm, season(farm, read_plan(EXAMPLE / "plan", farm.calendar))


def monday(text):
    day = date.fromisoformat(text)
    return day - timedelta(days=day.weekday())


def test_deliveries_of_the_example_are_counted_as_its_table_has_them(example):
    _, found = example
    rows = [row for row in cells("demands") if row["reported"] == "yes"]
    for each, firm, is_target in (
        (found.firm, "yes", "no"),
        (found.flexible, "no", "no"),
        (found.targets, "no", "yes"),
    ):
        own = [row for row in rows if (row["firm"], row["target"]) == (firm, is_target)]
        assert each.deliveries == len(own)
        assert each.complete == sum(row["state"] == "filled" for row in own)
        assert each.ordered == sum(int(row["amount"]) for row in own)
        assert each.filled == sum(int(row["filled"]) for row in own)
        assert each.ordered == each.filled + each.missing + each.beyond


def test_heads_of_the_example_by_week_and_crop_are_those_of_its_cuts(example):
    farm, found = example
    crop_of = {row["lot"]: row["crop"] for row in cells("lots")}
    cut, used = Counter(), Counter()
    for row in cells("cuts"):
        cut[monday(row["day"]), crop_of[row["lot"]]] += int(row["heads"])
    for row in cells("fills"):
        used[monday(row["cut_day"])] += int(row["heads"])
    last = farm.date_of(found.last)
    assert sum(cut.values()) > 0
    for week in found.weeks:
        start = farm.date_of(week.first)
        assert dict(week.heads) == {crop: cut.pop((start, crop), 0) for crop in farm.crops}
        assert week.heads_used == used.pop(start, 0)
    assert all(start > last for start, _ in cut)


def test_hours_of_the_example_by_week_are_those_of_its_table(example):
    farm, found = example
    minutes = Counter()
    for row in cells("hours"):
        minutes[monday(row["day"]), row["work"]] += round(float(row["minutes"]) * 100)
    for week in found.weeks:
        start = farm.date_of(week.first)
        assert week.minutes == {work: minutes[start, work] for work in week.minutes}
    assert found.worked == sum(each for (day, _), each in minutes.items() if day <= farm.date_of(found.last))


def test_seed_and_orders_of_the_example_cost_what_its_tables_say(example):
    farm, found = example
    rows = [row for row in cells("seed") if date.fromisoformat(row["day"]) <= farm.date_of(found.last)]
    assert found.seed_cost == sum(round(float(row["cost"]) * 100) for row in rows)
    assert {each.crop: each.seeds for each in found.seed} == {
        crop: sum(int(row["seeds"]) for row in rows if row["crop"] == crop)
        for crop in farm.crops
        if any(row["crop"] == crop for row in rows)
    }
    assert found.supplies_cost == sum(round(float(row["cost"]) * 100) for row in cells("supplies"))


def test_weeks_of_the_example_add_up_to_its_season(example):
    _, found = example
    for kind in ("firm", "flexible", "targets"):
        whole = getattr(found, kind)
        for count in ("deliveries", "complete", "ordered", "filled", "missing"):
            assert sum(getattr(getattr(week, kind), count) for week in found.weeks) == getattr(whole, count)


def test_a_delivery_takes_the_heads_it_gets_and_those_its_missing_units_would_take():
    crops = [make_crop("Lettuce"), make_crop("Gem")]
    farm = make_farm(crops=crops, products={"Bag": {"Lettuce": 1500, "Gem": 2500}})
    row = demand("a", 3, product="Bag", amount=10, filled=7)
    # 3 bags at 1.5 plants are 4.5 heads, so 5
    assert heads_ordered(farm, row, {"Gem": 17}) == 17 + 5
    assert heads_ordered(farm, replace(row, filled=10), {"Gem": 25}) == 25
    assert heads_ordered(farm, replace(row, filled=8), {"Lettuce": 12}) == 12 + 3


def test_units_missing_are_told_apart_by_whether_anything_could_reach_them():
    rows = [
        demand("a", 1),
        demand("b", 2, state="short", filled=3),
        demand("c", 3, state="too early", filled=20),
        demand("d", 4, state="out of reach", filled=0),
    ]
    found = asked(rows)
    assert (found.deliveries, found.complete, found.short, found.unreachable) == (4, 1, 1, 2)
    assert (found.ordered, found.filled, found.missing, found.beyond) == (96, 47, 21, 28)


def test_what_is_short_stands_firm_ones_first_and_what_is_out_of_reach_by_product_and_reason():
    rows = (
        demand("a", 5, firm=False, state="short", filled=0),
        demand("b", 9, state="short", filled=0),
        demand("c", 7, state="short", filled=0),
        demand("d", 2, state="too early", filled=4, reason="not before"),
        demand("e", 1, state="too early", filled=0, reason="not before"),
        demand("f", 40, reported=False, state="short", filled=0),
    )
    found = season(*shown(rows))
    assert [row.demand for row in found.short] == ["c", "b", "a"]
    (early,) = found.unreachable
    assert (early.deliveries, early.missing, early.first, early.last) == (2, 44, 1, 2)


def shown(rows):
    farm = small_farm()
    product = replace(next(iter(make_farm().products.values())), name="Leaf lettuce")
    return replace(farm, products={"Leaf lettuce": product}), small_plan(
        demands=rows, lots=(), cuts=(), seed=()
    )


def test_a_week_begins_on_monday_and_the_first_and_last_are_cut_to_the_plan():
    farm = make_farm(days=17, today=3)
    assert [(week.first, week.last) for week in weeks(farm, build(farm))] == [(3, 6), (7, 13), (14, 16)]


def test_work_and_crew_before_today_are_not_of_the_season():
    farm = make_farm(days=14, today=2, crew=60_00)
    plan = replace(
        build(farm),
        hours=tuple(HoursRow(day=day, work="cut", minutes=100, crew=60_00) for day in (0, 2, 13)),
    )
    first, second = weeks(farm, plan)
    assert (first.minutes["cut"], second.minutes["cut"]) == (100, 100)
    assert (first.crew, second.crew) == (5 * 60_00, 7 * 60_00)


def test_a_target_whose_week_began_before_today_counts_in_the_week_of_today():
    farm = make_farm(days=28, today=9, demands=[target("Lettuce", 7, 5)])
    found = weeks(farm, settle(farm, build(farm)))
    assert [week.targets.deliveries for week in found] == [1, 0, 0]


def test_heads_that_nobody_asked_for_are_left():
    farm = make_farm(demands=[delivery("Lettuce", 34, 10)])
    plan = build(farm, Batch(), fills=[("Lettuce 34", "LET-260302", 34, 10)])
    (week,) = [week for week in weeks(farm, plan) if week.heads_cut]
    assert (week.heads_cut, week.heads_used, week.heads_left, week.heads_ordered) == (12, 10, 2, 10)
    # by mass, what is used may round up where what is cut rounds down
    assert replace(week, heads_used=13).heads_left == 0


def test_seed_past_the_last_day_is_not_of_the_season():
    farm = make_farm(days=10, span=20)
    rows = tuple(
        SeedRow(crop="Lettuce", variety="one", day=day, cells=4, seeds=4, cost=5) for day in (0, 9, 9, 10)
    )
    (found,) = season(farm, replace(build(farm), seed=rows)).seed
    assert (found.sowings, found.first, found.last, found.seeds, found.cost) == (2, 0, 9, 12, 15)
