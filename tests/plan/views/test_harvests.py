"""Harvests add the rafts of a lot and day together, and say what of them is asked for."""

from farms import make_crop, make_farm
from plans import Batch, build

from scheduler.plan.views.harvests import harvests


def test_rafts_of_one_lot_and_day_are_one_harvest():
    farm = make_farm(lanes=2)
    plan = build(
        farm,
        Batch(lane="Trough 2", cuts=((34, 4), (35, 2))),
        Batch(rafts=(6,), boards=(6,), rows=2),
        fills=[("d", "LET-260302", 34, 7)],
    )
    first, second = harvests(farm, plan)
    assert (first.day, first.lot, first.crop, first.numbers) == (34, "LET-260302", "Lettuce", (1,))
    assert (first.lanes, first.rafts) == (("Trough 1", "Trough 2"), 3)
    assert (first.plants, first.heads, first.delivered, first.left) == (14, 14, 7, 7)
    assert (second.day, second.lanes, second.rafts, second.left) == (35, ("Trough 2",), 2, 4)


def test_cuts_of_different_numbers_on_one_day_are_named():
    farm = make_farm(crops=[make_crop("Basil", board=None, cuts=2, interval=7)])
    plan = build(
        farm,
        Batch(crop="Basil", board_day=None, raft_day=10, rafts=(6,), cuts=((24, 6), (31, 6))),
    )
    second = tuple(
        type(cut)(unit=cut.unit, lot=cut.lot, day=31, number=at, plants=6, heads=6)
        for at, cut in enumerate(plan.cuts, start=1)
    )
    plan = type(plan)(**{name: getattr(plan, name) for name in plan.__slots__} | {"cuts": second})
    assert [harvest.numbers for harvest in harvests(farm, plan)] == [(1, 2)]


def test_harvests_past_the_last_reported_day_are_left_out_unless_all_are_wanted():
    farm = make_farm(days=30, span=60)
    plan = build(farm, Batch())
    assert harvests(farm, plan) == ()
    assert [harvest.heads for harvest in harvests(farm, plan, whole=True)] == [12]
