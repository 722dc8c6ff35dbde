"""A plan taken back as an answer of the model is the same plan, and keeps every rule of the model."""

from collections import Counter
from dataclasses import replace

import pytest
from boxed import box_farm, share, slot
from boxed_plans import raft
from farms import delivery, growing, make_crop, make_farm
from model.test_optimum import SHELVES, TROUGHS, any_farm, two_ways
from plans import build as written
from plans import settle
from properties.test_feasible_farms import farm_for
from seeds import blocks, each_of, sample
from solving import quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.model.answers.read_back import NotReadBack, values_of
from scheduler.model.answers.read_cuts import portions
from scheduler.model.answers.solution import decided
from scheduler.model.build import build
from scheduler.model.explain.causes import fitting_season
from scheduler.model.goals import blend
from scheduler.model.options.frame import season
from scheduler.model.options.pools import bundles_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.part import Parts
from scheduler.model.settings import SolveSettings
from scheduler.model.solver.engine import Engine
from scheduler.plan.audit import audit, fault_lines
from scheduler.plan.boxes import box_item_rows, box_rows
from scheduler.plan.exact import EDITION, KEY
from scheduler.plan.layout import lay_out


def built_of(farm):
    built = build(season(farm), bundles_of(farm))
    built.model.minimize(blend(built.chosen))
    return built


def told(plan):
    """What a plan says, whichever of two like units it says it of."""
    return {
        "lots": sorted(map(str, plan.lots)),
        "units": Counter((unit.kind, unit.enters, unit.emptied) for unit in plan.units),
        "cuts": Counter((cut.lot, cut.day, cut.number, cut.plants, cut.heads) for cut in plan.cuts),
        "fills": Counter((fill.demand, fill.lot, fill.cut_day, fill.heads) for fill in plan.fills),
        "filled": {row.demand: row.filled for row in plan.demands},
    }


def is_read_back(farm, plan=None):
    plan = plan or solved(farm, seconds=0.2)
    built = built_of(farm)
    parts = Parts(built.model)
    values = values_of(built, plan)
    assert parts.holds(values)
    again = lay_out(farm, decided(built.chosen, values), (), {})
    assert fault_lines(audit(farm, again)) == []
    before, after = told(plan), told(again)
    for part in ("lots", "units", "fills", "filled"):
        assert after[part] == before[part], part
    assert Incumbent(built, parts, values).score == Incumbent(built, parts, values_of(built, again)).score


@pytest.mark.parametrize("seed", range(1200, 1208))
def test_any_plan_is_read_back_as_itself(seed):
    is_read_back(any_farm(seed))


@pytest.mark.parametrize("seed", sample((400, 402), (401, 403)))
def test_the_plan_of_a_farm_that_can_just_be_filled_is_read_back(seed):
    is_read_back(farm_for(seed))


@pytest.mark.parametrize(
    ("places", "share", "orders"), [(SHELVES, 8_750, {7: 35}), (TROUGHS, 9_200, {7: 11})]
)
def test_a_plan_with_heads_of_a_lot_that_went_two_ways_is_read_back(places, share, orders):
    is_read_back(two_ways(places, share, orders))


def bed_farm(**needs):
    """A bed of eight positions; its crop is picked twice a week, from four days after setting in."""
    crop = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 9_000), curve=(1500, 700), a_week=2)
    demands = [delivery("Tomato", day, 4, max_age=1) for day in (11, 15, 18, 22)]
    base = {"days": 28, "crops": [crop], "demands": demands, "beds": {"Bed": 8}}
    return make_farm(**(base | needs))


@pytest.fixture(scope="module")
def bedded():
    """A farm with a bed, and its plan."""
    made = bed_farm()
    return made, solved(made, seconds=0.2)


def moved_by_a_day(plan):
    """A plan with all plants in beds a day later, which the planner does not look at."""
    return replace(plan, plantings=tuple(replace(row, enters=row.enters + 1) for row in plan.plantings))


def test_a_plan_with_plants_in_beds_is_read_back(bedded):
    made, plan = bedded
    assert sum(row.heads for row in plan.pickings)
    assert plan.fills
    is_read_back(made, plan)


def test_plants_that_stand_in_a_bed_stay_there_when_read_back():
    stands = growing("Tomato", StageKind.BED, -4, 4, 4)
    made = bed_farm(growing=[stands])
    built, plan = built_of(made), solved(made, seconds=0.2)
    values = values_of(built, plan)
    assert Parts(built.model).holds(values)
    again = lay_out(made, decided(built.chosen, values), (), {})
    assert again.plantings == plan.plantings


def test_plants_in_a_bed_on_days_the_planner_has_not_are_not_read_back(bedded):
    made, plan = bedded
    with pytest.raises(NotReadBack):
        values_of(built_of(made), moved_by_a_day(plan))


@pytest.mark.parametrize(("edition", "older"), [(EDITION, False), (EDITION - 1, True)])
def test_that_older_rules_made_a_plan_is_told_where_it_is_not_read_back(bedded, edition, older):
    made, plan = bedded
    plan = replace(moved_by_a_day(plan), made={KEY: edition})
    engine = Engine(SolveSettings(seconds=1, deterministic=True))
    with pytest.raises(NotReadBack) as refused:
        fitting_season(made, plan, [made.demands[0].name], engine)
    assert ("made by an older edition of the rules" in str(refused.value)) is older


@pytest.mark.soak
@pytest.mark.parametrize("seeds", blocks(range(1208, 1500)))
def test_any_plan_is_read_back_as_itself_long(seeds):
    each_of(seeds, lambda seed: is_read_back(any_farm(seed)))


def test_boards_of_one_lot_in_two_zones_and_trays_that_go_nowhere_are_read_back():
    crop = make_crop("Lettuce", tray=(3, 2, 10_000), board=(3, 2, 9_000), raft=(4, 2, 9_500))
    is_read_back(
        make_farm(
            days=21,
            zones=2,
            lanes=2,
            crops=[crop],
            growing=[
                growing("Lettuce", StageKind.BOARD, -2, 13, 2, place="Trough boards"),
                growing("Lettuce", StageKind.BOARD, -2, 11, 1, place="Trough boards 2"),
                growing("Lettuce", StageKind.TRAY, -3, 20, 1, lot="T"),
            ],
            demands=[delivery("Lettuce", 6, 9), delivery("Lettuce", 7, 8), delivery("Lettuce", 12, 4)],
            costs={"discarded_plant": 100},
        )
    )


def test_what_is_moved_and_what_is_thrown_away_on_the_first_day_are_told_apart():
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 0, 10_000))
    farm = make_farm(
        days=14,
        crops=[crop],
        growing=[growing("Lettuce", StageKind.TRAY, -3, 20, 1)],
        demands=[delivery("Lettuce", 4, 6, max_age=0)],
    )
    assert [lot.discarded for lot in solved(farm).lots] == [14]
    is_read_back(farm)


def test_rafts_lifted_out_on_the_first_day_are_read_back():
    crop = quick_crop(tray=(3, 0, 10_000), raft=(4, 4, 10_000))
    is_read_back(
        make_farm(
            days=14,
            crops=[crop],
            growing=[growing("Lettuce", StageKind.RAFT, -4, 12, 2)],
            demands=[delivery("Lettuce", 0, 6, max_age=0), delivery("Lettuce", 2, 6, max_age=0)],
            rules={"lift_out": True},
        )
    )


def test_rafts_the_plan_knows_nothing_of_are_thrown_away():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6)])
    plan = solved(farm)
    more = replace(farm, growing=(growing("Lettuce", StageKind.RAFT, -2, 6, 1, lot="New"),))
    built = built_of(more)
    values = values_of(built, plan)
    assert Parts(built.model).holds(values)
    assert {lot.lot: lot.discarded for lot in lay_out(more, decided(built.chosen, values), (), {}).lots}[
        "New"
    ] == 6


def test_a_plan_with_a_way_the_planner_does_not_look_at_is_refused_with_its_lot():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6)])
    plan = solved(farm)
    other = make_farm(days=14, crops=[quick_crop(sowing=((13, 14),))], demands=farm.demands)
    with pytest.raises(NotReadBack, match=plan.lots[0].lot):
        values_of(built_of(other), plan)


def test_more_heads_than_a_delivery_asks_for_are_not_counted_on():
    farm = make_farm(days=14, crops=[quick_crop()], demands=[delivery("Lettuce", 10, 6)])
    plan = solved(farm)
    less = replace(farm, demands=tuple(replace(demand, amount=4) for demand in farm.demands))
    built = built_of(less)
    values = values_of(built, plan)
    assert [values[fill.index] for fill in built.chosen.fills.values() if values[fill.index]] == [4]


def test_a_box_place_with_more_of_one_product_than_is_asked_for_is_read_back_with_all_its_products():
    farm = box_farm(share(slot(most_products=2)), on=[9], boxes=(4, 2), lanes=3)
    batches = [raft("Lettuce", 9, (6,), "Trough 1"), raft("Kale", 9, (6,), "Trough 2")]
    fills = [("Box First 9", "LET-260304", 9, 5), ("Box First 9", "KAL-260304", 9, 1)]
    plan = settle(farm, written(farm, *batches, fills=fills))
    plan = replace(plan, boxes=tuple(box_rows(farm, plan)), box_items=tuple(box_item_rows(farm, plan)))
    assert fault_lines(audit(farm, plan)) == []
    built = built_of(farm)
    values = values_of(built, plan)
    assert Parts(built.model).holds(values)
    again = lay_out(farm, decided(built.chosen, values), (), {})
    assert fault_lines(audit(farm, again)) == []
    assert {row.product for row in again.box_items} == {"Lettuce", "Kale"}
    assert told(again)["filled"] == {"Box First 9": 5}


@pytest.mark.parametrize(
    ("cuts", "leaving", "found"),
    [
        ({1: {5: 6}}, {5: 6}, [(6, ((1, 5),), 5)]),
        ({1: {5: 6}}, {5: 6, 3: 2}, [(6, ((1, 5),), 5), (2, (), 3)]),
        (
            {1: {5: 4, 6: 2}, 2: {9: 5}},
            {9: 5, 6: 1},
            [(1, ((1, 6),), 6), (4, ((1, 5), (2, 9)), 9), (1, ((1, 6), (2, 9)), 9)],
        ),
        # on day 8 some have their first cut and leave, others their second
        ({1: {5: 3, 8: 2}, 2: {8: 3}}, {8: 5}, [(2, ((1, 8),), 8), (3, ((1, 5), (2, 8)), 8)]),
        ({1: {5: 4}, 2: {9: 5}}, {9: 5}, None),
        ({1: {5: 4}}, {6: 4}, None),
    ],
)
def test_plants_are_followed_from_cut_to_cut(cuts, leaving, found):
    made = portions(cuts, leaving)
    assert (made if made is None else sorted(made, key=str)) == (
        found if found is None else sorted(found, key=str)
    )
