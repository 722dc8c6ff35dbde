"""Output against the number of rows, board slots, tray places and bed positions."""

import pytest
from farms import make_crop, make_farm
from solving import quick_crop
from weeks import small, week_of

from scheduler.farm.places import PlaceKind
from scheduler.model.capacity.frontier import MOST_POINTS, WHAT, frontier, numbers_of
from scheduler.model.capacity.resized import slots_of, with_slots
from scheduler.model.capacity.whole import Whole
from scheduler.model.settings import SolveSettings
from scheduler.plan.capacity import Point, RoomKind, bends_of

BOUND = SolveSettings(seconds=0, deterministic=True)
BOARDS = make_crop("Lettuce", tray=(3, 1, 10_000), board=(7, 1, 10_000), raft=(4, 2, 10_000))


def on_boards(**needs):
    """Two rows of 4 slots, which carry 84 heads a week, and boards for 60."""
    return week_of(small(crops=[BOARDS], lanes=2, lane_slots=4, zone_slots=5, **needs))


def linear(found):
    return {point.number: pytest.approx(point.linear) for point in found.points}


def test_rows_bring_more_until_boards_are_what_binds():
    found = frontier(on_boards(), "rows", BOUND)
    assert found.now == 2
    assert linear(found) == {1: 42, 2: 60, 3: 60, 4: 60}
    last = found.bends[-1]
    assert (last.number, last.after) == (2, 0)
    assert last.binding == ((RoomKind.ZONE, "Trough boards"),)


def test_board_slots_bring_more_until_rows_are_what_binds():
    found = frontier(on_boards(), "boards", BOUND)
    assert linear(found) == {slots: min(12 * slots, 84) for slots in range(1, 11)}
    (bend,) = found.bends
    assert (bend.number, bend.before, bend.after) == (7, pytest.approx(12), 0)
    assert bend.binding == ((RoomKind.LANE, "Trough"),)


def test_tray_places_have_trays_along_with_them():
    found = frontier(on_boards(trays=20), "trays", BOUND)
    assert found.now == 20
    assert found.points[-1].linear == pytest.approx(60)
    assert found.points[0].linear == pytest.approx(7 / 3 * 20)


def test_all_together_go_in_percent_and_keep_their_shape():
    found = frontier(on_boards(), "together", BOUND)
    assert found.now == 100
    at = {point.number: point.linear for point in found.points}
    assert at[100] == pytest.approx(60)
    assert at[200] == pytest.approx(120)
    assert at[50] == pytest.approx(24), "2 of 5 board slots"


def test_weeks_of_whole_units_are_looked_for_at_some_points_and_never_above_the_bound():
    found = frontier(week_of(small(lane_slots=3)), "rows", SolveSettings(seconds=4, deterministic=True))
    whole = {point.number: point.whole for point in found.points}
    assert whole[1] == pytest.approx(30, abs=0.02)
    steps = [units for units in whole.values() if units is not None]
    assert steps == sorted(steps), "more rows never carry less, however short the search"
    assert all(point.whole <= point.linear for point in found.points if point.whole is not None)


def test_a_new_row_goes_where_it_brings_most():
    # basil may use one row only: the row that comes is one for basil
    crops = [quick_crop("Lettuce"), quick_crop("Basil", lanes=["Trough 2"])]
    week = week_of(small(crops=crops, lanes=2, lane_slots=2), mix={"Basil": 10})
    found = frontier(week, "rows", BOUND)
    assert linear(found) == {1: 21, 2: 21, 3: 42, 4: 63}


def test_wide_ranges_are_looked_at_in_steps_with_what_there_is_among_them():
    found = numbers_of("trays", 101)
    assert 101 in found
    assert len(found) <= MOST_POINTS + 2
    assert numbers_of("rows", 3) == [1, 2, 3, 4, 5, 6]


def test_what_a_farm_has_none_of_has_no_frontier():
    with pytest.raises(ValueError, match="the farm has no boards"):
        frontier(week_of(small(zones=0)), "boards", BOUND)


def test_a_straight_curve_has_no_bend_and_a_curve_bends_where_one_more_brings_less():
    def curve(*values):
        return tuple(
            Point(number=at, linear=value, whole=None, binding=((RoomKind.ZONE, f"b{at}"),))
            for at, value in enumerate(values, start=1)
        )

    assert bends_of(curve(10, 20, 30)) == ()
    (bend,) = bends_of(curve(10, 20, 25, 30))
    assert (bend.number, bend.before, bend.after) == (2, 10, 5)
    assert bend.binding == ((RoomKind.ZONE, "b3"),)
    assert bends_of(curve(10)) == ()
    assert bends_of(()) == ()


@pytest.mark.parametrize("number", [3, 8, 20])
def test_slots_change_at_the_end_of_the_book_and_only_on_days_that_have_any(number):
    farm = small(zones=2, zone_slots=((-400, 0), (10, 8)), boards=30)
    made = with_slots(farm, number, PlaceKind.ZONE)
    assert slots_of(made, PlaceKind.ZONE) == number
    assert all(place.slots.on(5) == 0 for place in made.places_of(PlaceKind.ZONE))
    first, last = made.places_of(PlaceKind.ZONE)
    assert (first.slots.highest(), last.slots.highest()) == {3: (3, 0), 8: (8, 0), 20: (8, 12)}[number]
    owned = [kind.owned for kind in made.equipment.values() if kind.item == "board"]
    assert owned == [30 + max(0, number - 16)]


def test_every_kind_of_frontier_has_its_name():
    assert WHAT == ("rows", "boards", "trays", "beds", "together")


def test_what_is_known_of_the_farm_as_it_is_holds_for_all_that_have_more():
    found = frontier(week_of(small(lane_slots=3)), "rows", BOUND, known=25.0)
    assert {point.number: point.whole for point in found.points} == {1: 25.0, 2: None}


@pytest.mark.parametrize(("first", "carried"), [(None, None), (Whole(times=0, most=0, units={}), 0.0)])
def test_a_week_of_whole_units_that_was_not_found_is_no_week_that_carries_nothing(
    monkeypatch, first, carried
):
    searches = iter([first, None, Whole(times=500, most=None, units={}), None])
    monkeypatch.setattr("scheduler.model.capacity.frontier.whole_week", lambda *_: next(searches))
    found = frontier(on_boards(), "rows", SolveSettings(seconds=1, deterministic=True))
    assert [point.whole for point in found.points] == [carried, None, 10.5, 10.5]


def test_bed_positions_bring_more_and_grow_along_with_the_others():
    # a plant stands 17 days and gives 12 pieces; 4 days in a tray of 20 cells
    tomato = make_crop("Tomato", tray=(3, 1, 10_000), bed=(4, 10_000), curve=(8000, 4000))
    bedded = make_farm(crops=[tomato], beds={"Bed": 17}, lanes=0, zones=0, tier_slots=1)
    week = week_of(bedded, mix={"Tomato": 10})
    found = frontier(week, "beds", BOUND)
    at = {point.number: point.linear for point in found.points}
    assert found.now == 17
    assert at[17] == pytest.approx(7 * 12)
    assert at[34] == pytest.approx(2 * 7 * 12)
    assert found.points[0].binding == ((RoomKind.BED, "Bed"),)
    both = frontier(week, "together", BOUND)
    assert {point.number: point.linear for point in both.points}[200] == pytest.approx(2 * 7 * 12)
