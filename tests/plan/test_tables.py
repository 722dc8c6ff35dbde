"""Plans go into text tables and data frames and come back the same; damage is told with its place."""

import pandas as pd
import pytest
from celled import cells, plan_from_cells
from hypothesis import HealthCheck, given, settings
from samples import CALENDAR, any_plan, small_plan

from scheduler.book.faults import BookFaults
from scheduler.plan.columns import columns
from scheduler.plan.rows import TABLES
from scheduler.plan.tables import frames

few = settings(max_examples=20, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)


def text_cells(plan):
    """Return table -> column -> the written cells of all its rows."""
    found = {}
    for table, (heading, *rows) in cells(CALENDAR, plan).items():
        found[table] = {name: [row[at] for row in rows] for at, name in enumerate(heading)}
    return found


def frame_cells(plan):
    """Return the same from the data frames of a plan, for the tables and columns that are written."""
    kinds = {table: {each.column: each.type for each in told} for table, told in columns().items()}
    shown = frames(CALENDAR, plan)
    return {
        table: {name: [as_text(kinds[table][name], value) for value in shown[table][name]] for name in names}
        for table, names in text_cells(plan).items()
    }


def as_text(kind, value):
    if value is None or (kind != "text" and pd.isna(value)):
        return ""
    match kind:
        case "date":
            return pd.Timestamp(value).date().isoformat()
        case "money" | "minutes" | "area":
            return f"{value:.2f}"
        case "number":
            return repr(float(value))
        case "yesno":
            return "yes" if value else "no"
        case _:
            return str(value)


@few
@given(any_plan())
def test_any_plan_read_back_from_its_text_cells_is_equal(plan):
    assert plan_from_cells(CALENDAR, cells(CALENDAR, plan), plan.made) == plan


@few
@given(any_plan())
def test_data_frames_say_of_any_plan_what_its_text_cells_say(plan):
    assert frame_cells(plan) == text_cells(plan)


@pytest.mark.soak
@settings(few, max_examples=3000)
@given(any_plan())
def test_thousands_of_plans_read_back_from_cells_and_frames_are_equal(plan):
    assert plan_from_cells(CALENDAR, cells(CALENDAR, plan), plan.made) == plan
    assert frame_cells(plan) == text_cells(plan)


def test_cells_show_dates_money_minutes_and_blanks_as_documented():
    tables = cells(CALENDAR, small_plan())
    lots, hours, seed = tables["lots"], tables["hours"], tables["seed"]
    assert lots[1][lots[0].index("sown")] == "2026-03-02"
    assert lots[1][lots[0].index("overdue")] == "no"
    assert hours[1][hours[0].index("minutes")] == "120.05"
    assert hours[1][hours[0].index("crew")] == ""
    assert seed[1][seed[0].index("cost")] == "2.35"


def test_columns_may_stand_in_any_order():
    tables = cells(CALENDAR, small_plan())
    tables["lots"] = [list(reversed(row)) for row in tables["lots"]]
    assert plan_from_cells(CALENDAR, tables, {}).lots == small_plan().lots


def test_frames_hold_real_dates_and_whole_units_of_money():
    made = frames(CALENDAR, small_plan())
    assert list(made) == list(TABLES)
    assert str(made["lots"]["sown"].iloc[0].date()) == "2026-03-02"
    assert made["demands"]["price"].iloc[0] == 2.4
    assert made["hours"]["crew"].isna().all()
    assert made["lots"]["overdue"].dtype == bool


def test_an_empty_table_keeps_its_columns_and_their_types():
    made = frames(CALENDAR, small_plan())["chains"]
    assert list(made.columns) == [column.column for column in columns()["chains"]]
    assert made["heads"].dtype == "int64"
    assert made["cut_day"].dtype.kind == "M"


@pytest.mark.parametrize(
    ("table", "column", "text", "told"),
    [
        ("lots", "sown", "02/03/2026", "lots!D2: found '02/03/2026'; expected a date, such as 2026-03-02"),
        ("lots", "sown", "2026-02-30", "lots!D2: found '2026-02-30'; expected a date, such as 2026-03-02"),
        ("lots", "cells", "1_000", "lots!E2: found '1_000'; expected a whole number, such as 12"),
        ("lots", "cells", "", "lots!E2: found blank; expected a whole number, such as 12"),
        ("lots", "lot", " ", "lots!A2: found blank; expected a value"),
        ("lots", "overdue", "maybe", "lots!I2: found 'maybe'; expected yes or no"),
        ("hours", "minutes", "1.005", "hours!C2: found '1.005'; expected minutes, such as 12.50"),
        ("seed", "cost", "2,35", "seed!F2: found '2,35'; expected an amount of money, such as 2.40"),
        ("goals", "value", "nan", "goals!C2: found 'nan'; expected a number, such as 12.5"),
    ],
)
def test_a_damaged_cell_is_told_with_its_place(table, column, text, told):
    tables = cells(CALENDAR, small_plan())
    tables[table][1][tables[table][0].index(column)] = text
    with pytest.raises(BookFaults) as caught:
        plan_from_cells(CALENDAR, tables, {})
    assert str(caught.value) == told


def test_all_damage_is_told_at_once():
    tables = cells(CALENDAR, small_plan())
    tables["cuts"][0][0] = "unti"
    tables["lots"][1][4] = "many"
    tables["use"][1].append("a remark")
    with pytest.raises(BookFaults) as caught:
        plan_from_cells(CALENDAR, tables, {})
    assert [str(fault) for fault in caught.value.faults] == [
        "cuts!1: found no such column; expected the column unit",
        "cuts!A1: found 'unti'; expected 'unit'?",
        "lots!E2: found 'many'; expected a whole number, such as 12",
        "use!E2: found 'a remark'; expected nothing outside the columns",
    ]


def test_whole_cents_without_decimals_are_read_as_money():
    tables = cells(CALENDAR, small_plan())
    tables["seed"][1][5] = "2.3"
    assert plan_from_cells(CALENDAR, tables, {}).seed[0].cost == 230


def test_blank_rows_are_left_out():
    tables = cells(CALENDAR, small_plan())
    tables["lots"].insert(1, [""] * 9)
    assert plan_from_cells(CALENDAR, tables, {}).lots == small_plan().lots
