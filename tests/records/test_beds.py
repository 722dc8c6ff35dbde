"""Beds in the records: set in, picked again and again, pulled out, begun from, and planned again."""

from dataclasses import replace
from datetime import timedelta

import pytest
from celled import cells
from folders import Planned
from followed import Followed
from helpers import write_book
from recorded import CROPS, FIRST, PRODUCTS, now, refused, sown, stands, tell, told

from scheduler.book.book import read_book, read_raw, typed_book
from scheduler.book.plain_copy import book_copy
from scheduler.farm.build import build_farm
from scheduler.farm.crops import StageKind
from scheduler.model.settings import SolveSettings
from scheduler.model.solve import plan_farm
from scheduler.outputs.happened.learned_page import NAMES, learned_page
from scheduler.outputs.happened.words import log_lines
from scheduler.outputs.show.page import rendered
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.changes import changes
from scheduler.plan.earlier import in_days_of
from scheduler.plan.sale_rows import SaleRow
from scheduler.records.compare import differences, not_recorded
from scheduler.records.doubts import doubts
from scheduler.records.entries import in_force
from scheduler.records.learned import learned
from scheduler.records.next_book import Start, next_book
from scheduler.records.risk import at_risk
from scheduler.records.tasks import Done, Tasks

LOT = "TOM-260302"
MORE = "card,tray,finish,beds,days_bed,survival_bed_percent,pick_weeks,picks_a_week,yield_in,yield_per_plant"
HEADING, *ROWS = CROPS.splitlines()
BEDDED = "\n".join(
    [
        f"{HEADING},{MORE}",
        *(f"{row},,98-cell tray,,,,,,,," for row in ROWS),
        "Tomato,TOM,14,3,,,,,,,95,90,,,,98-cell tray,bed,,14,100,5,2,pieces,20",
    ]
)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return write_book(
        tmp_path_factory.mktemp("farm"),
        {"weeks": "12"},
        crops=BEDDED + "\n",
        products=PRODUCTS + "Tomato,Tomato\n",
        beds="bed,positions,clean_days\nTunnel,12,3\nPorch,4,3\n",
        orders=(
            "order,customer,product,amount,weekdays,from,to\n"
            "R1,Harbour Table,Tomato,12,Tue Fri,2026-04-07,2026-05-15\n"
        ),
    )


@pytest.fixture(scope="module")
def farm(book):
    return build_farm(read_book(book))


def seedlings(**more):
    return sown(**({"crop": "Tomato", "to": "Shelf A 1", "plants": 14} | more))


def planted(day=14, **more):
    return told("moved", day, **({"lot": LOT, "to": "Tunnel", "plants": 8, "left": 0} | more))


def picked(day, heads, **more):
    return told("cut", day, lot=LOT, heads=heads, **more)


def held(state):
    return {(unit.slot, each.cuts) for unit in state.units for each in unit.contents}


def test_plants_set_into_a_bed_take_a_position_each(farm):
    log = tell(farm, [], seedlings(), planted())
    assert stands(now(log)) == [("Tunnel", position, LOT, 1) for position in range(1, 9)]


def test_positions_may_be_named_and_those_that_are_free_come_next(farm):
    log = tell(farm, [], seedlings(), planted(plants=3, left=5, to="Tunnel positions 5-7"))
    log = tell(farm, log, planted(plants=5, to="Tunnel"))
    assert [slot for _, slot, _, _ in stands(now(log))] == [1, 2, 3, 4, 5, 6, 7, 8]


def test_no_position_takes_two_plants(farm):
    (said,) = refused(farm, [], seedlings(), planted(to="Tunnel positions 1-7"))
    assert said == "--plants: found 8 plants; expected at most 7: 7 positions with 1 each"


def test_plants_that_are_picked_stay_and_their_pieces_wait(farm):
    log = tell(farm, [], seedlings(), planted(), picked(28, 15), picked(31, 17))
    assert held(now(log)) == {(position, 2) for position in range(1, 9)}
    assert [heads for _, heads in now(log).lots[LOT].cooler] == [15, 17]
    assert log_lines(farm, log)[-1].endswith("picked TOM-260302 Tomato; 8 plants, 17 pieces; in Tunnel")


def test_plants_that_stay_cannot_be_said_to_have_gone(farm):
    (said,) = refused(farm, [], seedlings(), planted(), picked(28, 15, left=3))
    assert said.startswith("--left: found 3 left; expected it left out: plants that are picked stay")


def test_lost_and_pulled_out_plants_free_their_positions(farm):
    log = tell(
        farm, [], seedlings(), planted(), told("lost", 20, lot=LOT, plants=1, place="Tunnel position 3")
    )
    assert [slot for _, slot, _, _ in stands(now(log))] == [1, 2, 4, 5, 6, 7, 8]
    (said,) = refused(farm, log, told("discarded", 60, lot=LOT, place="Tunnel positions 1-4"))
    assert said == (
        "--place: found Tunnel position 3, which is empty; expected position 1, 2, 4, 5, 6, 7, 8, "
        f"where '{LOT}' stands"
    )
    log = tell(farm, log, told("discarded", 60, lot=LOT, place="Tunnel positions 1, 2, 4"))
    assert [slot for _, slot, _, _ in stands(now(log))] == [5, 6, 7, 8]


def test_more_plants_than_positions_are_doubted(farm):
    log = tell(farm, [], seedlings(), planted(plants=5, left=3, to="Porch"))
    day = FIRST + timedelta(days=14)
    assert doubts(farm, now(log), day) == ["5 plants stand in Porch, which has 4 positions: record what left"]


def test_the_next_book_begins_with_the_plants_in_their_positions(book, farm, tmp_path):
    lost = told("lost", 20, lot=LOT, plants=1, place="Tunnel position 3")
    log = tell(farm, [], seedlings(), planted(), lost, picked(28, 15), picked(31, 13))
    made = next_book(read_raw(book), farm, now(log), Start(first_day=FIRST + timedelta(days=35)))
    for name, contents in made.files.items():
        (tmp_path / name).write_bytes(contents)
    found = build_farm(read_book(tmp_path)).growing
    assert [
        (row.stage, row.place, row.since, row.plants, row.units, row.order, row.cuts_done, row.last_cut)
        for row in found
    ] == [("bed", "Tunnel", -21, 2, 2, 1, 2, -4), ("bed", "Tunnel", -21, 5, 5, 4, 2, -4)]


def test_what_the_records_show_of_plants_in_beds_is_told(farm):
    log = tell(farm, [], seedlings(), planted(), picked(30, 15))
    numbered = [(each.number, each.entry) for each in log]
    found = learned(farm, in_force(numbered), now(log))
    said = rendered(learned_page(farm.name, found))
    assert "days in the bed" in said
    assert {each.figure for each in found} <= set(NAMES)


@pytest.fixture(scope="module")
def plan_of(book):
    raw = read_raw(book)
    farm = build_farm(typed_book(raw))
    plan = plan_farm(farm, SolveSettings(seconds=0.3, deterministic=True)).plan
    assert plan is not None
    assert all(row.filled == row.amount for row in plan.demands)
    return Planned(book, book_copy(raw), farm, plan)


def done(farm, plan, day, but=()):
    tasks = Tasks(farm, plan)
    due = [task for task in plan.tasks if task.day < day and task.key not in but]
    return tell(farm, [], *(each for task in due for each in tasks.told(Done(key=task.key, where=FIRST))))


def entries_of(log):
    return [each.entry for each in log]


@pytest.mark.parametrize("day", [20, 40, 60, 84])
def test_what_is_recorded_as_planned_stands_as_planned(plan_of, day):
    farm, plan = plan_of.farm, plan_of.plan
    log = done(farm, plan, day)
    assert differences(farm, plan, now(log), day - 1) == []
    assert not_recorded(Tasks(farm, plan), entries_of(log), day - 1) == []
    assert at_risk(farm, plan, now(log), entries_of(log), day) == []
    assert len(now(log).units) == sum(
        row.plants for row in plan.plantings if row.enters < day and row.leaves >= day
    ) + sum(row.item == "tray" and row.enters < day <= row.leaves for row in plan.units)


def test_plants_lost_in_a_bed_put_its_deliveries_at_risk(plan_of):
    farm, plan = plan_of.farm, plan_of.plan
    day = min(row.day for row in plan.pickings)
    log = done(farm, plan, day)
    (lot,) = {each.lot for unit in now(log).units for each in unit.contents if unit.item == "bed"}
    stood = sum(unit.of(lot) for unit in now(log).units)
    log = tell(farm, log, told("lost", day, lot=lot, plants=stood // 2))
    found = at_risk(farm, plan, now(log), entries_of(log), day)
    assert found
    assert {each.why for each in found} == {"fewer plants than planned"}
    (change,) = differences(farm, plan, now(log), day)
    assert change.stands[0].plants == stood - stood // 2


def test_planning_again_keeps_what_stands_in_beds_and_what_is_to_be_set_in(plan_of):
    for day in (7, 35):
        again = Followed(plan_of.book, plan_of.farm, plan_of.plan)
        again.until(day)
        plan = again.again(day, SolveSettings(seconds=0.3, deterministic=True))
        assert fault_lines(audit(again.farm, plan)) == []
        assert all(row.filled == row.amount for row in plan.demands)
        before = in_days_of(again.farm, plan_of.farm, plan_of.plan)
        kept = [(row.enters, row.plants) for row in before.plantings if row.leaves >= 0]
        assert [(row.enters, row.plants) for row in plan.plantings] == kept
        assert plan.changes == ()
        stood = [row for row in again.farm.growing if row.stage is StageKind.BED]
        assert bool(stood) is (day == 35)


def test_planning_again_fills_what_lost_plants_gave(plan_of):
    again = Followed(plan_of.book, plan_of.farm, plan_of.plan)
    again.until(21)
    lot = next(each.lot for unit in again.state(21).units for each in unit.contents)
    again.tell(told("lost", 20, lot=lot, plants=1))
    plan = again.again(21, SolveSettings(seconds=0.3, deterministic=True))
    assert fault_lines(audit(again.farm, plan)) == []
    short = [row.day for row in plan.demands if row.filled < row.amount]
    # a new sowing takes 14 days in trays and 14 in the bed
    assert all(day < 32 for day in short)


def test_what_changes_in_beds_is_told(plan_of):
    farm, plan = plan_of.farm, plan_of.plan
    (first, *_) = (task for task in plan.tasks if task.work == "plant")
    tasks = [
        replace(task, day=task.day + 7 * (task.lot == first.lot and task.work in ("plant", "pick", "clear")))
        for task in plan.tasks
    ]
    found = changes(farm, plan, replace(plan, tasks=tuple(tasks)))
    assert {row.item for row in found} == {first.lot}
    assert {(row.work, row.change) for row in found} >= {("plant", "moved"), ("clear", "moved")}
    assert {row.work for row in found} == {"plant", "pick", "clear"}


def test_a_plan_in_the_days_of_a_later_book_has_every_day_moved(plan_of):
    farm = plan_of.farm
    sale = SaleRow(outlet="Stall", product="Tomato", day=30, crop="Tomato", lot=LOT, cut_day=29, heads=3)
    plan = replace(plan_of.plan, sales=(sale,))
    later = replace(farm, calendar=replace(farm.calendar, first_day=FIRST + timedelta(days=7)))
    moved = in_days_of(later, farm, plan)
    assert cells(later.calendar, moved) == cells(farm.calendar, plan)
