"""Money by crop on paper and in the workbook: the figures of the plan, sorted, and whole."""

from dataclasses import replace

from crops_paid import both, two_crops
from farms import chore
from opened import opened, table

from scheduler.outputs.report.money_rows import money_table
from scheduler.outputs.report.page import report_html

EVIL = "<img src=x onerror=alert(1)>"


def a_plan(**changes):
    demands = [replace(demand, **changes) for demand in two_crops().demands]
    farm = two_crops(demands=demands, chores=[chore(3, 90_00)])
    return farm, both(farm)


def test_the_sheet_has_every_figure_in_whole_units():
    rows = table(opened(*a_plan()), "money")
    assert [row["crop"] for row in rows] == ["Lettuce", "Kale", "not of one crop"]
    assert rows[0] == {
        "crop": "Lettuce",
        "brought (EUR)": 10,
        "seed (EUR)": 0.24,
        "filling (EUR)": 0.9,
        "work (hours)": 8.4 / 60,
        "work (EUR)": 1.68,
        "left (EUR)": 7.18,
        "space (m²-weeks)": 0.57,
        "space (slot-weeks)": 0.43,
        "left a m²-week (EUR)": 12.57,
        "left a slot-week (EUR)": None,
    }
    assert rows[2]["left (EUR)"] == -18


def test_the_sheet_has_hours_and_space_alone_without_prices():
    rows = table(opened(*a_plan(price=0)), "money")
    assert list(rows[0]) == ["crop", "work (hours)", "space (m²-weeks)", "space (slot-weeks)"]


def test_the_report_has_a_line_for_each_crop_and_the_sum():
    shown = money_table(*a_plan())
    assert [str(name) for name, _ in shown.rows] == [
        f"<bdi>{name}</bdi>" for name in ("Lettuce", "Kale", "not of one crop")
    ]
    assert shown.rows[1][1] == ("9.00", "0.00", "0.70", "0.2", "2.40", "5.90", "0.5", "0.4", "11.80")
    assert shown.sum == ("19.00", "0.24", "1.60", "1.8", "22.08", "-4.92", "1.1", "0.9", "")
    assert len(shown.heads) == len(shown.sum)


def test_the_report_has_no_money_without_prices():
    shown = money_table(*a_plan(price=0))
    assert shown.heads == ("Hours", "m²-weeks", "Slot-weeks")
    assert shown.sum == ("1.8", "1.1", "0.9")


def test_the_page_shows_the_table_and_a_name_as_it_is():
    farm, plan = a_plan()
    page = report_html(replace(farm, currency=EVIL), plan)
    assert '<section class="money">' in page
    assert "&lt;img" in page
    assert EVIL not in page
    assert ">11.80<" in page
