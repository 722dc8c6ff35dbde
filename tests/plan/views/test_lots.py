"""Every lot's story, from sowing to who got its heads."""

from farms import delivery, growing, make_farm, target
from plans import Batch, build

from scheduler.farm.crops import StageKind
from scheduler.plan.views.lots import lot_stories


def test_a_lot_is_followed_from_tray_to_customer():
    demands = [delivery("Lettuce", 34, 7), target("Lettuce", 28, 3, order="Market")]
    farm = make_farm(demands=demands)
    fills = [("Lettuce 34", "LET-260302", 34, 7), ("Lettuce 28", "LET-260302", 34, 3)]
    (story,) = lot_stories(farm, build(farm, Batch(), fills=fills))
    assert (story.sown, story.cells, story.heads) == (0, 12, 12)
    assert (story.trays.units, story.trays.first, story.trays.places) == (1, 0, ("Shelf 1",))
    assert (story.boards.units, story.boards.first, story.boards.last) == (1, 10, 10)
    assert (story.rafts.units, story.rafts.first, story.rafts.places) == (2, 20, ("Trough 1",))
    assert (story.first_cut, story.last_cut) == (34, 34)
    assert story.delivered == (("Harbour Table", 7), ("Market", 3))
    assert (story.later, story.left) == (0, 2)


def test_heads_for_deliveries_past_the_last_day_are_counted_apart():
    farm = make_farm(demands=[delivery("Lettuce", 34, 7, reported=False)])
    (story,) = lot_stories(farm, build(farm, Batch(), fills=[("Lettuce 34", "LET-260302", 34, 7)]))
    assert (story.delivered, story.later, story.left) == ((), 7, 5)


def test_lots_sown_past_the_last_day_are_left_out_and_those_without_a_sowing_day_come_first():
    found = growing("Lettuce", StageKind.RAFT, -5, 6, 1)
    farm = make_farm(days=20, span=98, growing=[found])
    plan = build(
        farm,
        Batch(found=found, raft_day=-5, rafts=(6,), cuts=((9, 6),)),
        Batch(sown=19, board_day=29, raft_day=39, cuts=((53, 6),)),
        Batch(sown=20, board_day=30, raft_day=40, cuts=((54, 6),)),
    )
    assert [story.sown for story in lot_stories(farm, plan)] == [None, 19]


def test_a_lot_that_is_never_cut_has_no_day_of_cutting():
    farm = make_farm()
    (story,) = lot_stories(farm, build(farm, Batch(cuts=(), emptied=34)))
    assert (story.first_cut, story.last_cut, story.heads, story.delivered) == (None, None, 0, ())
