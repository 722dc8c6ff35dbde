"""Totals worked out from rows: every place and kind on every day, whole numbers rounded one way."""

from dataclasses import replace

from farms import delivery, make_crop, make_farm
from plans import Batch, build

from scheduler.plan.tally import (
    daily,
    demand_filled,
    demand_heads,
    equipment_use,
    hours,
    place_use,
    seed,
    units_sold,
)


def test_days_outside_the_table_are_cut_off():
    assert daily([(-5, 2, 1), (1, 99, 2), (3, 3, 7), (50, 60, 4)], 4) == [1, 3, 2, 2]


def test_every_place_and_kind_has_a_row_for_every_day_planned():
    farm = make_farm(days=40, span=60, lanes=2, domes=1)
    plan = build(farm, Batch())
    assert len(place_use(farm, plan)) == 4 * 60
    assert len(equipment_use(farm, plan)) == 4 * 60
    assert [row.day for row in plan.use if row.place == "Trough 1" and row.used] == list(range(20, 34))


def test_washing_follows_the_day_a_unit_leaves():
    farm = make_farm(wash_days=2)
    rows = [row for row in equipment_use(farm, build(farm, Batch())) if row.kind == "12-hole board"]
    assert [(row.in_use, row.washing) for row in rows[18:23]] == [(1, 0), (1, 0), (0, 1), (0, 1), (0, 0)]


def test_kinds_of_domes_are_counted_as_one_pool():
    farm = make_farm(domes=2, crops=[make_crop("Lettuce", handling={"dome_days": 3})])
    tall = replace(farm.equipment["dome"], name="tall dome", owned=3, wash_days=1)
    farm = replace(farm, equipment=farm.equipment | {"tall dome": tall})
    rows = [row for row in equipment_use(farm, build(farm, Batch())) if "dome" in row.kind]
    assert {(row.kind, row.owned) for row in rows} == {("dome; tall dome", 5)}
    assert [(row.in_use, row.washing) for row in rows[:5]] == [(1, 0), (1, 0), (1, 0), (0, 1), (0, 0)]


def test_a_dome_is_off_when_the_tray_is_gone():
    farm = make_farm(domes=2, crops=[make_crop("Lettuce", handling={"dome_days": 30})])
    rows = [row.in_use for row in equipment_use(farm, build(farm, Batch())) if row.kind == "dome"]
    assert rows[:12] == [1] * 10 + [0] * 2


def test_the_price_of_seed_is_rounded_up_and_lots_of_one_day_are_one_row():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"seeds_per_cell": 2, "seed_cost": 1250})])
    rows = seed(farm, build(farm, Batch(), Batch(rows=1, boards=(4,), rafts=(4,), cuts=((34, 4),))))
    # 16 cells take 32 seeds; 32 x 12.50 / 1000 = 0.40 exactly, one seed more would be 0.42.
    assert [(row.day, row.cells, row.seeds, row.cost) for row in rows] == [(0, 16, 32, 40)]
    dearer = make_farm(crops=[make_crop("Lettuce", handling={"seeds_per_cell": 2, "seed_cost": 1251})])
    assert seed(dearer, build(dearer, Batch()))[0].cost == 31  # 24 x 12.51 / 1000 = 0.30024


def test_hours_name_the_crew_of_the_day_or_none():
    crops = [make_crop("Lettuce", minutes={"cut": 10})]
    for crew in (None, 500):
        farm = make_farm(crops=crops, crew=crew)
        assert [(row.day, row.minutes, row.crew) for row in hours(farm, build(farm, Batch()))] == [
            (34, 120, crew)
        ]


def test_work_past_the_last_planned_day_is_not_counted():
    crops = [make_crop("Lettuce", minutes={"sow": 20, "cut": 10})]
    farm = make_farm(crops=crops, days=34)
    assert [row.work for row in hours(farm, build(farm, Batch()))] == ["sow"]


def test_heads_make_whole_sale_units_crop_by_crop_and_never_more_than_wanted():
    mixed = {"Leaf": {"Lettuce": 1500, "Chard": 400}}
    farm = make_farm(
        crops=[make_crop("Lettuce"), make_crop("Chard")], products=mixed, demands=[delivery("Leaf", 34, 9)]
    )
    assert units_sold(farm, "Leaf", {"Lettuce": 8, "Chard": 1, "Kale": 50}) == 5 + 2
    fills = [("Leaf 34", "LET-260302", 34, 8), ("Leaf 34", "CHA-260302", 34, 1)]
    plan = build(farm, Batch(), Batch(crop="Chard"), fills=fills)
    assert demand_heads(plan.fills) == {"Leaf 34": {"Lettuce": 8, "Chard": 1}}
    assert demand_filled(farm, plan) == {"Leaf 34": 7}
    more = build(farm, Batch(), Batch(crop="Chard"), fills=[*fills, ("Leaf 34", "CHA-260302", 34, 4)])
    assert demand_filled(farm, more) == {"Leaf 34": 9}
