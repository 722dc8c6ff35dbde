"""The linear bound of a steady week, against sums done by hand."""

from dataclasses import replace

import pytest
from farms import BOARD, RAFT, TRAY, delivery, make_crop, make_farm, make_greens
from hypothesis import given, settings
from hypothesis import strategies as st
from larger import times_everything
from solving import quick_crop
from weeks import limit, linear, room, small, week_of

from scheduler.farm.calendar import Work
from scheduler.farm.places import Keeps, PlaceKind
from scheduler.model.capacity.bound import Bound, supplies_of
from scheduler.model.capacity.limit import rooms_of
from scheduler.model.capacity.resized import with_slots
from scheduler.model.capacity.week import steady_week
from scheduler.plan.capacity import RoomKind


def test_raft_slots_of_a_week_over_days_on_the_raft_times_plants():
    assert linear(small()) == pytest.approx(8 * 7 / 4 * 6)


def test_work_days_make_plants_stay_longer():
    # set on Mondays and Thursdays, cut on Mondays: the least stay of 4 days or more is Thursday to Monday
    days = {Work.RAFT: {0, 3}, Work.HARVEST: {0}}
    assert linear(small(work_days=days)) == pytest.approx(8 * 7 / 4 * 6)
    days = {Work.RAFT: {0}, Work.HARVEST: {0}}
    crop = quick_crop(raft=(4, 5, 10_000))
    assert linear(small(work_days=days, crops=[crop])) == pytest.approx(8 * 7 / 7 * 6)


def test_slow_months_make_plants_stay_longer():
    assert linear(small(pace={"Trough": 500})) == pytest.approx(8 * 7 / 8 * 6)


def test_losses_and_what_cannot_be_sold_cost_heads():
    crop = quick_crop(raft=(4, 2, 9_000), saleable=8_000)
    assert linear(small(crops=[crop])) == pytest.approx(8 * 7 / 4 * 6 * 0.72)


def test_washing_keeps_units_and_not_slots():
    # 4 days and 3 of washing: 8 rafts owned stand 7 days each
    farm = small(rafts=8, wash_days=3)
    assert linear(farm) == pytest.approx(8 * 7 / 7 * 6)
    assert room(limit(farm), RoomKind.RAFT).binds
    assert not room(limit(farm), RoomKind.LANE).binds


def test_trays_boards_domes_and_hours_limit_too():
    boards = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))
    assert linear(small(crops=[boards], zone_slots=2)) == pytest.approx(2 * 7 / 7 * 12)
    assert linear(small(tier_slots=1)) == pytest.approx(1 * 7 / 3 * 20)
    domed = quick_crop(handling={"dome_days": 2})
    assert linear(small(crops=[domed], domes=1)) == pytest.approx(1 * 7 / 2 * 20)
    # a dome comes off with the last plants of its tray
    domed = quick_crop(handling={"dome_days": 9})
    assert linear(small(crops=[domed], domes=1)) == pytest.approx(1 * 7 / 3 * 20)
    busy = quick_crop(minutes={"cut": 100})
    assert linear(small(crops=[busy], crew=6_00)) == pytest.approx(7 * 6)


def test_a_crop_cut_again_takes_the_raft_for_the_interval_more_and_gives_heads_each_time():
    # 4 days to the first cut and 3 to each of two more: 10 days for three heads a plant
    crop = quick_crop(cuts=3, interval=3)
    assert linear(small(crops=[crop])) == pytest.approx(8 * 7 / 10 * 6 * 3)


def test_what_is_cut_in_its_trays_takes_tray_places_from_sowing_to_its_last_cut():
    # an open tray of cress stands 5 days, or 9 for two cuts, and gives 100 g each time
    once = make_greens("Cress", days=5, window=2, grams=100)
    again = make_greens("Cress", days=5, window=2, grams=100, cuts=2, interval=4)
    for crop, grams in ((once, 3 * 7 / 5 * 100), (again, 3 * 7 / 9 * 200)):
        farm = small(crops=[crop], tier_slots=3, open_trays=9)
        assert week_of(farm, mix={"Cress": 100}).left_out == ()
        assert linear(farm, mix={"Cress": 100}) == pytest.approx(grams)


def test_a_steady_week_of_whole_trays_carries_what_is_cut_in_them():
    crop = make_greens("Cress", days=5, window=2, grams=100)
    found = limit(small(crops=[crop], tier_slots=3, open_trays=9, lanes=0), mix={"Cress": 100})
    # twenty-one tray days are enough for four trays of five days each
    assert (found.whole, found.whole_most) == (4 * 1000, 4 * 1000)


def test_a_crop_stands_on_the_tiers_that_are_kept_for_its_like_alone():
    crop = make_greens("Cress", days=5, window=2, grams=100)
    farm = small(crops=[crop], tiers=2, keeps=[Keeps.NURSERY, Keeps.GREENS], tier_slots=3, open_trays=9)
    assert linear(farm, mix={"Cress": 100}) == pytest.approx(3 * 7 / 5 * 100)
    tiers = [
        each.name for each in supplies_of(week_of(farm, mix={"Cress": 100})) if each.key[0] is RoomKind.TIER
    ]
    (shelf,) = {place.belongs_to for place in farm.places_of(PlaceKind.TIER)}
    assert tiers == [f"{shelf} (nursery)", f"{shelf} (greens)"]


def test_a_crop_that_is_cheaper_to_cut_once_is_not_cut_again():
    crop = quick_crop(cuts=2, interval=30)
    assert linear(small(crops=[crop])) == pytest.approx(8 * 7 / 4 * 6)


def test_crops_that_may_use_only_some_rows_have_no_more_than_those():
    crops = [quick_crop("Lettuce"), quick_crop("Basil", lanes=["Trough 2"])]
    farm = small(crops=crops, lanes=2, lane_slots=4)
    week = steady_week(farm, {"Basil": 10})
    assert Bound(week).solve().times * 10 == pytest.approx(4 * 7 / 4 * 6)
    both = steady_week(farm, {"Basil": 10, "Lettuce": 10})
    assert Bound(both).solve().times * 20 == pytest.approx(8 * 7 / 4 * 6)
    names = {supply.name: supply for supply in Bound(both).supplies if supply.key[0] is RoomKind.LANE}
    assert set(names) == {"Trough 1", "Trough 2"}


def test_any_crop_of_a_product_fills_it_and_units_count_their_plants():
    crops = [quick_crop("Lettuce", raft=(8, 2, 10_000)), quick_crop("Oakleaf")]
    farm = small(crops=crops, products={"Leaf": {"Lettuce": 1000, "Oakleaf": 1000}, "Bag": {"Oakleaf": 3000}})
    assert linear(farm, mix={"Leaf": 10}) == pytest.approx(8 * 7 / 4 * 6)
    assert linear(farm, mix={"Bag": 10}) == pytest.approx(8 * 7 / 4 * 6 / 3)


def test_what_cannot_be_sown_then_is_left_out_and_told():
    crops = [quick_crop("Lettuce"), quick_crop("Basil", sowing=((0, 10),))]
    week = steady_week(small(crops=crops), {"Lettuce": 10, "Basil": 10})
    assert week.left_out == ("Basil",)
    with pytest.raises(ValueError, match="nothing is asked for that can be grown"):
        steady_week(small(crops=crops), {"Basil": 10})
    early = steady_week(small(crops=crops), {"Lettuce": 10, "Basil": 10}, day=3)
    assert early.left_out == ()


def test_a_day_gives_the_slots_and_the_pace_of_its_week():
    farm = small(lane_slots=((-400, 8), (30, 4)))
    assert linear(farm, day=5) == pytest.approx(2 * linear(farm, day=40))
    slow = replace(farm.pace, months={"Trough": {3: 1000} | dict.fromkeys(range(4, 13), 500)})
    farm = replace(small(), pace=slow)
    assert linear(farm, day=0) == pytest.approx(84)
    assert linear(farm, day=35) == pytest.approx(42)


def test_the_book_s_orders_are_the_mix_unless_another_is_given():
    orders = [delivery("Lettuce", day, 10, name=f"R {day}") for day in range(1, 98, 7)]
    week = steady_week(small(demands=orders))
    assert week.amounts == {"Lettuce": 10}
    assert Bound(week).solve().times == pytest.approx(8.4)


def test_one_more_of_what_binds_is_worth_its_dual_price_and_of_the_rest_nothing():
    found = limit(small())
    lane = room(found, RoomKind.LANE)
    assert (lane.used, lane.there) == (pytest.approx(1), 8)
    assert lane.worth == pytest.approx(lane.price) == pytest.approx(7 / 4 * 6)
    assert [each.kind for each in found.binding] == [RoomKind.LANE]
    assert all(each.worth == 0 and each.used < 1 for each in found.rooms if each.kind is not RoomKind.LANE)


def test_a_price_that_holds_for_less_than_one_more_is_corrected_by_solving_again():
    # one row slot more is worth 10.5 heads, but boards are there for 4.5 of them
    boards = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000), per_board=1)
    farm = small(crops=[boards], zone_slots=88, boards=200)
    lane = room(limit(farm), RoomKind.LANE)
    assert lane.price == pytest.approx(10.5)
    assert lane.worth == pytest.approx(4)


def test_rows_without_boards_to_feed_them_are_worth_nothing_and_the_boards_are_named():
    boards = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))
    farm = small(crops=[boards], zone_slots=2, lanes=3)
    found = limit(farm)
    assert room(found, RoomKind.LANE).worth == 0
    assert [(each.kind, each.name) for each in found.binding] == [(RoomKind.ZONE, "Trough boards")]
    assert linear(farm) == linear(small(crops=[boards], zone_slots=2, lanes=1))


def test_days_of_each_place_for_one_head_are_told():
    boards = make_crop("Lettuce", tray=(3, 1, 8_000), board=(7, 1, 10_000), raft=(4, 2, 5_000))
    (load,) = limit(small(crops=[boards])).loads
    assert load.raft_days == pytest.approx(4 / 6 / 0.5)
    assert load.board_days == pytest.approx(7 / 12 / 0.5)
    assert load.tray_days == pytest.approx(3 / 20 / 0.8 / 0.5)


numbers = st.integers(1, 30)


@settings(max_examples=25, deadline=None)
@given(
    rows=st.integers(1, 3), slots=st.integers(1, 9), zone=numbers, tier=numbers, rafts=numbers, times=numbers
)
def test_so_many_times_everything_carries_exactly_so_many_times_the_bound(
    rows, slots, zone, tier, rafts, times
):
    boards = make_crop(
        "Lettuce", tray=(5, 1, 8_000), board=(7, 1, 9_500), raft=(9, 2, 9_700), minutes={"cut": 50}
    )
    basil = quick_crop("Basil", cuts=3, interval=4)
    farm = make_farm(
        crops=[boards, basil],
        lanes=rows,
        lane_slots=slots,
        zone_slots=zone,
        tier_slots=tier,
        rafts=rafts,
        crew=20_00,
        wash_days=1,
    )
    mix = {"Lettuce": 10, "Basil": 4}
    once = Bound(steady_week(farm, mix)).solve().times
    more = Bound(steady_week(times_everything(farm, times), mix)).solve().times
    assert more == pytest.approx(times * once, rel=1e-9)


@settings(max_examples=15, deadline=None)
@given(zone=st.integers(1, 12), kind=st.sampled_from([PlaceKind.ZONE, PlaceKind.TIER]))
def test_more_places_never_carry_less(zone, kind):
    boards = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))
    farm = small(crops=[boards], zone_slots=zone, tier_slots=3, boards=20, trays=20)
    there = sum(place.slots.highest() for place in farm.places_of(kind))
    assert linear(with_slots(farm, there + 1, kind)) >= linear(farm) - 1e-9


def test_units_owned_are_those_of_the_book():
    week = week_of(small(trays=7, boards=8, rafts=9))
    rooms = {(each.kind, each.name): each.there for each in rooms_of(Bound(week), Bound(week).solve())}
    assert rooms[RoomKind.TRAY, TRAY] == 7
    assert rooms[RoomKind.BOARD, BOARD] == 8
    assert rooms[RoomKind.RAFT, RAFT] == 9
