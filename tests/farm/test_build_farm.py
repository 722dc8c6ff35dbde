"""The farm as a whole: span, rules, crew, pace, costs and the day it is planned from."""

from datetime import date
from fractions import Fraction
from pathlib import Path

import pytest
from helpers import TABLES, farm_of, write_book

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.farm.build import build_farm

CYCLE = 14 + 3 + 14 + 3 + 21 + 7


def test_the_span_goes_one_cycle_past_the_last_day_for_orders_without_end(tmp_path: Path) -> None:
    calendar = farm_of(tmp_path).calendar
    assert (calendar.days, calendar.span) == (56, 56 + CYCLE)


def test_the_span_stops_where_every_order_has_stopped(tmp_path: Path) -> None:
    orders = "order,customer,product,amount,weekdays,to\nR1,H,Butterhead head,12,Tue,2026-04-26\n"
    assert farm_of(tmp_path, orders=orders).calendar.span == 56
    orders = orders.replace("2026-04-26", "2026-05-03")
    assert farm_of(tmp_path, orders=orders).calendar.span == 63


def test_a_slow_place_makes_the_span_longer_up_to_120_days(tmp_path: Path) -> None:
    months = "".join(f"North trough,{month},{{}}\n" for month in range(1, 13))
    pace = "place,month,pace\n" + months
    assert farm_of(tmp_path, pace=pace.replace("{}", "0.5")).calendar.span == 56 + 17 + 34 + 56
    assert farm_of(tmp_path, pace=pace.replace("{}", "0.2")).calendar.span == 56 + 120


def test_pace_is_kept_in_thousandths_with_a_general_row(tmp_path: Path) -> None:
    pace = farm_of(tmp_path, pace="place,month,pace\n,3,0.8\nNorth trough,3,0.7125\n").pace
    assert (pace.on("Shelf A", 0), pace.on("North trough", 0), pace.on("Shelf A", 31)) == (800, 713, 1000)


def test_crew_hours_are_hundredths_of_minutes_and_none_without_rows(tmp_path: Path) -> None:
    assert farm_of(tmp_path).crew is None
    crew = "weekdays,hours,from,to\nMon-Fri,6,,2026-03-08\nMon-Fri,4.5,2026-03-09,\n"
    steps = farm_of(tmp_path, crew=crew).crew
    assert steps is not None
    assert [steps.on(day) for day in (0, 4, 5, 7)] == [36_000, 36_000, 0, 27_000]


def test_settings_and_costs_become_rules_and_hundredths(tmp_path: Path) -> None:
    settings = {"lift_out": "yes", "lift_minutes": "7.5", "share_trays": "no", "currency": "EUR"}
    farm = farm_of(tmp_path, settings, costs="cost,amount\nhour,18.255\nlot,2\n")
    assert (farm.rules.lift_out, farm.rules.lift_minutes, farm.rules.share_trays) == (True, 750, False)
    assert (farm.cost("hour"), farm.cost("lot"), farm.cost("tray"), farm.currency) == (1826, 200, 0, "EUR")


def test_today_is_a_day_of_the_plan(tmp_path: Path) -> None:
    book = read_book(write_book(tmp_path))
    assert build_farm(book).today == 0
    assert build_farm(book, today=date(2026, 4, 26)).today == 55
    with pytest.raises(BookFaults) as raised:
        build_farm(book, today=date(2026, 4, 27))
    assert str(raised.value) == (
        "settings!B3: found 2026-04-27 as today; expected a day of the plan, from 2026-03-02 to 2026-04-26"
    )


def test_all_faults_between_tables_come_at_once(tmp_path: Path) -> None:
    tables = {
        "troughs": TABLES["troughs"].replace("4,24", "1,24"),
        "crew": "weekdays,hours\nMon,6\nMon,4\n",
        "costs": "cost,amount\nlot,1\nlot,1\n",
        "growing": "crop,stage,place,since,plants,units\nButterhead,tray,Shelf A,2026-03-09,5,1\n",
    }
    with pytest.raises(BookFaults) as raised:
        farm_of(tmp_path, **tables)
    assert [str(fault.place) for fault in raised.value.faults] == [
        "troughs!B2",
        "crew!A3",
        "costs!A3",
        "growing!D2",
    ]


def test_the_area_of_a_raft_is_exact_in_metres_and_in_feet(tmp_path: Path) -> None:
    for unit, area in (("m", Fraction(8)), ("ft", Fraction("0.74322432"))):
        farm = farm_of(tmp_path, settings={"length_unit": unit})
        assert farm.raft_areas == {"North trough": area}
