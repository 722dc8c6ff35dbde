"""What stands where at the end of a day: counted again from the rows of a plan, and each case by hand."""

from dataclasses import replace

from farms import EVER, growing, make_crop, make_farm
from plans import Batch, build, edit
from reports import example

from scheduler.farm.crops import StageKind
from scheduler.plan.rows import PositionRow
from scheduler.plan.views.standing import Step, standing_on

TWO_RAFTS = Batch(rows=3, boards=(12,), rafts=(6, 6))


def seen(farm, plan, place, day):
    return next(each for each in standing_on(farm, plan, day) if each.place == place)


def held(place_day):
    """Slot -> unit, lots and plants of a place."""
    return {
        each.slot: (each.unit, {load.lot: load.plants for load in each.loads if load.plants})
        for each in place_day.standing
    }


def counted_again(plan, place, day):
    """The same from the rows, one plant after the other: those whose day of leaving is still to come."""
    found = {}
    for row in plan.positions:
        if row.place == place and row.enters <= day and not row.until <= day:
            lots = {}
            for content in plan.contents:
                if content.unit == row.unit and content.leaves > day:
                    lots[content.lot] = lots.get(content.lot, 0) + content.plants
            found[row.slot] = (row.unit, lots)
    return found


def test_every_place_of_the_example_holds_what_the_rows_say_on_every_sixth_day():
    farm, plan = example()
    compared = 0
    for day in range(0, farm.calendar.days, 6):
        for each in standing_on(farm, plan, day):
            assert held(each) == counted_again(plan, each.place, day)
            compared += len(each.standing)
    assert compared > 500


def test_used_free_and_closed_slots_of_the_example_are_those_of_the_use_table():
    farm, plan = example()
    use = {(row.place, row.day): row for row in plan.use}
    for day in range(0, farm.calendar.days, 4):
        for each in standing_on(farm, plan, day):
            row = use[each.place, day]
            assert (len(each.standing), each.open) == (row.used, row.slots)
            assert len(each.free) == row.slots - row.used
            assert len(each.closed) == each.most - row.slots


def test_units_of_the_example_that_left_are_those_that_stood_there_the_evening_before():
    farm, plan = example()
    left = 0
    for day in range(1, farm.calendar.days, 3):
        before = {each.place: each for each in standing_on(farm, plan, day - 1)}
        for now in standing_on(farm, plan, day):
            stood = {each.unit: each.slot for each in before[now.place].standing}
            stands = {each.unit for each in now.standing}
            assert {each.unit: each.slot for each in now.gone} == {
                unit: slot for unit, slot in stood.items() if unit not in stands
            }
            assert {each.unit for each in now.standing if each.came} == stands - stood.keys()
            left += len(now.gone)
    assert left > 50


def test_plants_of_the_example_that_left_or_were_cut_are_those_of_the_tables():
    farm, plan = example()
    item = {unit.unit: unit.item for unit in plan.units}
    for day in range(30, farm.calendar.days, 5):
        taken = {"tray": 0, "board": 0, "raft": 0}
        for each in standing_on(farm, plan, day):
            for unit in (*each.standing, *each.gone):
                taken[unit.item] += sum(load.taken for load in unit.loads)
        assert taken["raft"] == sum(row.plants for row in plan.cuts if row.day == day)
        for kind in ("tray", "board"):
            rows = [row for row in plan.contents if item[row.unit] == kind and row.leaves == day]
            assert taken[kind] == sum(row.plants for row in rows)


def test_the_places_of_one_trough_come_in_the_order_of_the_farm():
    farm = make_farm(lanes=2)
    places = standing_on(farm, build(farm, TWO_RAFTS), 20, "Trough")
    assert [each.place for each in places] == ["Trough boards", "Trough 1", "Trough 2"]


def test_a_tray_says_when_it_came_how_many_rows_it_has_and_when_it_moves():
    farm = make_farm()
    [tray] = seen(farm, build(farm, TWO_RAFTS), "Shelf 1", 0).standing
    assert (tray.unit, tray.item, tray.came, tray.came_from) == ("T1", "tray", True, ())
    [load] = tray.loads
    assert (load.put_in, load.plants, load.rows, load.since) == (12, 12, 3, 0)
    assert load.due == Step(day=10, plants=12, cut=0)


def test_plants_that_moved_on_are_told_with_where_they_went_and_where_they_came_from():
    farm = make_farm()
    plan = build(farm, TWO_RAFTS)
    [tray] = seen(farm, plan, "Shelf 1", 10).gone
    [board] = seen(farm, plan, "Trough boards", 10).standing
    assert [(load.taken, load.thrown) for load in tray.loads] == [(12, 0)]
    assert (tray.to, board.came_from) == (("Trough boards",), ("Shelf 1",))
    assert [raft.came_from for raft in seen(farm, plan, "Trough 1", 20).standing] == [("Trough boards",)] * 2


def test_nothing_came_or_left_on_a_quiet_day():
    farm = make_farm()
    [tray] = (quiet := seen(farm, build(farm, TWO_RAFTS), "Shelf 1", 5)).standing
    assert (tray.came, quiet.gone) == (False, ())


def test_a_raft_that_is_cut_twice_keeps_its_plants_after_the_first_cut_and_loses_them_at_the_last():
    farm = make_farm(crops=[make_crop("Basil", cuts=2, interval=7)])
    plan = build(farm, Batch(crop="Basil", rafts=(6,), cuts=((34, 6), (41, 4))))
    [raft] = seen(farm, plan, "Trough 1", 34).standing
    assert [(load.plants, load.taken, load.due) for load in raft.loads] == [
        (6, 6, Step(day=41, plants=4, cut=2))
    ]
    [gone] = seen(farm, plan, "Trough 1", 41).gone
    assert [(load.taken, load.thrown) for load in gone.loads] == [(6, 2)]


def test_a_raft_that_is_cut_over_several_days_has_what_is_left():
    farm = make_farm()
    plan = build(farm, Batch(rafts=(6,), cuts=((34, 2),), emptied=36))
    plan = edit(plan, "cuts", {"unit": "R1"}, plants=2)
    [raft] = seen(farm, plan, "Trough 1", 34).standing
    assert [(load.plants, load.taken) for load in raft.loads] == [(4, 2)]
    assert raft.plants == 4


def test_an_emptied_raft_waits_without_lots_until_those_ahead_of_it_have_left():
    farm = make_farm()
    late = Batch(raft_day=20, rafts=(6,), cuts=((40, 6),))
    early = Batch(sown=1, board_day=11, raft_day=21, rafts=(6,), cuts=((35, 6),))
    plan = build(farm, late, early)
    assert [(raft.slot, bool(raft.loads)) for raft in seen(farm, plan, "Trough 1", 36).standing] == [
        (1, True),
        (2, False),
    ]
    gone = {raft.unit: [load.taken for load in raft.loads] for raft in seen(farm, plan, "Trough 1", 40).gone}
    assert gone == {"R1": [6], "R2": []}


def test_a_unit_that_only_moves_to_another_place_keeps_its_plants_in_both():
    farm = make_farm(tiers=2)
    plan = build(farm, TWO_RAFTS)
    plan = edit(plan, "positions", {"unit": "T1"}, until=4)
    again = PositionRow(unit="T1", place="Shelf 2", slot=1, enters=4, until=10)
    moved = replace(plan, positions=(*plan.positions, again))
    [gone] = seen(farm, moved, "Shelf 1", 4).gone
    [tray] = seen(farm, moved, "Shelf 2", 4).standing
    assert (gone.to, [load.plants for load in gone.loads]) == (("Shelf 2",), [12])
    assert (tray.came, tray.came_from, tray.plants) == (True, ("Shelf 1",), 12)


def test_slots_that_close_are_told_apart_from_free_ones():
    farm = make_farm(lane_slots=((EVER, 6), (30, 4)))
    plan = build(farm, TWO_RAFTS)
    assert seen(farm, plan, "Trough 1", 29).closed == ()
    assert (seen(farm, plan, "Trough 1", 30).free, seen(farm, plan, "Trough 1", 30).closed) == (
        (3, 4),
        (5, 6),
    )


def test_growing_plants_that_are_thrown_away_are_not_said_to_have_gone_anywhere():
    found = growing("Lettuce", StageKind.TRAY, -5, 9, 1)
    farm = make_farm(growing=[found])
    plan = build(farm, Batch(found=found, board_day=0, boards=(), rafts=(), discarded=9))
    stood = PositionRow(unit="T1", place="Shelf 1", slot=2, enters=0, until=0)
    evening = seen(farm, replace(plan, positions=(stood,)), "Shelf 1", 0)
    [tray] = evening.gone
    assert (tray.slot, tray.to, evening.standing) == (2, (), ())
    assert [(load.taken, load.thrown) for load in tray.loads] == [(9, 9)]


def test_a_tray_is_under_its_dome_and_in_the_dark_for_as_long_as_its_crop_needs():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"dome_days": 4, "dark_days": 2})])
    plan = build(farm, TWO_RAFTS)
    days = {day: seen(farm, plan, "Shelf 1", day).standing[0] for day in (0, 1, 2, 3, 4)}
    assert [each.domed for each in days.values()] == [True, True, True, True, False]
    assert [each.dark for each in days.values()] == [True, True, False, False, False]


def test_rows_of_a_damaged_plan_that_name_what_does_not_exist_are_passed_over():
    farm = make_farm()
    plan = edit(build(farm, TWO_RAFTS), "lots", {}, crop="Nothing")
    assert [raft.loads for raft in seen(farm, plan, "Trough 1", 25).standing] == [(), ()]
    plan = edit(build(farm, TWO_RAFTS), "positions", {}, unit="X1")
    assert seen(farm, plan, "Trough 1", 25).standing == ()
