"""A plan damaged in any one place is judged, never a crash; damage to the rows that matter is found."""

from dataclasses import fields, replace

import pytest
from farms import delivery, growing, make_crop, make_farm, target
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from plans import Batch, build
from samples import any_plan, small_farm

from scheduler.farm.crops import StageKind
from scheduler.plan.audit import RULES, audit
from scheduler.plan.rows import TABLES

few = settings(max_examples=70, deadline=None, suppress_health_check=list(HealthCheck), derandomize=True)
many = settings(few, max_examples=1_000)
"""Those of the long run."""

FOUND = [
    growing("Lettuce", StageKind.TRAY, -4, 12, 2, lot="A"),
    growing("Lettuce", StageKind.BOARD, -6, 12, 1, lot="B"),
    growing("Basil", StageKind.RAFT, -20, 6, 1, lot="C", place="Trough 2", cuts_done=1, last_cut=-4),
]
MINUTES = {"sow": 2000, "board": 1200, "raft": 600, "cut": 50}
FARM = make_farm(
    crops=[
        make_crop("Lettuce", minutes=MINUTES),
        make_crop("Basil", board=None, cuts=3, interval=7, minutes=MINUTES),
    ],
    lanes=2,
    growing=FOUND,
    demands=[delivery("Lettuce", 34, 12), delivery("Basil", 24, 6), target("Basil", 28, 12)],
    crew=10_000,
    domes=5,
)
PLAN = build(
    FARM,
    Batch(found=FOUND[1], raft_day=4, cuts=((18, 6),)),
    Batch(found=FOUND[0], board_day=6, raft_day=16, cuts=((30, 6),)),
    Batch(),
    Batch(crop="Basil", found=FOUND[2], board_day=None, cuts=((3, 6), (10, 6)), lane="Trough 2"),
    Batch(crop="Basil", board_day=None, raft_day=10, cuts=((24, 6), (31, 6), (38, 6)), lane="Trough 2"),
    fills=[
        ("Lettuce 34", "LET-260302", 34, 12),
        ("Basil 24", "BAS-260302", 24, 6),
        ("Basil 28", "BAS-260302", 31, 12),
    ],
)
TEXTS = [
    "",
    "A",
    "C",
    "T1",
    "B1",
    "R1",
    "R5",
    "Shelf 1",
    "Trough 1",
    "Basil",
    "Lettuce",
    "LET-260302",
    "raft",
]
DAYS_OF = {
    "units": ("enters", "emptied", "leaves"),
    "contents": ("enters", "leaves"),
    "positions": ("slot", "enters", "until"),
    "cuts": ("day",),
    "fills": ("cut_day",),
}


def test_the_plan_that_is_damaged_below_is_sound():
    assert audit(FARM, PLAN) == []


@few
@given(st.data())
def test_a_plan_with_any_one_value_changed_is_judged(data):
    one_value_is_judged(data)


@pytest.mark.soak
@many
@given(st.data())
def test_a_plan_with_any_one_value_changed_is_judged_long(data):
    one_value_is_judged(data)


def one_value_is_judged(data):
    table = data.draw(st.sampled_from([name for name in TABLES if getattr(PLAN, name)]))
    rows = list(getattr(PLAN, table))
    at = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.sampled_from([field.name for field in fields(rows[at])]))
    old = getattr(rows[at], column)
    kinds = {bool: st.booleans(), int: st.integers(-60, 160), str: st.sampled_from(TEXTS)}
    rows[at] = replace(rows[at], **{column: data.draw(kinds.get(type(old), st.integers(-60, 160)))})
    faults = audit(FARM, replace(PLAN, **{table: tuple(rows)}))
    assert {fault.rule for fault in faults} <= set(RULES)


@few
@given(st.data())
def test_a_day_or_a_slot_of_any_row_moved_by_one_is_found(data):
    a_move_is_found(data)


@pytest.mark.soak
@many
@given(st.data())
def test_a_day_or_a_slot_of_any_row_moved_by_one_is_found_long(data):
    a_move_is_found(data)


def a_move_is_found(data):
    table = data.draw(st.sampled_from(list(DAYS_OF)))
    rows = list(getattr(PLAN, table))
    at = data.draw(st.integers(0, len(rows) - 1))
    column = data.draw(st.sampled_from(DAYS_OF[table]))
    row, shift = rows[at], data.draw(st.sampled_from([-1, 1]))
    # Of what grows, positions before day 0 say nothing; trays and boards may stand in any free slot.
    assume(not (table == "positions" and column == "enters" and row.enters == 0 and shift < 0))
    assume(column != "slot" or row.unit.startswith("R"))
    rows[at] = replace(row, **{column: getattr(row, column) + shift})
    assert audit(FARM, replace(PLAN, **{table: tuple(rows)})) != []


@few
@given(st.data(), st.sampled_from(["lots", "units", "contents", "positions", "cuts", "fills", "demands"]))
def test_a_row_left_out_or_listed_twice_is_found(data, table):
    one_row_is_found(data, table)


@pytest.mark.soak
@many
@given(st.data(), st.sampled_from(["lots", "units", "contents", "positions", "cuts", "fills", "demands"]))
def test_a_row_left_out_or_listed_twice_is_found_long(data, table):
    one_row_is_found(data, table)


def one_row_is_found(data, table):
    rows = getattr(PLAN, table)
    at = data.draw(st.integers(0, len(rows) - 1))
    assert audit(FARM, replace(PLAN, **{table: rows[:at] + rows[at + 1 :]})) != []
    assert audit(FARM, replace(PLAN, **{table: (*rows, rows[at])})) != []


@settings(few, max_examples=30)
@given(any_plan())
def test_a_plan_of_nothing_that_exists_is_judged(plan):
    assert {fault.rule for fault in audit(small_farm(), plan)} <= set(RULES)
