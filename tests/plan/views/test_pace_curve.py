"""Pace by week and days by sowing week: data for the pages that draw it."""

from dataclasses import replace
from datetime import date

from farms import make_crop, make_farm
from helpers import farm_of

from scheduler.plan.views.pace_curve import crop_curves, place_curves

GLASS = {"latitude": "52"}
UNDER_GLASS = "place,cover_percent\n,60\n"


def test_every_shelf_and_trough_has_its_weeks_in_the_order_of_the_book(tmp_path):
    farm = farm_of(tmp_path, {**GLASS, "weeks": "52"}, light=UNDER_GLASS)
    shelf, trough = place_curves(farm)
    assert (shelf.place, trough.place) == ("Shelf A", "North trough")
    assert shelf.is_flat
    assert not trough.is_flat
    assert len(trough.weeks) == 52
    assert {(week.pace, week.light, week.held_by) for week in shelf.weeks} == {(1000, None, "")}
    winter = next(week for week in trough.weeks if farm.date_of(week.first) == date(2026, 12, 21))
    halves = farm.climate.halves["North trough"]
    assert (winter.pace, winter.light, winter.held_by) == (halves[23].pace, halves[23].light, "light")
    summer = next(week for week in trough.weeks if farm.date_of(week.first) == date(2026, 6, 1))
    assert (summer.pace, summer.held_by) == (1000, "")


def test_a_week_over_the_middle_of_a_month_has_the_mean_of_its_days(tmp_path):
    farm = farm_of(tmp_path, GLASS, light=UNDER_GLASS)
    halves = farm.climate.halves["North trough"]
    # Mon 13 to Sun 19 April: three days of the first half, four of the second
    week = next(week for week in place_curves(farm)[1].weeks if farm.date_of(week.first) == date(2026, 4, 13))
    assert week.pace == (3 * halves[6].pace + 4 * halves[7].pace) // 7


def test_weeks_are_cut_off_at_the_ends_of_the_plan():
    farm = make_farm(first_day=date(2026, 3, 4), days=9, pace={"Trough": 500})
    shelf, trough = place_curves(farm)
    assert [(week.first, week.last) for week in trough.weeks] == [(0, 4), (5, 8)]
    assert {week.pace for week in trough.weeks} == {500}
    assert {week.pace for week in shelf.weeks} == {1000}


def test_where_the_book_gives_the_pace_light_does_not_hold_it(tmp_path):
    free, given = (
        place_curves(farm_of(tmp_path, GLASS, light=UNDER_GLASS, pace=pace))[1].weeks[0]
        for pace in (None, "place,month,pace\nNorth trough,3,0.9\n")
    )
    assert free.held_by == "light"
    assert (given.pace, given.held_by) == (900, "")
    assert given.light == free.light is not None


def test_days_by_sowing_week_grow_towards_winter(tmp_path):
    farm = farm_of(tmp_path, {**GLASS, "first_day": "2026-08-31", "weeks": "20"}, light=UNDER_GLASS)
    (curve,) = crop_curves(farm)
    assert curve.crop == "Butterhead"
    days = [week.fastest for week in curve.weeks]
    assert days == [week.slowest for week in curve.weeks]
    assert days[:7] == sorted(days[:7])
    assert 1.5 * days[0] < days[6]
    first = curve.weeks[0].first
    tray = farm.pace.first_day_reached("Shelf A", first, 14)
    board = farm.pace.first_day_reached("North trough", tray, 14)
    assert days[0] == farm.pace.first_day_reached("North trough", board, 21) - first
    shortest, longest = curve.extremes
    assert (shortest.fastest, longest.slowest) == (min(days), max(days))


def test_a_farm_at_the_card_s_days_has_the_same_days_all_year():
    (curve,) = crop_curves(make_farm())
    assert {(week.fastest, week.slowest) for week in curve.weeks} == {(34, 34)}
    assert curve.extremes == (curve.weeks[0], curve.weeks[0])


def test_the_fastest_and_the_slowest_places_are_told_apart():
    farm = make_farm(lanes=2, pace={"Cellar": 500})
    farm = replace(farm, places=(*farm.places[:-1], replace(farm.places[-1], belongs_to="Cellar")))
    (curve,) = crop_curves(farm)
    assert {(week.fastest, week.slowest) for week in curve.weeks} == {(34, 48)}


def test_weeks_in_which_a_crop_may_not_be_sown_say_so():
    crop = replace(make_crop("Lettuce", sowing=((0, 20),)), too_hot=((7, 12),))
    (curve,) = crop_curves(make_farm(crops=[crop], days=28))
    assert [week.may_sow for week in curve.weeks] == [True, True, True, False]
    closed = replace(crop, too_hot=((7, 13),))
    (curve,) = crop_curves(make_farm(crops=[closed], days=28))
    assert [week.may_sow for week in curve.weeks] == [True, False, True, False]
    assert curve.sowable == (curve.weeks[0], curve.weeks[2])


def test_the_quickest_and_the_slowest_week_are_among_those_in_which_it_may_be_sown():
    crop = make_crop("Lettuce", sowing=((7, 20),))
    (curve,) = crop_curves(make_farm(crops=[crop], days=28))
    assert curve.extremes == (curve.weeks[1], curve.weeks[1])
    (curve,) = crop_curves(make_farm(crops=[make_crop("Lettuce", sowing=((90, 99),))], days=28))
    assert (curve.sowable, curve.extremes) == ((), None)


def test_a_crop_without_a_place_for_a_stage_has_no_weeks():
    farm = make_farm(zones=0)
    (curve,) = crop_curves(farm)
    assert (curve.weeks, curve.extremes) == ((), None)
