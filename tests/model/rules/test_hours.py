"""Work on a day stays within the crew's hours, where the book gives them."""

from dataclasses import replace

import pytest
from farms import EVER, chore, delivery, growing, make_farm
from solving import allows, boarded, cut, got, quick_crop, rows, set_out, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.places import Steps
from scheduler.model.rules.cuts import cuts
from scheduler.model.rules.hours import hours
from scheduler.model.rules.losses import losses


def farm(crew=100_00, **needs):
    minutes = needs.pop("minutes", {})
    crop = quick_crop(**needs.pop("crop", {}), minutes=minutes)
    demands = [delivery("Lettuce", day, 400, max_age=1) for day in range(8, 24, 2)]
    return make_farm(**({"days": 26, "crops": [crop], "demands": demands, "crew": crew} | needs))


@pytest.mark.parametrize(("number", "allowed"), [(25, True), (26, False)])
def test_sowing_takes_its_minutes(number, allowed):
    # 20 minutes a tray of 20 cells: 4 minutes a row, 100 minutes a day.
    made = farm(minutes={"sow": 20_00})
    assert allowed is allows(made, hours, lambda c: [(rows(c, sown=1, day=5), number)])


def test_work_that_is_not_limited_takes_as_long_as_it_takes():
    made = farm(crew=None, minutes={"sow": 20_00})
    assert allows(made, hours, lambda c: [(rows(c, sown=1, day=5), 90)])


@pytest.mark.parametrize(("plants", "allowed"), [(50, True), (51, False)])
def test_setting_on_boards_takes_its_minutes(plants, allowed):
    # 24 minutes a board of 12 holes: 2 minutes a plant.
    made = farm(crop={"board": (3, 1, 10_000)}, minutes={"board": 24_00})
    assert allowed is allows(made, hours, lambda c: [(boarded(c, 1, 4, 8), plants)])


@pytest.mark.parametrize(("plants", "allowed"), [(25, True), (26, False)])
def test_setting_on_rafts_takes_its_minutes(plants, allowed):
    # 24 minutes a raft of 6 holes: 4 minutes a plant.
    made = farm(minutes={"raft": 24_00})
    assert allowed is allows(made, hours, lambda c: [(from_lot(c, 1, 5), plants)])


def from_lot(chosen, sown, day):
    option = next(o for o in chosen.raft_plants if (o.day, o.source.sown) == (day, sown))
    return chosen.raft_plants[option]


@pytest.mark.parametrize(("later", "allowed"), [(80, True), (81, False)])
def test_cutting_takes_its_minutes_and_all_cuts_of_a_day_add_up(later, allowed):
    rafts = [
        growing("Lettuce", StageKind.RAFT, since, 120, 20, lot=f"G{since}", order=2 + since)
        for since in (-1, 0)
    ]
    made = farm(
        minutes={"cut": 1_00}, growing=rafts, lane_slots=40, demands=[delivery("Lettuce", 5, 400, max_age=0)]
    )
    assert allowed is allows(made, hours, lambda c: [(cut(c, -1, 5), 20), (cut(c, 0, 5), later)])


@pytest.mark.parametrize(("plants", "allowed"), [(13, True), (14, False)])
def test_a_shorter_day_has_less_room_and_the_days_before_and_after_do_not_help(plants, allowed):
    made = replace(cutting_day(minutes={"cut": 1_00}), crew=Steps(((EVER, 100_00), (5, 13_00), (6, 100_00))))
    assert allowed is allows(made, hours, lambda c: [(cut(c, 0, 5, source=None), plants)])


def cutting_day(**needs):
    """A farm with 120 plants on 20 rafts that are wanted on day 5."""
    return farm(
        growing=[growing("Lettuce", StageKind.RAFT, 0, 120, 20)],
        lane_slots=20,
        demands=[delivery("Lettuce", 5, 400, max_age=0)],
        **needs,
    )


@pytest.mark.parametrize(("gone", "allowed"), [(50, True), (51, False)])
def test_washing_a_raft_counts_on_the_day_of_its_last_cut(gone, allowed):
    # 12 minutes a raft of 6 holes: 2 minutes a plant.
    made = cutting_day(minutes={"wash": 12_00}, wash_days=1)
    assert allowed is allows(made, hours, lambda c: [(cut(c, 0, 5, source=None), gone)])


def test_no_washing_is_counted_for_units_that_are_not_washed():
    made = cutting_day(minutes={"wash": 12_00})
    assert allows(made, hours, lambda c: [(cut(c, 0, 5, source=None), 120)])


@pytest.mark.parametrize(("number", "allowed"), [(20, True), (21, False)])
def test_washing_a_tray_counts_when_its_cells_are_emptied(number, allowed):
    # 25 minutes a tray of 20 cells: 1.25 minutes a cell, 5 minutes a row.
    made = farm(minutes={"wash": 25_00}, wash_days=1)
    assert allowed is allows(made, hours, lambda c: [(rows(c, sown=1, day=5), number)])


@pytest.mark.parametrize(("sown", "set_on", "allowed"), [(15, 10, True), (15, 11, False), (16, 10, False)])
def test_different_work_on_one_day_adds_up(sown, set_on, allowed):
    # 4 minutes a row sown and 4 minutes a plant set out.
    made = farm(minutes={"sow": 20_00, "raft": 24_00})
    assert allowed is allows(
        made, hours, lambda c: [(rows(c, sown=5, day=8), sown), (from_lot(c, 1, 5), set_on)]
    )


def test_rafts_that_grow_already_are_not_sown_or_set_out_again():
    made = farm(
        crew=1_00,
        minutes={"sow": 20_00, "board": 20_00, "raft": 20_00},
        growing=[growing("Lettuce", StageKind.RAFT, 0, 12, 2)],
        demands=[delivery("Lettuce", 4, 12, max_age=0)],
    )
    assert allows(made, hours, lambda c: [(set_out(c, 0), 12)], support=[losses, cuts])


def test_a_crew_without_hours_still_throws_away_what_nobody_wants():
    # Both rafts leave on the first day; before, lifting them asked for hours and there was no plan at all.
    found = [
        growing("Lettuce", StageKind.RAFT, -3, 6, 1, lot=lot, order=at) for at, lot in enumerate("AB", 1)
    ]
    plan = solved(make_farm(crew=0, crops=[quick_crop()], growing=found, rules={"lift_out": True}))
    assert {lot.lot: lot.discarded for lot in plan.lots} == {"A": 6, "B": 6}


@pytest.mark.parametrize(("crew", "heads"), [(10_00, 6), (9_99, 0)])
def test_lifting_a_raft_cut_on_the_first_day_takes_its_minutes(crew, heads):
    # The first raft stays for what is worth more, so that the second is lifted out: 10 minutes.
    found = [
        growing("Lettuce", StageKind.RAFT, -1, 6, 1, lot="A"),
        growing("Lettuce", StageKind.RAFT, -4, 6, 1, lot="B", order=2),
    ]
    made = make_farm(
        crops=[quick_crop()],
        growing=found,
        crew=crew,
        demands=[delivery("Lettuce", 0, 6, max_age=0), delivery("Lettuce", 4, 6, priority=1, max_age=0)],
        rules={"lift_out": True, "lift_minutes": 10_00},
    )
    assert got(solved(made)) == {"Lettuce 0": heads, "Lettuce 4": 6}
    # Where the first one is not wanted it leaves the same day, and nothing is lifted.
    alone = replace(made, demands=made.demands[:1])
    assert got(solved(alone)) == {"Lettuce 0": 6}


@pytest.mark.parametrize(("rows_sown", "allowed"), [(20, True), (21, False)])
def test_chores_of_the_day_are_taken_off_what_the_crew_has(rows_sown, allowed):
    # 4 minutes a row sown, 20 of the 100 minutes go to chores; those of other days do not count.
    made = farm(minutes={"sow": 20_00}, chores=[chore(1, 12_00), chore(1, 8_00), chore(2, 90_00)])
    assert allowed is allows(made, hours, lambda c: [(rows(c, sown=1, day=5), rows_sown)])


def test_a_day_whose_chores_take_all_hours_and_more_has_no_other_work():
    made = farm(minutes={"sow": 20_00}, chores=[chore(1, 130_00)])
    assert allows(made, hours, lambda c: [(rows(c, sown=1, day=5), 0)])
    assert not allows(made, hours, lambda c: [(rows(c, sown=1, day=5), 1)])


def test_a_season_with_chores_is_planned_round_them():
    # Cutting 12 plants takes 12 minutes; day 8 has 11 left and day 7 all 100.
    needs = {"minutes": {"cut": 1_00}, "crew": 100_00, "demands": [delivery("Lettuce", 8, 12, max_age=1)]}
    free, busy = farm(**needs), farm(**needs, chores=[chore(8, 89_00)])
    assert {row.day for row in solved(busy).cuts} == {7}
    assert solved(free).demands[0].filled == solved(busy).demands[0].filled == 12
    both = farm(**needs, chores=[chore(8, 89_00), chore(7, 100_00)])
    assert solved(both).demands[0].filled == 11
