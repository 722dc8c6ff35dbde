"""Substitutes, mixes and outlets in what is printed: one small plan, and what every page says of it."""

import io
from dataclasses import replace
from functools import cache

import openpyxl
from farms import delivery, growing, make_crop, make_farm, make_mix, market
from rich.console import Console
from solving import quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Substitute
from scheduler.outputs.calendars.customers import delivery_entries
from scheduler.outputs.report.season import season_context
from scheduler.outputs.show.answer import answer
from scheduler.outputs.show.page import rendered
from scheduler.outputs.summary import print_summary
from scheduler.outputs.workbook.book import plan_workbook
from scheduler.outputs.workbook.summary import words_of
from scheduler.plan.outlets import gone
from scheduler.plan.sale_rows import OutletRow
from scheduler.plan.views.customer_days import customer_days
from scheduler.plan.views.reached import totals
from scheduler.plan.views.season import season
from scheduler.plan.views.week import week_sheets
from scheduler.plan.views.weeks import weeks

NEVER = ((100, 200),)


@cache
def made():
    """Eight Lettuce are ordered and six there; Kale stands in for two, and what is left is sold."""
    rows = [
        growing("Lettuce", StageKind.RAFT, 0, 6, 1, lot="L"),
        growing("Kale", StageKind.RAFT, 0, 18, 3, lot="K", order=2),
    ]
    crops = [quick_crop(name, sowing=NEVER) for name in ("Lettuce", "Kale")]
    instead = (Substitute(product="Kale", rank=1, price=80),)
    orders = [delivery("Lettuce", 5, 8, substitutes=instead), delivery("Bag", 6, 2)]
    farm = make_farm(
        days=14,
        crops=crops,
        growing=rows,
        demands=orders,
        mixes=[make_mix("Bag", 100, ("Kale", 100, 100, 100, 50))],
        outlets=[market("Kale", [6], (5, 300), (5, 200))],
        lane_slots=4,
        costs={"discarded_plant": 10_00},
    )
    return farm, solved(farm)


def page(word, name):
    farm, plan = made()
    return rendered(answer(farm, plan, word, name, 0), width=80, styled=False)


def test_the_summary_says_what_stands_in_and_where_all_heads_go():
    farm, plan = made()
    out = io.StringIO()
    print_summary(Console(file=out), farm, plan)
    text = out.getvalue()
    assert "Of these by substitutes: 2 Kale for Lettuce" in text
    assert "Heads: 24 cut, 12 to deliveries and targets, 2 left over" in text
    assert "Market: 10 units sold for 25.00 EUR" in text


def test_the_report_says_so_too():
    farm, plan = made()
    lead = season_context(farm, plan).lead
    assert "In place of Lettuce: 2 units of Kale, in 1 delivery." in lead
    assert (
        "Of 24 heads cut, 12 go into deliveries and targets, 10 are sold at outlets, 2 are left over." in lead
    )
    assert "Market: 10 units sold for 25.00 EUR." in lead


def picked_by_weight():
    """Return a farm of one crop that is picked by weight, with small pickings on many days, and its plan."""
    crop = make_crop(
        "Bean", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(200_000, 200_000), a_week=2, by_mass=True
    )
    farm = make_farm(
        days=28,
        crops=[crop],
        demands=[delivery("Bean", day, 300) for day in (7, 11, 14, 18)],
        beds={"Bed": 12},
        clean_days=2,
        lanes=0,
        zones=0,
        work_days={Work.SOW: [0], Work.RAFT: [3], Work.HARVEST: [0, 3]},
        outlets=[market("Bean", [6], (5, 300))],
    )
    return farm, solved(farm)


def test_what_is_picked_in_beds_is_counted_where_the_heads_go_and_small_weights_are_added_before_rounding():
    farm, plan = picked_by_weight()
    picked = sum(row.heads for row in plan.pickings if row.day < 28)
    given = sum(row.heads for row in plan.fills if row.cut_day < 28)
    assert given >= 600
    found = gone(farm, plan)
    assert found.heads == (picked + 500) // 1000
    assert found.given == (given + 500) // 1000
    assert found.left >= 0


def test_sums_by_weight_are_the_same_by_crop_by_week_and_over_the_season():
    farm, plan = picked_by_weight()
    # half a kilogram of each picking would be rounded away or up where each is rounded by itself
    pickings = tuple(replace(row, heads=row.heads + 700 - row.heads % 1000) for row in plan.pickings)
    plan = replace(plan, pickings=pickings)
    found, sums, shown = gone(farm, plan), totals(farm, plan), season(farm, plan)
    assert len([row for row in pickings if row.day < 28]) > 2
    assert found.heads == (sum(row.heads for row in pickings if row.day < 28) + 500) // 1000
    assert (sums.heads, sums.delivered) == (found.heads, found.given)
    assert (shown.heads_cut, shown.heads_left) == (found.heads, found.left)
    assert sum(week.heads for week in weeks(farm, plan)) == found.heads


def test_an_outlet_sells_units_whatever_they_weigh():
    farm, plan = picked_by_weight()
    few = OutletRow(outlet="Market", product="Bean", day=6, units=3, takings=9_00, reported=True)
    plan = replace(plan, outlets=(few, replace(few, day=40, reported=False)))
    out = io.StringIO()
    print_summary(Console(file=out, width=120), farm, plan)
    assert "Market: 3 units sold for 9.00 EUR" in out.getvalue()
    assert "Market: 3 units sold for 9.00 EUR." in season_context(farm, plan).lead
    assert dict(words_of(farm, plan))["Market"] == "3 units sold, for 9.00 EUR."


def test_an_outlet_that_sells_nothing_may_sell_something_in_more_time_unless_that_is_proven():
    farm, plan = made()
    hint = "To grow for outlets comes last in a search: more --seconds may sell more there."

    def told(status, outlets):
        goals = tuple(replace(row, status=status) for row in plan.goals)
        out = io.StringIO()
        print_summary(Console(file=out, width=120), farm, replace(plan, goals=goals, outlets=outlets))
        return hint in out.getvalue()

    assert told("best found", ())
    assert not told("best found", plan.outlets)
    assert not told("proven together", ())


def test_all_sums_of_what_is_left_agree():
    farm, plan = made()
    assert gone(farm, plan).left == 2
    assert sum(week.heads_left for week in season(farm, plan).weeks) == 2
    assert sum(story.left for story in season(farm, plan).lots) == 2


def test_the_workbook_has_a_sheet_of_outlets_and_says_what_stands_in():
    book = openpyxl.load_workbook(io.BytesIO(plan_workbook(*made())))
    rows = [[cell for cell in row if cell is not None] for row in book["outlets"].iter_rows(values_only=True)]
    assert any(row[1:5] == ["Market", "Kale", 10, 25] for row in rows)
    listed = [row for row in book["deliveries"].iter_rows(values_only=True)]
    assert any("substitutes" in row for row in listed)
    assert any("2 Kale" in row for row in listed)
    said = [row[1] for row in book["summary"].iter_rows(values_only=True) if row[0] == "Substitutes"]
    assert said == ["In place of Lettuce: 2 units of Kale, in 1 delivery."]


def test_the_workbook_calls_an_outlet_as_the_book_does():
    farm, plan = made()
    name = "eastside YMCA Hall"
    farm = replace(farm, outlets=tuple(replace(week, outlet=name) for week in farm.outlets))
    sales, outlets = (tuple(replace(row, outlet=name) for row in rows) for rows in (plan.sales, plan.outlets))
    told = dict(words_of(farm, replace(plan, sales=sales, outlets=outlets)))
    assert told[name] == "10 units sold, for 25.00 EUR."


def test_the_customer_is_told_what_comes_in_place_of_what():
    farm, plan = made()
    first = delivery_entries(farm, customer_days(farm, plan))[0]
    assert first.text == "Lettuce: 6 heads\nKale: 2 heads, in place of Lettuce"


def test_week_sheets_and_tasks_take_goods_to_customers_and_outlets_by_their_names():
    farm, plan = made()
    tasks = [(task.key, task.crop, task.plants, task.to) for task in plan.tasks if task.work == "deliver"]
    assert tasks == [
        ("deliver Lettuce 5", "Lettuce", 6, "Harbour Table"),
        ("deliver Lettuce 5 | Kale", "Kale", 2, "Harbour Table"),
        ("deliver Bag 6", "Bag", 2, "Harbour Table"),
        ("sell Market | Kale | 2026-03-08", "Kale", 10, "Market"),
    ]
    lines = [each for week in week_sheets(farm, plan) for each in week.deliveries]
    assert [(each.customer, each.product, each.filled, each.instead) for each in lines] == [
        ("Harbour Table", "Lettuce", 8, (("Kale", "head", 2),)),
        ("Harbour Table", "Bag", 2, ()),
        ("Market", "Kale", 10, ()),
    ]


def test_a_customer_an_outlet_and_a_lot_can_be_asked_for():
    assert "filled, 2 Kale instead" in page("customer", "Harbour Table")
    assert "To be sold: 10 units for 25.00 EUR" in page("customer", "Market")
    lot = page("lot", "K")
    assert "Kale in place of Lettuce" in lot
    assert "Sold at outlets: 10 heads" in lot
    assert "Market 10" in page("crop", "Kale")
