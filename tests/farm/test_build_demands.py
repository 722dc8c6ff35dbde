"""Orders, changes, single deliveries and targets as dated demands."""

from pathlib import Path

import pytest
from helpers import farm_of
from hypothesis import given
from hypothesis import strategies as st

from scheduler.farm.farm import Demand, Farm
from scheduler.farm.from_book.changes import changed_amount

ORDER = "order,customer,product,amount,weekdays{}\nR1,Harbour Table,Butterhead head,12,{}{}\n"


def days(farm: Farm) -> list[tuple[int, int]]:
    return [(demand.first, demand.amount) for demand in farm.demands if demand.reported]


def order(weekdays: str = "Tue", **columns: str) -> str:
    heads = "".join("," + name.rstrip("_") for name in columns)
    return ORDER.format(heads, weekdays, "".join("," + text for text in columns.values()))


def test_an_order_is_expanded_by_its_weekdays(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, {"weeks": "2"}, orders=order("Tue Fri"))
    assert days(farm) == [(1, 12), (4, 12), (8, 12), (11, 12)]
    first = farm.demands[0]
    assert (first.name, first.order, first.customer) == ("R1 2026-03-03", "R1", "Harbour Table")
    assert (first.firm, first.price, first.priority, first.max_age, first.last) == (True, 100, 2, 2, 1)


def test_an_order_without_end_goes_on_unreported_and_one_with_an_end_stops(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, orders=order())
    assert [d.first for d in farm.demands if not d.reported] == list(range(57, farm.calendar.span, 7))
    farm = farm_of(tmp_path, orders=order(from_="2026-03-11", to="2026-03-31"))
    assert days(farm) == [(15, 12), (22, 12), (29, 12)]
    assert all(demand.reported for demand in farm.demands)


@pytest.mark.parametrize(
    ("begin", "expected"),
    [
        ("2026-03-03", [1, 15, 29, 43]),
        ("2026-03-06", [8 + 7, 29, 43]),  # Friday: its week is that of Tuesday the 3rd, which is past
        ("2026-02-24", [8, 22, 36, 50]),  # weeks are counted from before the plan
        ("", [1, 15, 29, 43]),
    ],
)
def test_every_second_week_is_counted_from_the_week_of_the_first_day(
    tmp_path: Path, begin: str, expected: list[int]
) -> None:
    farm = farm_of(tmp_path, orders=order(every_weeks="2", from_=begin))
    assert [day for day, _ in days(farm)] == expected


CHANGES = "order,from,to,change,amount\n"


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ("R1,2026-03-10,,skip,\n", [12, 0, 12, 12]),
        ("R1,2026-03-10,2026-03-17,skip,\n", [12, 0, 0, 12]),
        ("R1,2026-03-10,,pause,\n", [12, 0, 0, 0]),
        ("R1,2026-03-10,2026-03-16,pause,\n", [12, 0, 12, 12]),
        ("R1,2026-03-10,,amount,20\n", [12, 20, 20, 20]),
        ("R1,2026-03-10,2026-03-10,amount,0\n", [12, 0, 12, 12]),
        ("R1,2026-03-10,,times,1.3\n", [12, 16, 12, 12]),
        ("R1,2026-03-10,,amount,20\nR1,2026-03-17,2026-03-17,amount,5\n", [12, 20, 5, 20]),
        ("R1,2026-03-17,2026-03-17,amount,5\nR1,2026-03-10,,amount,20\n", [12, 20, 5, 20]),
        ("R1,2026-03-10,,amount,20\nR1,2026-03-17,,times,2\n", [12, 20, 40, 20]),
        ("R1,2026-03-10,,times,2\nR1,2026-03-10,,skip,\n", [12, 0, 12, 12]),
    ],
)
def test_changes_skip_pause_replace_and_multiply(tmp_path: Path, changes: str, expected: list[int]) -> None:
    farm = farm_of(tmp_path, {"weeks": "4"}, orders=order(), order_changes=CHANGES + changes)
    assert days(farm) == [(1 + 7 * week, n) for week, n in enumerate(expected) if n]


@given(st.integers(0, 10**6))
def test_an_amount_without_changes_is_the_usual_one(usual: int) -> None:
    assert changed_amount(usual, [], 0) == usual


def test_the_greatest_age_is_the_shorter_of_the_farms_and_the_customers(tmp_path: Path) -> None:
    ages = [
        farm_of(tmp_path, {"hold_days": "3"}, orders=order(greatest_age=age)).demands[0].max_age
        for age in ("", "1", "5")
    ]
    assert ages == [3, 1, 3]


def test_single_deliveries_within_the_plan_are_kept(tmp_path: Path) -> None:
    table = "delivery,customer,product,amount,date,kind,price\n" + "".join(
        f"{name},H,Butterhead head,5,{day},flexible,2.405\n"
        for name, day in [("Past", "2026-03-01"), ("", "2026-03-02"), ("Later", "2026-04-27")]
    )
    farm = farm_of(tmp_path, orders=None, deliveries=table)
    assert [(d.name, d.first, d.reported) for d in farm.demands] == [
        ("Delivery 2 2026-03-02", 0, True),
        ("Later 2026-04-27", 56, False),
    ]
    assert (farm.demands[0].firm, farm.demands[0].price) == (False, 241)


def test_deliveries_of_one_name_on_one_day_are_told_apart(tmp_path: Path) -> None:
    row = "D-17,H,Butterhead head,5,2026-03-03\n"
    farm = farm_of(tmp_path, orders=None, deliveries="delivery,customer,product,amount,date\n" + row * 3)
    assert [demand.name for demand in farm.demands] == [
        "D-17 2026-03-03",
        "D-17 2026-03-03 Butterhead head",
        "D-17 2026-03-03 Butterhead head 2",
    ]
    assert {demand.order for demand in farm.demands} == {"D-17"}


TARGET = "target,product,amount,from,to\nMarket,Butterhead head,40,{},{}\n"


def weeks(farm: Farm) -> list[tuple[int, int, int]]:
    return [(d.first, d.last, d.amount) for d in farm.demands if d.reported]


def test_a_target_is_wanted_from_monday_to_sunday(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, orders=None, targets=TARGET.format("2026-03-09", "2026-03-22"))
    assert weeks(farm) == [(7, 13, 40), (14, 20, 40)]
    week: Demand = farm.demands[0]
    assert (week.name, week.firm, week.is_target, week.max_age) == ("Market 2026-03-09", False, True, 0)


def test_a_part_week_of_a_target_counts_by_its_harvest_days(tmp_path: Path) -> None:
    # Harvest on Monday, Wednesday and Friday: from Wednesday on two of three are left, by Tuesday one.
    farm = farm_of(tmp_path, orders=None, targets=TARGET.format("2026-03-04", "2026-03-10"))
    assert weeks(farm) == [(2, 6, 26), (7, 8, 13)]


def test_a_part_week_without_a_harvest_day_is_left_out(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, orders=None, targets=TARGET.format("2026-03-07", "2026-03-10"))
    assert weeks(farm) == [(7, 8, 13)]


def test_a_week_that_reaches_past_the_plan_is_cut_at_its_end(tmp_path: Path) -> None:
    settings = {"first_day": "2026-03-04", "weeks": "1"}
    farm = farm_of(tmp_path, settings, orders=None, targets=TARGET.format("", ""))
    assert weeks(farm) == [(0, 4, 26), (5, 6, 13)]
    beyond = [(d.first, d.last, d.amount) for d in farm.demands if not d.reported]
    assert beyond[:2] == [(7, 11, 26), (12, 18, 40)]


@given(st.sets(st.integers(0, 6), min_size=1), st.integers(1, 8), st.integers(1, 4))
def test_an_order_has_as_many_deliveries_as_the_calendar_has_days_of_it(
    weekdays: set[int], plan_weeks: int, every: int
) -> None:
    import tempfile

    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    with tempfile.TemporaryDirectory() as folder:
        table = order(" ".join(names[day] for day in weekdays), every_weeks=str(every))
        farm = farm_of(Path(folder), {"weeks": str(plan_weeks)}, orders=table)
    weeks_with = -(-plan_weeks // every)
    assert len(days(farm)) == weeks_with * len(weekdays)
    assert len({demand.name for demand in farm.demands}) == len(farm.demands)
