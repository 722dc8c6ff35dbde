"""Other substitutes, outlets and hours."""

from datetime import date
from itertools import permutations

import pytest
from helpers import TABLES
from scenarios import changed_of, farm_with, faults_with, one

MARCH = date(2026, 3, 30)
"""Day 28 of the small book, a Monday."""

TWO = {
    "crops": TABLES["crops"] + "Oakleaf,14,3,14,3,21,7,95,90,97,97\n",
    "products": TABLES["products"] + "Oakleaf head,Oakleaf\n",
}
MARKET = (
    "outlet,product,weekdays,amount,price,to\n"
    "Market,Butterhead head,Sat,20,2.00,2026-04-26\nMarket,Butterhead head,Sat,20,1.25,2026-04-26\n"
)


def instead(farm):
    return {demand.substitutes for demand in farm.demands}


def test_a_substitute_is_added_and_dropped(tmp_path):
    add = one("add substitute", product="Butterhead head", substitute="Oakleaf head", price=1.5)
    (found,) = instead(farm_with(tmp_path, add, **TWO))
    assert [(each.product, each.rank, each.price) for each in found] == [("Oakleaf head", 1, 150)]
    table = "product,substitute\nButterhead head,Oakleaf head\n"
    drop = one("drop substitute", product="Butterhead head")
    assert instead(farm_with(tmp_path, drop, **TWO, substitutes=table)) == {()}


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (one("drop substitute", product="Butterhead head"),
         "s1.toml: change 1 (drop substitute), product: found 'Butterhead head', for which no such row is in "
         "substitutes; expected a row with these names"),
        (one("add substitute", product="Butterhead head", substitute="Butterhead head"),
         "s1.toml: change 1 (add substitute), substitute: found 'Butterhead head' for itself; expected "
         "another product than the one it stands in for"),
        (one("add substitute", product="Butterhead head", substitute="Oakleaf head", customer="Nobody"),
         "s1.toml: change 1 (add substitute), customer: found 'Nobody', who has no order or delivery; "
         "expected one of 'Harbour Table'"),
        (one("end outlet", outlet="Market", product=["Oakleaf head"]),
         "s1.toml: change 1 (end outlet), product: found 'Oakleaf head'; expected one of 'Butterhead head', "
         "which 'Market' takes"),
        (one("outlets", outlet=["Market"]),
         "s1.toml: change 1 (outlets), percent: found neither percent nor price_percent; expected percent, "
         "price_percent or both"),
        (one("outlets", percent=20, outlet=["Fair"]),
         "s1.toml: change 1 (outlets), outlet: found 'Fair'; expected one of 'Market'"),
        (one("add outlet", outlet="Market", product="Butterhead head", weekdays="Sat", amount=5, price=1),
         "s1.toml: change 1 (add outlet), outlet: found dates that meet those of another row of 'Market'"),
        (one("crew", percent=20),
         "s1.toml: change 1 (crew), percent: found a change of hours; expected a book with crew"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_at_its_key(tmp_path, text, told):
    (fault,) = faults_with(tmp_path, text, **TWO, outlets=MARKET)
    assert fault.startswith(told)


def weeks(farm, outlet="Market"):
    """Return what an outlet takes: Monday of the week -> its steps as amount and price."""
    return {
        farm.calendar.week_start(week.stalls[0].day): [(step.amount, step.price) for step in week.steps]
        for week in farm.outlets
        if week.outlet == outlet
    }


def test_steps_of_an_added_outlet_stand_best_price_first_in_any_order(tmp_path):
    of = {"outlet": "Fair", "product": "Butterhead head", "weekdays": "Wed", "from_": MARCH}
    texts = [
        one("add outlet", **of, amount=amount, price=price)
        for amount, price in ((30, 0.9), (9, 2), (10, 1.5))
    ]
    found = [weeks(farm_with(tmp_path, *order), "Fair") for order in permutations(texts)]
    assert all(each == found[0] for each in found)
    assert min(found[0]) == 28
    assert found[0][28] == [(9, 200), (10, 150), (30, 90)]


def test_an_outlet_takes_more_and_pays_less_from_a_day_on(tmp_path):
    texts = [
        one("outlets", percent=10, from_=MARCH),
        one("outlets", percent=-20, price_percent=-5.5),
        one("outlets", percent=50, from_=date(2026, 4, 13), product=["Butterhead head"]),
    ]
    found = [weeks(farm_with(tmp_path, *order, outlets=MARKET)) for order in permutations(texts)]
    assert all(each == found[0] for each in found)
    assert found[0][0] == [(16, 189), (16, 118)]
    assert found[0][28] == [(17, 189), (17, 118)], "20 x 0.8 x 1.1 is 17.6, and rounds down"
    assert found[0][42] == [(26, 189), (26, 118)]
    assert max(found[0]) == 49, "the last day stays"


def test_an_outlet_ends_on_the_day_before_and_is_gone_without_a_day(tmp_path):
    farm = farm_with(tmp_path, one("end outlet", outlet="Market", from_=MARCH), outlets=MARKET)
    assert max(weeks(farm)) == 21
    assert weeks(farm_with(tmp_path, one("end outlet", outlet="Market"), outlets=MARKET)) == {}
    assert weeks(farm_with(tmp_path, one("outlets", percent=-100), outlets=MARKET)) == {}


def test_the_crew_has_more_hours_from_a_day_on(tmp_path):
    crew = "weekdays,hours,to\nMon-Fri,6,2026-04-12\nMon-Fri,4,\n"
    fixed = crew.replace("Mon-Fri,4,\n", "Mon-Fri,4,\n").replace("hours,to", "hours,from,to")
    table = fixed.replace("6,2026-04-12", "6,,2026-04-12").replace("4,", "4,2026-04-13,")
    texts = [one("crew", percent=50, from_=MARCH), one("crew", percent=10)]
    found = [farm_with(tmp_path, *order, crew=table).crew for order in permutations(texts)]
    assert found[0] == found[1]
    hours = [round(found[0].on(day) / 6000, 2) for day in (0, 27, 28, 41, 42)]
    assert hours == [6.6, 0, 9.9, 0, 6.6]


def test_changes_in_thirds_leave_no_more_digits_than_a_cell_may_have(tmp_path):
    # a third less, four times over, has 44 digits behind the point
    texts = [one("crew", percent=-33.333333333)] * 4
    crew = farm_with(tmp_path, *texts, crew="weekdays,hours\ndaily,8\n").crew
    assert crew.on(0) == 6000 * 8 * 16 // 81
    (demand, *_) = farm_with(tmp_path, one("orders", percent=33.33333333333)).demands
    assert demand.amount == 16


def test_a_mix_is_a_product_that_orders_may_name(tmp_path):
    recipes = (
        "product,pack,grams,crop,percent,grams_per_plant\n"
        "Salad bag,bag,150,Butterhead,60,100\nSalad bag,,,Oakleaf,40,100\n"
    )
    orders = "order,customer,product,amount,weekdays\nR1,Harbour Table,Salad bag,10,Fri\n"
    text = one("orders", percent=50, product=["Salad bag"])
    farm = farm_with(tmp_path, text, **TWO, recipes=recipes, orders=orders)
    assert {demand.amount for demand in farm.demands} == {15}


def test_a_dropped_crop_takes_what_may_do_without_it_along(tmp_path):
    tables = {
        "outlets": MARKET + "Market,Oakleaf head,Sat,5,2.00,2026-04-26\n",
        "substitutes": "product,substitute\nButterhead head,Oakleaf head\n",
        "supplies": (
            "item,kind,product,pack_size,lead_days\nBag,packaging,Butterhead head; Oakleaf head,100,5\n"
            "Box,packaging,Oakleaf head,100,5\n"
        ),
    }
    made = changed_of(tmp_path, one("drop crop", crop="Oakleaf"), **TWO, **tables).book()
    assert {row.text("product") for row in made.rows("outlets")} == {"Butterhead head"}
    assert not made.rows("substitutes")
    assert [(row.text("item"), row.words("product")) for row in made.rows("supplies")] == [
        ("Bag", ("Butterhead head",))
    ]
