"""Outlets of a book: their days, steps and dates, week by week."""

from pathlib import Path

import pytest
from helpers import farm_of, faults_of

HEAD = "outlet,product,weekdays,amount,price,from,to,greatest_age\n"
STEPS = "Market,Butterhead head,Sat,20,3,,,\nMarket,Butterhead head,Sat,10,2.2,,,\n"


def weeks(tmp_path: Path, rows: str, **settings: str) -> list[tuple[list[int], list[tuple[int, int]], int]]:
    farm = farm_of(tmp_path, settings or None, outlets=HEAD + rows)
    return [
        ([stall.day for stall in week.stalls], [(s.amount, s.price) for s in week.steps], week.max_age)
        for week in farm.outlets
        if week.stalls[0].day < farm.calendar.days
    ]


def test_every_week_has_its_days_and_steps(tmp_path: Path) -> None:
    found = weeks(tmp_path, STEPS, weeks="3")
    assert found == [([day], [(20, 300), (10, 220)], 2) for day in (5, 12, 19)]


def test_dates_and_age_narrow_it(tmp_path: Path) -> None:
    rows = "Market,Butterhead head,Wed Sat,20,3,2026-03-05,2026-03-11,1\n"
    assert weeks(tmp_path, rows) == [([5], [(20, 300)], 1), ([9], [(20, 300)], 1)]


def test_other_prices_at_another_time_of_the_year(tmp_path: Path) -> None:
    rows = (
        "Market,Butterhead head,Sat,20,3,,2026-03-08,\n"
        "Market,Butterhead head,Sat,9,4,2026-03-09,2026-03-15,\n"
    )
    assert weeks(tmp_path, rows) == [([5], [(20, 300)], 2), ([12], [(9, 400)], 2)]


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        ("Market,Butterhead head,Sat,20,3,,,\nMarket,Butterhead head,Sat,20,3.5,,,\n",
         "outlets!E3: found 3.5; expected at most 3, the price of the step before (outlets!E2)"),
        ("Market,Butterhead head,Sat,20,3,,,\nMarket,Butterhead head,Sun,20,2,,,\n",
         "outlets!C3: found other days; expected Sat, as in the first step (outlets!C2)"),
        ("Market,Butterhead head,Sat,20,3,,,1\nMarket,Butterhead head,Sat,20,2,,,2\n",
         "outlets!H3: found another age; expected that of the first step (outlets!H2), or a blank cell"),
        ("Market,Butterhead head,Sat,20,3,,,\nMarket,Butterhead head,Sat,20,2,2026-04-01,,\n",
         "outlets!F3: found dates that meet those of another row of 'Market'; expected the same dates "
         "(outlets!F2), or dates apart from them"),
        ("Market,Butterheat,Sat,20,3,,,\n",
         "outlets!B2: found 'Butterheat', which is not in products; expected 'Butterhead head'?"),
        ("Market,Butterhead head,Sat,0,3,,,\n",
         "outlets!D2: found '0'; expected 1 to 1000000 (units)"),
    ],
)  # fmt: skip
def test_faults_are_told_with_their_cell(tmp_path: Path, rows: str, told: str) -> None:
    assert faults_of(tmp_path, None, outlets=HEAD + rows) == [told]
