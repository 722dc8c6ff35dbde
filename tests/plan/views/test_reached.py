"""What a plan reaches: kinds of demand, what is missing in order, crops, and sums of the season."""

from dataclasses import replace

from farms import make_crop, make_farm
from plans import Batch, build
from samples import demand, small_farm, small_plan

from scheduler.plan.rows import HoursRow, SupplyRow
from scheduler.plan.views.reached import crop_totals, reached, shortfalls, totals


def test_kinds_of_demand_are_counted_apart_and_those_not_asked_for_left_out():
    rows = (
        demand("a", 1),
        demand("b", 2, state="short", filled=20),
        demand("c", 3, firm=False, target=True, state="too early", filled=0),
        demand("d", 4, reported=False),
    )
    found = reached(small_plan(demands=rows))
    assert list(found) == ["firm deliveries", "weeks of targets"]
    firm, targets = found.values()
    assert (firm.deliveries, firm.complete, firm.short, firm.missing) == (2, 1, 1, 4)
    assert (targets.deliveries, targets.unreachable, targets.beyond) == (1, 1, 24)


def test_shortfalls_come_short_ones_first_firm_before_flexible_then_by_day():
    rows = (
        demand("early", 1, state="too early", filled=0),
        demand("flexible", 2, state="short", filled=0, firm=False),
        demand("later", 9, state="short", filled=20),
        demand("sooner", 3, state="short", filled=23),
        demand("far", 0, state="out of reach", filled=0),
        demand("fine", 0),
        demand("not reported", 0, state="short", reported=False),
    )
    found = shortfalls(small_plan(demands=rows))
    assert [each.row.demand for each in found] == ["sooner", "later", "flexible", "early", "far"]
    assert [each.missing for each in found] == [1, 4, 24, 24, 24]
    assert [each.value for each in found] == [240, 960, 5760, 5760, 5760]


def test_crops_are_summed_over_reported_days_in_the_order_of_the_book():
    crops = [make_crop("Chard"), make_crop("Lettuce", handling={"seeds_per_cell": 2, "seed_cost": 1000})]
    farm = make_farm(days=40, span=80, crops=crops)
    plan = build(
        farm,
        Batch(),
        Batch(sown=35, board_day=45, raft_day=55, cuts=((69, 6),)),
        fills=[("d", "LET-260302", 34, 5)],
    )
    (lettuce,) = crop_totals(farm, plan)
    assert (lettuce.crop, lettuce.variety, lettuce.lots) == ("Lettuce", "Lettuce one", 2)
    assert (lettuce.cells, lettuce.seeds, lettuce.seed_cost) == (24, 48, 48)
    assert (lettuce.heads, lettuce.delivered, lettuce.left) == (12, 5, 7)


def test_the_busiest_week_is_the_first_of_those_with_the_most_work():
    hours = tuple(HoursRow(day=day, work="sow", minutes=50_00, crew=None) for day in (1, 8, 15, 40))
    found = totals(small_farm(), small_plan(hours=hours))
    assert found.busiest.first == 0
    assert found.minutes == 150_00
    assert totals(small_farm(), small_plan(hours=())).busiest is None


def test_orders_are_counted_with_their_cost_and_those_that_come_late():
    order = SupplyRow(
        item="Seed",
        kind="seed",
        crop_or_product="Butterhead",
        order_by=-3,
        arrive_by=0,
        covers_until=20,
        needed=10,
        packs=1,
        amount=500,
        cost=990,
        late=True,
    )
    plan = replace(small_plan(), supplies=(order, replace(order, late=False, cost=10)))
    found = totals(small_farm(), plan)
    assert (found.orders, found.order_cost, found.late) == (2, 1000, 1)
    assert (found.seed, found.seed_cost) == ((("Butterhead", 196),), 235)
