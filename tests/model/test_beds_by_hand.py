"""The first plan of beds, without a search: by date, in free positions, and nothing that breaks a limit."""

from farms import delivery, growing, make_crop, make_farm
from solving import got, quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.model.build import build
from scheduler.model.first.beds_by_hand import plant_by_hand
from scheduler.model.first.start import nothing
from scheduler.model.goals import blend
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.search.repair import Repair
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine

# 3 or 4 days in trays, 4 to the first picking, two weeks of pickings every day, one piece a day and plant
TOMATO = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(7000, 7000))


def by_hand(**needs):
    """Return delivery -> units that the plan on paper fills."""
    base = {"days": 70, "crops": [TOMATO], "beds": {"Bed": 6}, "lanes": 0, "zones": 0}
    farm = make_farm(**(base | needs))
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(blend(built.chosen))
    parts = Parts(built.model)
    best = Incumbent(built, parts, nothing(built))
    plant_by_hand(Engine(SolveSettings(seconds=5, deterministic=True)), best)
    assert parts.holds(best.values)
    chosen = built.chosen
    return farm, {
        wish.name: wish.amount - best.values[chosen.short[at].index]
        for at, wish in enumerate(chosen.frame.wishes)
    }


def test_by_hand_plants_are_set_in_for_the_first_delivery_and_serve_those_after_it():
    demands = [delivery("Tomato", day, 4) for day in range(12, 24, 3)]
    _, filled = by_hand(demands=demands)
    assert filled == {demand.name: 4 for demand in demands}


def test_by_hand_one_succession_follows_another_in_the_same_positions():
    demands = [delivery("Tomato", day, 6) for day in (12, 20, 34, 42)]
    _, filled = by_hand(demands=demands, clean_days=3)
    assert filled == {demand.name: 6 for demand in demands}


def test_by_hand_no_more_is_promised_than_positions_give():
    demands = [delivery("Tomato", 12, 20, max_age=0)]
    _, filled = by_hand(demands=demands)
    assert filled == {"Tomato 12": 6}


def test_by_hand_what_stands_in_beds_and_trays_is_used():
    rows = [
        growing("Tomato", StageKind.BED, -3, 3, 3),
        growing("Tomato", StageKind.TRAY, -2, 3, 1, lot="H"),
    ]
    _, filled = by_hand(growing=rows, demands=[delivery("Tomato", 2, 3), delivery("Tomato", 8, 6)])
    assert filled == {"Tomato 2": 3, "Tomato 8": 6}


def test_by_hand_lots_that_break_a_limit_are_left_out():
    demands = [delivery("Tomato", 12, 6)]
    assert by_hand(demands=demands, trays=0)[1] == {"Tomato 12": 0}
    busy = make_crop(
        "Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(7000, 7000), minutes={"bed": 10_00}
    )
    assert by_hand(demands=demands, crops=[busy], crew=30_00)[1] == {"Tomato 12": 0}


def test_a_plan_with_hardly_any_time_holds_at_least_what_is_planned_by_hand():
    demands = [delivery("Tomato", day, 6) for day in (12, 20, 34, 42)]
    farm, filled = by_hand(demands=demands, clean_days=3)
    assert got(solved(farm, 0.001)) == filled


def test_plants_that_nobody_needs_are_thinned_out_of_the_beds():
    farm = make_farm(days=70, crops=[TOMATO], beds={"Bed": 6}, lanes=0, zones=0,
                     demands=[delivery("Tomato", day, 2, max_age=0) for day in (12, 14, 40)])  # fmt: skip
    built = build(season(farm), bundles_of(farm))
    plants = list(built.chosen.bed_plants.values())
    most = built.model.clone()
    most.add(sum(built.chosen.short.values()) == 0)
    most.maximize(sum(plants))
    engine = Engine(SolveSettings(seconds=5, deterministic=True))
    crowded = engine.run(most, 1).values
    built.model.minimize(blend(built.chosen))
    best = Incumbent(built, Parts(built.model), crowded)
    assert sum(best.values[each.index] for each in plants) > 4
    Repair(engine, best, lambda _: None).thin_beds(5)
    assert sum(best.values[each.index] for each in plants) == 4
    assert best.units_short(1) == 0


def test_a_plant_is_not_kept_for_a_unit_that_there_is_enough_of_another_crop_for():
    farm = make_farm(
        days=30,
        crops=[TOMATO, quick_crop()],
        beds={"Bed": 6},
        products={"Any": {"Tomato": 1000, "Lettuce": 1000}},
        demands=[delivery("Any", 14, 6, max_age=1)],
    )
    built = build(season(farm), bundles_of(farm))
    chosen = built.chosen
    mixed = built.model.clone()
    mixed.add(chosen.units[0, "Tomato"] == 1)
    mixed.add(chosen.short[0] == 0)
    mixed.add(sum(chosen.cut_plants.values()) >= 6)
    engine = Engine(SolveSettings(seconds=5, deterministic=True))
    values = engine.run(mixed, 1).values
    built.model.minimize(blend(chosen))
    best = Incumbent(built, Parts(built.model), values)
    Repair(engine, best, lambda _: None).thin_beds(5)
    assert sum(best.values[each.index] for each in chosen.bed_plants.values()) == 0
    assert best.units_short(1) == 0
