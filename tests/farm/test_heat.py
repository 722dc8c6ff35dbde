"""Heat: which sowings would stand in air too warm for them, and what the book makes of that."""

from dataclasses import replace

import pytest
from farms import FIRST_DAY, make_crop, make_farm
from helpers import TABLES, crops_csv, farm_of
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from crops.emergence import KIND_OF_CARD, days_to_emergence, kind_of_card, kinds, none_from
from crops.library import card_names
from crops.published import table
from scheduler.farm.crops import StageKind
from scheduler.farm.growth.climate import Climate, Temperatures
from scheduler.farm.growth.course import course_of, homes_of
from scheduler.farm.growth.heat import HeatFinder, HotSowings, hot_sowings
from scheduler.farm.orders.reach import earliest_cut

JULY = "place,month,air\n,6,21\n,7,26\n,8,23\n"
LIMIT = {"heat_limit": "24"}
SEASON = {"weeks": "30"}


def farm_with(*, heat="warn", pace=None, **changes):
    """A farm from 2 March 2026 whose lettuce, 10 + 10 + 14 days, bears 24 C; ``air`` as Temperatures."""
    air = changes.pop("air", Temperatures(months={"Trough": {7: 2600}}))
    crop = replace(make_crop("Lettuce"), **({"heat_limit": 2400} | changes))
    farm = make_farm(crops=[crop], days=210, rules={"heat": heat}, pace=pace or {})
    return replace(farm, climate=Climate(air=air))


def runs(farm, crop="Lettuce"):
    return [(str(farm.date_of(run.first)), str(farm.date_of(run.last))) for run in hot_sowings(farm)[crop]]


def test_a_sowing_stands_in_heat_if_any_day_from_the_tray_to_the_first_cut_is_above_the_limit():
    # 10 days in the tray, then 24 days in the trough up to, not including, the day of the first cut
    assert runs(farm_with()) == [("2026-05-29", "2026-07-21")]


def test_air_at_the_limit_is_borne():
    warm = farm_with(air=Temperatures(months={"Trough": {7: 2400}}))
    assert runs(warm) == []
    assert runs(farm_with(air=Temperatures(months={"Trough": {7: 2401}}))) != []


def test_a_crop_without_a_limit_and_a_place_without_air_know_no_heat():
    assert runs(farm_with(heat_limit=None)) == []
    assert runs(farm_with(air=Temperatures())) == []


def test_heat_on_the_shelf_alone_does_not_make_a_crop_bolt():
    assert runs(farm_with(air=Temperatures(months={"Shelf": {7: 2600}}))) == []


def test_a_slow_house_stands_in_heat_longer():
    # 24 card days in the trough take 48
    assert runs(farm_with(pace={"Trough": 500})) == [("2026-05-05", "2026-07-21")]


def test_heat_comes_back_every_year_and_past_the_turn_of_one():
    farm = farm_with(air=Temperatures(months={"Trough": {1: 2600}}))
    farm = replace(farm, calendar=replace(farm.calendar, days=730, span=730))
    assert runs(farm) == [("2026-11-29", "2027-01-21"), ("2027-11-29", "2028-01-21")]


def test_a_reading_of_heat_counts_for_its_seven_days():
    farm = farm_with(air=Temperatures(months={"Trough": {3: 2000}}, read={"Trough": {30: 2600}}))
    # hot on days 30 to 36; a sowing of day 2 has its first cut on day 36, one of day 26 leaves its tray then
    found = hot_sowings(farm)["Lettuce"]
    assert found == [HotSowings(first=0, last=26, homes=("Trough",))]


def test_only_sowings_within_the_windows_of_the_crop_are_told():
    farm = farm_with(sowing=((0, 100), (130, 150)))
    assert [(run.first, run.last) for run in hot_sowings(farm)["Lettuce"]] == [(88, 100), (130, 141)]


def test_one_hot_trough_of_those_a_crop_may_go_to_is_enough(tmp_path):
    troughs = TABLES["troughs"] + "Cellar,4,24,2,4,along\n"
    table = JULY + "Cellar,7,18\n"
    farm = farm_of(
        tmp_path,
        SEASON,
        troughs=troughs,
        temperatures=table,
        crops=crops_csv(**LIMIT, lanes="Cellar; North trough"),
    )
    (run,) = hot_sowings(farm)["Butterhead"]
    assert run.homes == ("North trough",)
    boards = TABLES["board_zones"].replace("North trough", "Cellar")
    farm = farm_of(
        tmp_path,
        SEASON,
        troughs=troughs,
        temperatures=table,
        board_zones=boards,
        crops=crops_csv(**LIMIT, lanes="Cellar"),
    )
    assert hot_sowings(farm)["Butterhead"] == []


def test_a_book_that_refuses_heat_leaves_those_sowings_out_and_others_do_not(tmp_path):
    hot = None
    for heat in (None, "warn", "ignore", "refuse"):
        farm = farm_of(tmp_path, {**SEASON, "heat": heat}, temperatures=JULY, crops=crops_csv(**LIMIT))
        crop = farm.crops["Butterhead"]
        (run,) = hot_sowings(farm)["Butterhead"]
        hot = hot or run
        assert run == hot
        left_out = [day for day in range(farm.calendar.span) if not crop.may_sow(day)]
        assert left_out == (list(range(run.first, run.last + 1)) if heat == "refuse" else [])
        assert all(crop.in_window(day) for day in left_out)


def test_the_limit_is_the_row_s_own_or_the_card_s(tmp_path):
    card = {"card": "lettuce_butterhead"}
    assert farm_of(tmp_path, crops=crops_csv(**card)).crops["Butterhead"].heat_limit == 2400
    own = farm_of(tmp_path, crops=crops_csv(**card, heat_limit="26.5")).crops["Butterhead"]
    assert own.heat_limit == 2650
    assert ("heat_limit", "26.5") in own.own_figures
    assert farm_of(tmp_path).crops["Butterhead"].heat_limit is None
    kale = farm_of(tmp_path, crops=crops_csv(card="kale_curly")).crops["Butterhead"]
    assert kale.heat_limit is None


def test_seed_that_did_not_come_up_in_the_published_table_is_not_sown_into_such_air(tmp_path):
    table = "place,month,air\nShelf A,4,35\n"
    settings = {**SEASON, "heat": "refuse"}
    crops = crops_csv(card="lettuce_butterhead")
    crop = farm_of(tmp_path, settings, temperatures=table, crops=crops).crops["Butterhead"]
    assert crop.too_hot == ((30, 59),)
    cooler = table.replace("35", "34.9")
    assert farm_of(tmp_path, settings, temperatures=cooler, crops=crops).crops["Butterhead"].too_hot == ()


def test_none_is_said_of_a_temperature_only_where_the_table_says_so():
    rows = {(row["kind"], float(row["temperature_c"])): row["outcome"] for row in table("emergence_days")}
    for kind in kinds():
        limit = none_from(kind)
        if limit is not None:
            assert rows[kind, limit] == "none"
            assert days_to_emergence(kind, limit) is None
            assert days_to_emergence(kind, limit - 5) is not None
    assert (none_from("lettuce"), none_from("celery"), none_from("parsley")) == (35, 25, None)


def test_cards_are_matched_to_seed_that_the_table_has():
    assert set(KIND_OF_CARD) <= set(card_names())
    assert set(KIND_OF_CARD.values()) <= set(kinds())
    assert kind_of_card("lettuce_romaine") == "lettuce"
    assert kind_of_card("basil_genovese") is None


def test_deliveries_that_only_a_refused_sowing_could_reach_come_too_early(tmp_path):
    crops = crops_csv(**LIMIT)
    farm = farm_of(tmp_path, {**SEASON, "heat": "refuse"}, temperatures=JULY, crops=crops)
    crop = farm.crops["Butterhead"]
    at = replace(farm, today=crop.too_hot[0][0])
    assert earliest_cut(at, crop) > crop.too_hot[0][1] + 40
    warned = farm_of(tmp_path, SEASON, temperatures=JULY, crops=crops)
    assert earliest_cut(replace(warned, today=at.today), warned.crops["Butterhead"]) < crop.too_hot[0][1]


def test_a_crop_with_no_place_for_a_stage_has_no_course_and_no_heat():
    farm = farm_with()
    farm = replace(farm, places=tuple(place for place in farm.places if place.name != "Trough boards"))
    crop = farm.crops["Lettuce"]
    assert course_of(crop, homes_of(farm.places, crop), farm.pace, 0) is None
    assert runs(farm) == []


def test_a_course_goes_the_fastest_and_the_slowest_way_at_once():
    farm = make_farm(crops=[make_crop("Lettuce")], lanes=2, pace={"Cellar": 500})
    slow = replace(farm.places[-1], belongs_to="Cellar")
    places = (*farm.places[:-1], slow)
    crop = farm.crops["Lettuce"]
    homes = homes_of(places, crop)
    assert homes == {
        StageKind.TRAY: ("Shelf",),
        StageKind.BOARD: ("Trough",),
        StageKind.RAFT: ("Trough", "Cellar"),
    }
    course = course_of(crop, homes, farm.pace, 3)
    assert (course.earliest, course.latest) == (37, 51)
    assert [(stay.home, stay.first, stay.end) for stay in course.stays] == [
        ("Shelf", 3, 13),
        ("Trough", 13, 23),
        ("Trough", 23, 37),
        ("Cellar", 23, 51),
    ]


def test_every_day_asked_for_is_known_however_far_away(tmp_path):
    farm = farm_of(tmp_path, {"weeks": "156"}, temperatures=JULY, crops=crops_csv(**LIMIT))
    assert [run[0][:4] for run in runs(farm, "Butterhead")] == ["2026", "2027", "2028"]


MONTHS = st.dictionaries(st.integers(1, 12), st.integers(1500, 3000), max_size=12)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(trough=MONTHS, pace=st.sampled_from((400, 700, 1000, 1300)), days=st.tuples(*[st.integers(1, 40)] * 3))
def test_hot_sowings_are_those_that_meet_a_hot_day_walked_through_one_by_one(trough, pace, days):
    farm = farm_with(air=Temperatures(months={"Trough": trough}), pace={"Trough": pace, "Shelf": 900})
    route = tuple(replace(stage, days=n) for stage, n in zip(farm.crops["Lettuce"].route, days, strict=True))
    crop = replace(farm.crops["Lettuce"], route=route)
    finder = HeatFinder(first_day=FIRST_DAY, places=farm.places, pace=farm.pace, climate=farm.climate)
    hot = {
        day for run in finder.hot_sowings(crop, range(0, 210, 3)) for day in range(run.first, run.last + 1)
    }
    for sown in range(0, 210, 3):
        day, grown, met = sown, 0, False
        for stage, home in zip(route, ("Shelf", "Trough", "Trough"), strict=True):
            grown = 0
            while grown < stage.days * 1000:
                warm = trough.get(farm.date_of(day).month, 0) > 2400
                met = met or (home == "Trough" and warm)
                grown += {"Shelf": 900, "Trough": pace}[home]
                day += 1
        assert (sown in hot) is met


def test_days_asked_for_with_gaps_are_told_apart():
    farm = farm_with()
    finder = HeatFinder(first_day=FIRST_DAY, places=farm.places, pace=farm.pace, climate=farm.climate)
    found = finder.hot_sowings(farm.crops["Lettuce"], [88, 89, 92, 93])
    assert [(run.first, run.last) for run in found] == [(88, 89), (92, 93)]


@pytest.mark.parametrize("month", [2, 9])
def test_a_month_that_no_sowing_reaches_changes_nothing(month):
    farm = farm_with(air=Temperatures(months={"Trough": {month: 3000}}))
    calendar = replace(farm.calendar, days=20, span=20)
    assert runs(replace(farm, calendar=calendar)) == []
